package render

import (
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// SectionSheets draws area i cut along each section of the job that crosses it,
// or along the one that is chosen where the job states none: through the deepest
// pond and the outlet that it misses, else from the highest place through the
// lowest outlet. Sheets are named section, the suffix of the area, and the
// section. An area without a surface has none. Cost: places along the line and
// boards.
func SectionSheets(r *Result, i int) []NamedScene {
	var out []NamedScene
	for _, c := range sectionsOf(r, &r.Areas[i]) {
		if cut := newCut(&r.Areas[i], c); cut != nil {
			out = append(out, NamedScene{Name: "section" + Suffix(r, i) + "-" + c.Name, Scene: sectionSheet(r, i, cut)})
		}
	}
	return out
}

// sectionsOf are the lines that an area is cut along, in job feet.
func sectionsOf(r *Result, a *AreaResult) []survey.Section {
	if a.Site == nil || a.Existing == nil || a.Existing.Surface == nil {
		return nil
	}
	if r.Job == nil || len(r.Job.Sections) == 0 {
		if c, ok := chosenSection(a); ok {
			return []survey.Section{c}
		}
		return nil
	}
	return r.Job.Sections
}

// chosenSection is the section where the job states none.
func chosenSection(a *AreaResult) (survey.Section, bool) {
	from, to, ok := worthCutting(a)
	if !ok || from.Dist(to) < 1e-6 {
		return survey.Section{}, false
	}
	u := to.Sub(from).Mul(1 / to.Dist(from))
	lo, hi := toOutline(a.Site, from, u.Mul(-1)), toOutline(a.Site, to, u)
	c := survey.Section{Name: "A", From: a.Site.Frame.ToJob(lo), To: a.Site.Frame.ToJob(hi)}
	if d := c.To.Sub(c.From); d.X < -1e-6 || math.Abs(d.X) <= 1e-6 && d.Y < 0 {
		c.From, c.To = c.To, c.From // read from the left, as on the plan
	}
	return c, true
}

// worthCutting are two places in the frame that the chosen section runs through.
func worthCutting(a *AreaResult) (from, to geom.Pt, ok bool) {
	outlet := func(id string, by geom.Pt) (geom.Pt, bool) {
		for _, o := range a.Site.Outlets {
			if o.ID == id {
				return geom.SegNearest(by, o.A, o.B), true
			}
		}
		return geom.Pt{}, false
	}
	if len(a.Existing.Ponds) > 0 {
		p := a.Existing.Ponds[0]
		for _, id := range []string{p.Misses, p.SpillsTo} {
			if at, has := outlet(id, p.Deepest); has && at.Dist(p.Deepest) > 1 {
				return p.Deepest, at, true
			}
		}
		return p.Deepest, p.Deepest.Add(geom.Pt{X: 1}), true
	}
	surf := a.Existing.Surface
	high := -1
	for k, on := range surf.Roof {
		if on && surf.IsKnown(k) && (high < 0 || surf.ElevIn[k] > surf.ElevIn[high]+1e-9) {
			high = k
		}
	}
	low := math.Inf(1)
	if high < 0 {
		return from, to, false
	}
	from = surf.Centre(high%surf.NX, high/surf.NX)
	for _, o := range a.Site.Outlets {
		at := geom.SegNearest(from, o.A, o.B)
		if v, has := surf.Elevation(at); has && !o.Overflow && v < low-1e-9 {
			low, to, ok = v, at, true
		}
	}
	return from, to, ok
}

// toOutline is where a ray from p leaves the outline for the first time; p where
// it does not.
func toOutline(s *survey.Site, p, u geom.Pt) geom.Pt {
	w, h := s.Outline.Box().Size()
	far := p.Add(u.Mul(2*math.Hypot(w, h) + 10))
	best := math.Inf(1)
	for n := range s.Outline {
		if q, ok := geom.Cross(p, far, s.Outline[n], s.Outline.At(n+1)); ok {
			if d := q.Dist(p); d > 0.05 && d < best {
				best = d
			}
		}
	}
	if math.IsInf(best, 1) {
		return p
	}
	return p.Add(u.Mul(best))
}

// cut is a roof along a line, place by place.
type cut struct {
	name     string
	of       *AreaResult
	from, to geom.Pt   // frame
	ft       []float64 // along the line
	roof     []bool
	curb     []int     // of Site.Curbs; -1: none
	oldIn    []float64 // elevations, inches
	deck     []float64 // not a number where not known, as those below
	deckSig  []float64
	newIn    []float64
	parts    [][]float64 // elevations of the tops of base, fill, tapered, cover
}

// newCut samples the roof along a section; places before and after it are left
// out. It is nil where the section does not cross the roof.
func newCut(a *AreaResult, line survey.Section) *cut {
	c := cutLine(a, line)
	if c == nil {
		return nil
	}
	n := c.count()
	for k := range n + 1 {
		c.sample(float64(k) / float64(n))
	}
	c.layers()
	return c
}

// cutLine is a section as far as it runs over the roof; nil where it does not.
func cutLine(a *AreaResult, line survey.Section) *cut {
	c := &cut{name: line.Name, of: a, from: a.Site.Frame.ToLocal(line.From), to: a.Site.Frame.ToLocal(line.To)}
	n := c.count()
	first, last := -1, -1
	for k := range n + 1 {
		p := c.from.Lerp(c.to, float64(k)/float64(n))
		if _, ok := a.Existing.Surface.Elevation(p); ok && a.Site.OnRoof(p) {
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	if last == first {
		return nil
	}
	from, to := c.from, c.to
	c.from, c.to = from.Lerp(to, float64(first)/float64(n)), from.Lerp(to, float64(last)/float64(n))
	return c
}

// count is how many steps a cut is sampled in: two a cell, 1,500 at most.
func (c *cut) count() int {
	return int(math.Max(2, math.Min(1500, math.Ceil(c.length()/(c.of.Existing.Surface.CellFt/2)))))
}

func (c *cut) pos(k int) geom.Pt { return c.from.Lerp(c.to, c.ft[k]/c.length()) }
func (c *cut) length() float64   { return c.from.Dist(c.to) }

// sample reads the surfaces a share t of the way.
func (c *cut) sample(t float64) {
	a, p := c.of, c.from.Lerp(c.to, t)
	read := func(s *survey.Surface) float64 {
		if s == nil {
			return math.NaN()
		}
		if v, ok := s.Elevation(p); ok {
			return v
		}
		return math.NaN()
	}
	roof, curb := a.Site.OnRoof(p), -1
	for n, ring := range a.Site.Curbs {
		if ring.Has(p) {
			curb = n
		}
	}
	existing, deck := read(a.Existing.Surface), read(a.DeckTop)
	finished := math.NaN()
	if a.Proof != nil {
		finished = read(a.Proof.Surface)
	}
	sigma := a.Deck.SigmaIn
	if d := a.DeckTop; d != nil && d.SigmaIn != nil {
		if i, j := d.CellOf(p); d.Holds(i, j) && d.SigmaIn[j*d.NX+i] > 0 {
			sigma = d.SigmaIn[j*d.NX+i]
		}
	}
	c.ft, c.roof, c.curb = append(c.ft, t*c.length()), append(c.roof, roof && !math.IsNaN(existing)), append(c.curb, curb)
	c.oldIn, c.deck = append(c.oldIn, existing), append(c.deck, deck)
	c.deckSig, c.newIn = append(c.deckSig, sigma), append(c.newIn, finished)
}

// layers stacks the boards of the design at every place. Where a place lies on
// a joint, so that the boards there do not make up the finished surface, what
// stands before it is carried on.
func (c *cut) layers() {
	const mostOffIn = 0.3
	c.parts = make([][]float64, len(c.ft))
	if c.of.Design == nil || c.of.Base == nil {
		return
	}
	stack := make([][4]float64, len(c.ft))
	for _, b := range c.of.Design.Boards {
		part := partOf(b.Type)
		lo, hi, ok := c.within(b.Poly)
		for k := lo; ok && k <= hi; k++ {
			if p := c.pos(k); b.Poly.Has(p) {
				stack[k][part] += b.Plane.At(p)
			}
		}
	}
	for k := range c.ft {
		base, ok := c.of.Base.Elevation(c.pos(k))
		if !ok || !c.roof[k] || math.IsNaN(c.newIn[k]) {
			continue
		}
		tops := make([]float64, 5)
		tops[0] = base
		for n, t := range stack[k] {
			tops[n+1] = tops[n] + t
		}
		switch {
		case math.Abs(tops[4]-c.newIn[k]) <= mostOffIn:
			c.parts[k] = tops
		case k > 0 && c.parts[k-1] != nil:
			c.parts[k] = slices.Clone(c.parts[k-1])
		}
	}
}

// within are the first and the last place that the box of a region may hold.
func (c *cut) within(p geom.Poly) (lo, hi int, ok bool) {
	box, d := p.Outer.Box(), c.to.Sub(c.from)
	t0, t1 := 0.0, 1.0
	clip := func(from, step, least, most float64) {
		if math.Abs(step) < 1e-12 {
			if from < least || from > most {
				t1 = -1
			}
			return
		}
		a, b := (least-from)/step, (most-from)/step
		t0, t1 = math.Max(t0, math.Min(a, b)), math.Min(t1, math.Max(a, b))
	}
	clip(c.from.X, d.X, box.Min.X, box.Max.X)
	clip(c.from.Y, d.Y, box.Min.Y, box.Max.Y)
	last := float64(len(c.ft) - 1)
	lo, hi = max(0, int(t0*last)-1), min(len(c.ft)-1, int(t1*last)+1)
	return lo, hi, t1 >= t0
}

// station is how far along the cut a place lies, and how far off it.
func (c *cut) station(p geom.Pt) (ft, off float64) {
	u := c.to.Sub(c.from).Mul(1 / c.length())
	ft = p.Sub(c.from).Dot(u)
	return ft, math.Abs(p.Sub(c.from).Cross(u))
}

// sounding is a pond as the cut meets it.
type sounding struct {
	pond drainage.Pond
	k    []int // places under water
	deep float64
}

// soundings are the ponds of a report along the cut.
func (c *cut) soundings(rep *drainage.Report, elev []float64) []sounding {
	var out []sounding
	for _, p := range rep.Ponds {
		s := sounding{pond: p}
		for k := range c.ft {
			q := c.pos(k)
			if c.roof[k] && elev[k] < p.SpillIn && slices.ContainsFunc(p.Outline, func(o geom.Poly) bool { return o.Has(q) }) {
				s.k = append(s.k, k)
				s.deep = math.Max(s.deep, p.SpillIn-elev[k])
			}
		}
		if len(s.k) > 1 {
			out = append(out, s)
		}
	}
	return out
}

// bounds are the least and the greatest elevation drawn.
func (c *cut) bounds() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	take := func(v float64) {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	for k := range c.ft {
		if !c.roof[k] {
			continue
		}
		take(c.oldIn[k])
		take(c.newIn[k])
		take(c.deck[k] - c.deckSig[k])
		take(c.deck[k] + c.deckSig[k])
	}
	for _, s := range c.soundings(c.of.Existing, c.oldIn) {
		take(s.pond.SpillIn)
	}
	return lo, math.Max(hi, lo+unit.Inch.Inches()/4)
}

// where says in words where a section runs.
func (s say) whereCut(f survey.Section) string {
	return fmt.Sprintf("from x %s, y %s to x %s, y %s", s.place(f.From.X), s.place(f.From.Y), s.place(f.To.X), s.place(f.To.Y))
}
