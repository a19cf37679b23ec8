package taper

import (
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// Own is what the designer draws of a field, in the frame: ridges that no water
// crosses (joints and dividers of the building count too), low lines, and regions
// with a scheme and a slope of their own.
type Own struct {
	Ridges, Valleys []OwnLine
	Regions         []survey.Region
}

// OwnLine is a line of the designer's, in the frame. Field is its key in the job
// file, which problems name.
type OwnLine struct {
	At          []geom.Pt
	Name, Field string
}

// OwnOf puts the lines of a job that come over a site, and its regions, into the
// frame of the site.
func OwnOf(j *survey.Job, s *survey.Site) Own {
	var own Own
	area := slices.IndexFunc(j.Areas, func(a survey.Area) bool { return a.Name == s.Name })
	for n, at := range s.Joints {
		own.Ridges = append(own.Ridges, OwnLine{At: at, Name: fmt.Sprintf("joint %d of area %s", n+1, s.Name),
			Field: fmt.Sprintf("areas[%d].joints[%d]", area, n)})
	}
	for n, l := range j.Lines {
		at := geom.Ring(l.At).Map(s.Frame.ToLocal)
		line := OwnLine{At: at, Name: fmt.Sprintf("%s %d of lines", l.Kind, n+1), Field: fmt.Sprintf("lines[%d].at", n)}
		switch {
		case !comesOver(s, at): // it is drawn on another area
		case l.Kind == survey.OwnRidge:
			own.Ridges = append(own.Ridges, line)
		default:
			own.Valleys = append(own.Valleys, line)
		}
	}
	for _, r := range j.Regions {
		r.Outline = r.Outline.Map(s.Frame.ToLocal).CCW()
		own.Regions = append(own.Regions, r)
	}
	return own
}

// comesOver says whether some stretch of a line lies on the site and not just along
// its outline.
func comesOver(s *survey.Site, line []geom.Pt) bool {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		cuts := []float64{0, 1}
		for _, r := range s.Poly().Rings() {
			for k, p := range r {
				if t, ok := meets(a, b.Sub(a), p, r.At(k+1)); ok && t > 0 {
					cuts = append(cuts, t)
				}
			}
		}
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			if mid := a.Lerp(b, (cuts[k-1]+cuts[k])/2); s.Poly().Has(mid) && s.Poly().Dist(mid) > onBorderFt {
				return true
			}
		}
	}
	return false
}

// pastWallFt is how far the designer's lines are carried on, so that one drawn to
// a wall reaches it.
const pastWallFt = 1.0

// carriedOn is a line with its ends carried on by pastWallFt.
func carriedOn(l []geom.Pt) []geom.Pt {
	n := len(l)
	out := append([]geom.Pt(nil), l...)
	out[0] = l[0].Add(l[0].Sub(l[1]).Mul(pastWallFt / l[0].Dist(l[1])))
	out[n-1] = l[n-1].Add(l[n-1].Sub(l[n-2]).Mul(pastWallFt / l[n-1].Dist(l[n-2])))
	return out
}

// DividedField designs each part of a site by itself, parted by own.Ridges and
// by the borders of own.Regions, each with the scheme and the slope of its
// region. What is changed in one part changes no other. Where thickness differs
// along a border a note says by how much. Errors as in FieldOf; parts without an
// outlet are faults of the job, all at once. Without ridges and regions it is FieldOf.
func DividedField(ctx context.Context, s *survey.Site, in FieldInput, own Own) (Field, error) {
	in.Valleys = own.Valleys
	lines, deckNotes, err := deckRidges(s, in)
	if err != nil {
		return Field{}, err
	}
	for _, l := range own.Ridges {
		lines = append(lines, carriedOn(l.At))
	}
	for _, r := range own.Regions {
		lines = append(lines, append(r.Outline[:len(r.Outline):len(r.Outline)], r.Outline[0]))
	}
	if len(lines) == 0 {
		f, err := FieldOf(ctx, s, in)
		f.Notes = append(deckNotes, f.Notes...)
		return f, err
	}
	parts, err := lower.Parts(s.Poly(), lines)
	if err != nil {
		return Field{}, fmt.Errorf("divide area %s: %w", s.Name, err)
	}
	if len(parts) == 1 && len(own.Regions) == 0 && len(own.Ridges) > 0 {
		f, err := FieldOf(ctx, s, in)
		f.Notes = append(f.Notes, "the ridges drawn end within the roof: they divide nothing")
		return f, err
	}
	if err := dryParts(s, parts, in, own); err != nil {
		return Field{}, err
	}
	all := Field{Notes: deckNotes}
	var of []int
	for n, p := range parts {
		f, err := FieldOf(ctx, partSite(s, p), in.within(p, own))
		if err != nil {
			return Field{}, fmt.Errorf("part of area %s about %s: %w", s.Name, placeText(somewhereIn(p), s.Frame, in.Units), err)
		}
		for range f.Facets {
			of = append(of, n)
		}
		all.add(f)
	}
	all.Lines, err = TopLines(s, all.Facets)
	all.Notes = append(all.Notes, stepNotes(s, all.Facets, of, in.Units)...)
	return all, err
}

