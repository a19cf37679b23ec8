package survey

import (
	"fmt"
	"math"

	"runnel/survey/geom"
	"runnel/survey/problem"
)

// OnTieFt is how near to a line of the area a line of its part lies on it.
const OnTieFt = 1e-4

// leastPartSqft is what an outline must take of an area: less is taken for a
// line drawn a little beside the border of the next area.
const leastPartSqft = 1

// PartOf is what an outline, in job feet, takes of an area, as an area of its
// own: its edges on edges of the area stay what they are, those on courts are
// walls, and those across the roof are limits of the work (the tie line). It
// keeps the outlets and curbs inside, an edge that lets water go as far as it
// runs inside; shots and cores stay with the area. Lines of the deck, joints and
// crickets it takes along as they are, also where they run past it. It is nil where the outline
// takes nothing of the area.
//
// The error, a problem, says that the outline parts the area into several
// pieces, cuts a curb or a scupper, or takes in no primary outlet.
func PartOf(a *Area, ring geom.Ring, axesDeg *float64) (*Area, error) {
	pieces, err := geom.Intersect(geom.Poly{Outer: a.Outline.CCW(), Holes: a.Courts}, geom.Poly{Outer: ring.CCW()})
	if err != nil {
		return nil, fmt.Errorf("cut the partial scope out of area %s: %w", a.Name, err)
	}
	var whole []geom.Poly
	for _, p := range pieces {
		if p.Area() > leastPartSqft {
			whole = append(whole, p)
		}
	}
	switch {
	case len(whole) == 0:
		return nil, nil
	case len(whole) > 1:
		return nil, partFault(a, fmt.Sprintf("it takes %d pieces of area %s that do not hang together", len(whole), a.Name),
			"draw it round one piece, or run the pieces as jobs of their own")
	}
	out := &Area{Name: a.Name, Outline: whole[0].Outer, Courts: whole[0].Holes, Deck: a.Deck,
		Breaks: a.Breaks, Joints: a.Joints, Crickets: a.Crickets, OwnCrickets: a.OwnCrickets}
	from := out.edgesOf(a)
	if err := out.takeOutlets(a, whole[0], from); err != nil {
		return nil, err
	}
	return out, out.takeCurbs(a, whole[0], axesDeg)
}

func partFault(a *Area, why, mend string) error {
	return problem.Problem{Field: "scope.partial", Value: "area " + a.Name, Why: why, Mend: mend}
}

// edgesOf gives the part its edges, and for each the edge of a that it lies
// on; -1: none.
func (part *Area) edgesOf(a *Area) []int {
	from := make([]int, len(part.Outline))
	for n, p := range part.Outline {
		mid := p.Lerp(part.Outline.At(n+1), 0.5)
		from[n] = -1
		e := Edge{Kind: LimitEdge}
		for _, c := range a.Courts {
			if c.Dist(mid) < OnTieFt {
				e.Kind = Wall
			}
		}
		for k, q := range a.Outline {
			if geom.SegDist(mid, q, a.Outline.At(k+1)) < OnTieFt {
				from[n], e = k, Edge{}
				if k < len(a.Edges) {
					e = a.Edges[k]
				}
				break
			}
		}
		part.Edges = append(part.Edges, e)
	}
	return from
}

func (part *Area) takeOutlets(a *Area, poly geom.Poly, from []int) error {
	primary := 0
	for _, o := range a.Outlets {
		var in []Outlet
		var err error
		switch o.Kind {
		case Drain:
			if poly.Has(o.At) {
				in = []Outlet{o}
			}
		case Scupper:
			in, err = part.scupper(a, o, from)
		default:
			in = edgeOutlets(o, from)
		}
		if err != nil {
			return err
		}
		part.Outlets = append(part.Outlets, in...)
		if !o.Overflow {
			primary += len(in)
		}
	}
	if primary == 0 {
		return partFault(a, "no primary outlet lies in it, so new taper would have nowhere to drain to",
			"draw it round an outlet, or add one")
	}
	return nil
}

// scupper is a scupper of a on the edge of the part that its whole opening lies
// on.
func (part *Area) scupper(a *Area, o Outlet, from []int) ([]Outlet, error) {
	half := o.Width.Feet() / 2
	for n, k := range from {
		p, q := part.Outline[n], part.Outline.At(n+1)
		if k != o.Edge || geom.SegDist(o.At, p, q) > half {
			continue
		}
		if geom.SegDist(o.At, p, q) > OnTieFt || math.Min(o.At.Dist(p), o.At.Dist(q)) < half-OnTieFt {
			return nil, partFault(a, "it runs through scupper "+o.ID, "draw it beside the scupper")
		}
		o.Edge = n
		return []Outlet{o}, nil
	}
	return nil, nil
}

// edgeOutlets is a gutter or an open edge on each edge of the part that lies
// on it.
func edgeOutlets(o Outlet, from []int) []Outlet {
	var out []Outlet
	for n, k := range from {
		if k != o.Edge {
			continue
		}
		c := o
		c.Edge = n
		if len(out) > 0 {
			c.ID = fmt.Sprintf("%s/%d", o.ID, len(out)+1)
		}
		out = append(out, c)
	}
	return out
}

func (part *Area) takeCurbs(a *Area, poly geom.Poly, axesDeg *float64) error {
	for _, c := range a.Curbs {
		box := geom.Poly{Outer: curbRing(c, a, axesDeg).CCW()}
		in, err := geom.Intersect(box, poly)
		if err != nil {
			return fmt.Errorf("cut curb %s by the partial scope: %w", c.ID, err)
		}
		sqft := 0.0
		for _, p := range in {
			sqft += p.Area()
		}
		switch whole := box.Area(); {
		case sqft < geom.Sliver:
		case sqft < whole-1e-6*whole:
			return partFault(a, "it runs through curb "+c.ID, "draw it round the curb or beside it")
		default:
			part.Curbs = append(part.Curbs, c)
		}
	}
	return nil
}
