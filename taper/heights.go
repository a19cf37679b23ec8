package taper

import (
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// flashing is the base flashing wanted above the finished surface, by habit:
// 8 in, in metric jobs 150 mm. Common practice, no source.
func flashing(sys unit.System) unit.Length {
	if sys == unit.Metric {
		return unit.Millimetres(150)
	}
	return 8 * unit.Inch
}

// Ducts stand higher than flashing: 18 in above the roof, 455 mm (UFC 3-110-03, as a
// study guide has it).
const ductSource = "UFC 3-110-03, through a study guide"

func ductClear(sys unit.System) unit.Length {
	if sys == unit.Metric {
		return unit.Millimetres(455)
	}
	return 18 * unit.Inch
}

// HeightLeft is what a design leaves of the stated height of one roof item.
type HeightLeft struct {
	Item    string // "curb U1", "edge 0 (parapet)"
	Stated  survey.Height
	Wanted  unit.Length
	Source  string // of Wanted; empty: it is the flashing of the rules
	Verdict drainage.Verdict
	// Left is the least height left, of all places round the item where it is
	// known, New what lies below the finished surface there; with ToldPct 0 they
	// are unset.
	Left, New, Sigma unit.Length
	At               geom.Pt // frame
	ToldPct          float64 // share of the item's length where it is known
	Why              string  // it is not known elsewhere
	Mend             string  // what would leave more; empty: not told, or not wanted
}

// Beside says what heights of one area are held against.
type Beside struct {
	Area   *survey.Area
	Site   *survey.Site // of Area
	Design *Design      // in the frame of Site
	Levels fit.Levels
	Scope  survey.Scope
	Wanted unit.Length // base flashing by the rules; 0: by habit
	// Slopes are those that boards are to be had in, rising; nil: not told.
	Slopes []unit.Slope
	Rules  drainage.Rules // that flatter boards are held against
	source string         // of Wanted; empty: the rules
}

// Heights gives what the design leaves of every stated height of a curb, a door, a
// sill, a weep, an edge and a duct, in this order and each in that of the job. Items that the design does not
// touch are left out. New insulation and cover are taken at every foot along
// the item; the membrane's own thickness is not. Cost: length of the items x
// facets.
func Heights(b Beside) []HeightLeft {
	var out []HeightLeft
	for n, c := range b.Area.Curbs {
		if c.Height.Stated() && n < len(b.Site.Curbs) {
			out = b.add(out, "curb "+curbName(b.Site, n), c.Height, b.Site.Curbs[n], true)
		}
	}
	for _, d := range b.Area.Doors {
		out = b.wallItem(out, "door", d)
	}
	for _, d := range b.Area.Sills {
		out = b.wallItem(out, "sill", d)
	}
	for _, d := range b.Area.Weeps {
		out = b.wallItem(out, "weep", d)
	}
	for n, e := range b.Area.Edges {
		if e.Height.Stated() && (e.Kind == survey.Parapet || e.Kind == survey.Wall) && n < len(b.Site.Edges) {
			line := geom.Ring{b.Site.Edges[n].A, b.Site.Edges[n].B}
			out = b.add(out, fmt.Sprintf("edge %d (%s)", n, e.Kind), e.Height, line, false)
		}
	}
	b.Wanted, b.source = ductClear(b.Levels.Units), ductSource
	for _, d := range b.Area.Ducts {
		line := geom.Ring{b.Site.Frame.ToLocal(d.From), b.Site.Frame.ToLocal(d.To)}
		out = b.add(out, "duct "+d.ID, d.Height, line, false)
	}
	return out
}

// wallItem measures at a door, a sill or a weep, all along it where its width is
// stated.
func (b Beside) wallItem(out []HeightLeft, what string, d survey.WallItem) []HeightLeft {
	at := b.Site.Frame.ToLocal(d.At)
	line := geom.Ring{at, at}
	if d.Edge >= 0 && d.Edge < len(b.Site.Edges) {
		e := b.Site.Edges[d.Edge]
		half := e.B.Sub(e.A).Mul(d.Width.Feet() / 2 / e.A.Dist(e.B))
		line = geom.Ring{at.Sub(half), at.Add(half)}
	} else if p, ok := besideFacet(b.Design.Facets, at); ok {
		line = geom.Ring{p, p}
	}
	before := len(out)
	out = b.add(out, what+" "+d.ID, d.Height, line, false)
	if what == "door" && len(out) > before && (out[before].Verdict == drainage.FallsShort || out[before].Verdict == drainage.TooClose) {
		out[before].Mend = "raise the door, keep a local thin zone before it, or set a drain nearby" + b.exception(out[before])
	}
	return out
}

// besideFacet is the place of the nearest facet, within the reach of a door.
func besideFacet(facets []Facet, p geom.Pt) (geom.Pt, bool) {
	best, at := survey.DoorReach.Feet(), p
	found := false
	for _, f := range facets {
		if f.Poly.Has(p) {
			return p, true
		}
		for _, r := range f.Poly.Rings() {
			for i, a := range r {
				q := geom.SegNearest(p, a, r.At(i+1))
				if d := p.Dist(q); d <= best {
					best, at, found = d, q, true
				}
			}
		}
	}
	return at, found
}

// add measures along a line, closed or not.
func (b Beside) add(out []HeightLeft, item string, h survey.Height, line geom.Ring, closed bool) []HeightLeft {
	x := HeightLeft{Item: item, Stated: h, Wanted: b.Wanted, Source: b.source}
	if x.Wanted == 0 {
		x.Wanted = flashing(b.Levels.Units)
	}
	told, all := 0, 0
	last := len(line)
	if !closed {
		last--
	}
	for i := range last {
		p, q := line[i], line.At(i+1)
		n := max(1, int(math.Ceil(p.Dist(q))))
		for k := range n + 1 {
			at := p.Lerp(q, float64(k)/float64(n))
			newIn, ok := ThicknessAt(b.Design.Facets, at)
			if !ok {
				continue
			}
			all++
			if b.take(&x, at, unit.Inches(newIn)+b.Design.Cover, told == 0) {
				told++
			}
		}
	}
	if all == 0 {
		return out
	}
	x.ToldPct = 100 * float64(told) / float64(all)
	x.Verdict = x.judge(told == all)
	if x.Verdict == drainage.FallsShort {
		x.Mend = b.fits(x)
	}
	return append(out, x)
}

// take takes one place into account; false where the height is not known there.
func (b Beside) take(x *HeightLeft, at geom.Pt, above unit.Length, first bool) bool {
	h := aboveBase(x.Stated, at, b.Scope, b.Levels)
	if !h.OK {
		if x.Why == "" {
			x.Why = h.Why
		}
		return false
	}
	if left := h.Height - above; first || left < x.Left {
		x.Left, x.New, x.Sigma, x.At = left, above, h.Sigma, at
	}
	return true
}

// judge says whether enough is left, by two standard errors; what is known of a
// part of the item is enough to fall short.
func (x HeightLeft) judge(whole bool) drainage.Verdict {
	over, doubt := (x.Left - x.Wanted).Inches(), 2*x.Sigma.Inches()
	switch {
	case x.ToldPct == 0:
		return drainage.Unknown
	case over < -doubt-1e-9:
		return drainage.FallsShort
	case !whole:
		return drainage.Unknown
	case over >= doubt-1e-9:
		return drainage.Meets
	}
	return drainage.TooClose
}