// dryParts names every part that the designer's lines leave without an outlet, as
// faults of the lines and regions that do; nil where each has one.
func dryParts(s *survey.Site, parts []geom.Poly, in FieldInput, own Own) error {
	var dry problem.List
	for _, p := range parts {
		if hasOutlet(partSite(s, p), in.within(p, own).Scheme) {
			continue
		}
		for _, field := range own.bordering(p) { // none: FieldOf tells
			dry.Add(problem.Problem{Field: field,
				Why:  "it leaves the part about " + placeText(somewhereIn(p), s.Frame, in.Units) + " without an outlet",
				Mend: "draw it elsewhere or add an outlet"})
		}
	}
	return dry.Err()
}

// bordering gives the keys of the ridges, joints and regions that a part ends at.
func (own Own) bordering(part geom.Poly) []string {
	var by []string
	for _, l := range own.Ridges {
		if endsAlong(part, l.At) {
			by = append(by, l.Field)
		}
	}
	for n, r := range own.Regions {
		if endsAlong(part, append(r.Outline[:len(r.Outline):len(r.Outline)], r.Outline[0])) {
			by = append(by, fmt.Sprintf("regions[%d].outline", n))
		}
	}
	return by
}

// endsAlong says whether a stretch of a region's border lies on a line.
func endsAlong(part geom.Poly, line []geom.Pt) bool {
	line = carriedOn(line)
	for i := 1; i < len(line); i++ {
		if _, _, ok := borderOf(part, line[i-1], line[i]); ok {
			return true
		}
	}
	return false
}

// add appends a part's field; its facets are numbered on.
func (f *Field) add(part Field) {
	for _, x := range part.Facets {
		x.ID = len(f.Facets) + 1
		f.Facets = append(f.Facets, x)
	}
	f.Low = append(f.Low, part.Low...)
	for _, n := range part.Notes {
		known := false
		for _, m := range f.Notes {
			known = known || m == n
		}
		if !known {
			f.Notes = append(f.Notes, n)
		}
	}
}

// DeckPolys are the parts of a site between the ridges and valleys of its own deck;
// one where it has none.
func DeckPolys(s *survey.Site) ([]geom.Poly, error) {
	if len(s.Breaks) == 0 {
		return []geom.Poly{s.Poly()}, nil
	}
	var lines [][]geom.Pt
	for _, l := range s.Breaks {
		lines = append(lines, carriedOn(l))
	}
	parts, err := lower.Parts(s.Poly(), lines)
	if err != nil {
		return nil, fmt.Errorf("divide area %s at the lines of its deck: %w", s.Name, err)
	}
	return parts, nil
}

// within is in for one part: the scheme and slope of its region, and the low lines
// that lie in it.
func (in FieldInput) within(part geom.Poly, own Own) FieldInput {
	p := somewhereIn(part)
	for _, r := range own.Regions {
		if !r.Outline.Has(p) {
			continue
		}
		if r.Scheme != survey.UnsetScheme {
			in.Scheme = r.Scheme
		}
		if r.Slope > 0 {
			in.Slope = r.Slope
		}
	}
	in.Valleys = nil
	for _, v := range own.Valleys {
		if mid := v.At[0].Lerp(v.At[1], 0.5); part.Has(mid) {
			in.Valleys = append(in.Valleys, v)
		}
	}
	return in.over(part)
}

// over is in with the planes of deck that a part stands on.
func (in FieldInput) over(part geom.Poly) FieldInput {
	var decks []DeckPart
	for _, d := range in.Decks {
		shared, err := geom.Intersect(d.Poly, part)
		sqft := 0.0
		for _, p := range shared {
			sqft += p.Area()
		}
		if err != nil || sqft > geom.Sliver {
			decks = append(decks, d)
		}
	}
	if len(decks) == 1 {
		in.Deck, decks = decks[0].Plane, nil
	}
	in.Decks = decks
	return in
}

// deckRidges are the stretches of the deck's own lines over which it falls away on
// both hands: each side of one is designed by itself, on its own plane, as long
// as every part that they make has an outlet.
func deckRidges(s *survey.Site, in FieldInput) ([][]geom.Pt, []string, error) {
	const besideFt = 0.05
	var out [][]geom.Pt
	for _, l := range s.Breaks {
		for i := 1; i < len(l); i++ {
			mid, d := l[i-1].Lerp(l[i], 0.5), l[i].Sub(l[i-1])
			left := geom.Pt{X: -d.Y, Y: d.X}.Mul(1 / d.Norm())
			a, okA := in.deckAt(mid.Add(left.Mul(besideFt)))
			b, okB := in.deckAt(mid.Sub(left.Mul(besideFt)))
			if okA && okB && rise(a, left)-rise(b, left) < -levelInPerFt {
				out = append(out, carriedOn(l[i-1:i+1]))
			}
		}
	}
	if len(out) == 0 {
		return nil, nil, nil
	}
	parts, err := lower.Parts(s.Poly(), out)
	if err != nil {
		return nil, nil, fmt.Errorf("divide area %s at the ridges of its deck: %w", s.Name, err)
	}
	for _, p := range parts {
		if !hasOutlet(partSite(s, p), in.Scheme) {
			at := s.Frame.ToJob(p.Centroid())
			return nil, []string{fmt.Sprintf("the deck about %.0f, %.0f ft falls away from every outlet: boards are laid over its ridge, "+
				"as steep as that takes", at.X, at.Y)}, nil
		}
	}
	return out, nil, nil
}

// deckAt is the plane of the part of the deck at a place.
func (in FieldInput) deckAt(p geom.Pt) (survey.Plane, bool) {
	for _, d := range in.Decks {
		if d.Poly.Has(p) {
			return d.Plane, true
		}
	}
	return survey.Plane{}, false
}

// hasOutlet says whether a scheme has a source on a site.
func hasOutlet(s *survey.Site, scheme survey.Scheme) bool {
	for _, o := range s.Outlets {
		if !o.Overflow && (o.IsEdge() || isPlace(o, scheme) || o.Kind == survey.Scupper) {
			return true
		}
	}
	return false
}

// somewhereIn is a place well inside a region: the middle of the largest of its
// convex parts.
func somewhereIn(p geom.Poly) geom.Pt {
	best, at := 0.0, p.Outer[0]
	for _, r := range lower.Convex(p) {
		if a := r.SignedArea(); a > best {
			best, at = a, geom.Poly{Outer: r}.Centroid()
		}
	}
	return at
}

// partSite is one part of a site as a site of its own: edges on edges of s stay
// what they are, others are limits; outlets in it or on its border.
func partSite(s *survey.Site, part geom.Poly) *survey.Site {
	out := *s
	out.Outline, out.Courts, out.Edges, out.Outlets = part.Outer.CCW(), part.Holes, nil, nil
	from := make([]int, len(out.Outline))
	for n, p := range out.Outline {
		q := out.Outline.At(n + 1)
		e := survey.SiteEdge{A: p, B: q, Kind: survey.LimitEdge}
		from[n] = edgeAt(s, p.Lerp(q, 0.5))
		if from[n] >= 0 {
			e.Kind, e.Height = s.Edges[from[n]].Kind, s.Edges[from[n]].Height
		}
		out.Edges = append(out.Edges, e)
	}
	for _, o := range s.Outlets {
		out.Outlets = append(out.Outlets, partOutlets(o, &out, from)...)
	}
	return &out
}

// partOutlets is what a part has of an outlet: a drain inside it, a scupper in its
// wall, each stretch of an edge that lets water go.
func partOutlets(o survey.SiteOutlet, part *survey.Site, from []int) []survey.SiteOutlet {
	var out []survey.SiteOutlet
	if o.Edge < 0 {
		if part.Poly().Has(o.P) || part.Poly().Dist(o.P) < onBorderFt {
			out = append(out, o)
		}
		return out
	}
	for n, k := range from {
		e := part.Edges[n]
		switch {
		case k != o.Edge:
		case o.IsEdge():
			c := o
			c.Edge, c.A, c.B, c.P = n, e.A, e.B, e.A.Lerp(e.B, 0.5)
			out = append(out, c)
		case geom.SegDist(o.P, e.A, e.B) < onBorderFt:
			c := o
			c.Edge = n
			return append(out, c)
		}
	}
	return out
}

// stepNotes tells the greatest step of insulation along the borders of parts.
func stepNotes(s *survey.Site, facets []Facet, of []int, sys unit.System) []string {
	var most most
	for i, f := range facets {
		for _, p := range f.Poly.Outer {
			for k, g := range facets {
				if of[k] != of[i] && g.Poly.Dist(p) < onBorderFt {
					most.take(math.Abs(f.Plane.At(p)-g.Plane.At(p)), p)
				}
			}
		}
	}
	if most.in < flushIn {
		return nil
	}
	return []string{fmt.Sprintf("where ridges, joints and regions end the field, crickets apart, steps by up to %s, at %s: block or feather it, "+
		"or move the line", unit.Inches(most.in).FormatThin(sys), placeText(most.at, s.Frame, sys))}
}
