package render

import (
	"math"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// planeRoof is 60 x 40 ft that rises 1/4 in/ft from its left edge, where a
// gutter is, with a pond of 2 in at x 20 to 28, boards of 1 and 2 in on it and
// 1/2 in of cover.
func planeRoof() *Result {
	a := survey.Area{Name: "A", Outline: geom.Box{Max: geom.Pt{X: 60, Y: 40}}.Ring(), Edges: make([]survey.Edge, 4)}
	a.Edges[3].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-3", Kind: survey.GutterOutlet, Edge: 3}}
	site := survey.SiteOf(&a, nil)
	l := survey.LatticeOf(site, 0.5)
	surf := func(rise float64) *survey.Surface {
		s := &survey.Surface{Lattice: l, Roof: survey.RoofCells(site, l), ElevIn: make([]float64, l.Len())}
		for k := range s.ElevIn {
			s.ElevIn[k] = rise + 0.25*site.Frame.ToJob(l.Centre(k%l.NX, k/l.NX)).X
		}
		return s
	}
	existing, finished := surf(1200), surf(1203.5)
	pond := geom.Ring{{X: 20, Y: 10}, {X: 28, Y: 10}, {X: 28, Y: 30}, {X: 20, Y: 30}}.Map(site.Frame.ToLocal).CCW()
	rep := &drainage.Report{Surface: existing, FilledIn: existing.ElevIn, RoofSqft: 2400,
		Ponds: []drainage.Pond{{ID: "P1", DepthIn: 2, SpillIn: 1207, SpillsTo: "A-3", Deepest: site.Frame.ToLocal(geom.Pt{X: 20, Y: 20}),
			Outline: []geom.Poly{{Outer: pond}}}}}
	d := &taper.Design{Cover: unit.Inches(0.5)}
	whole := geom.Poly{Outer: site.Outline}
	d.Boards = []taper.Board{{Layer: 1, Type: taper.BaseType, Poly: whole, Plane: survey.Plane{CIn: 1}},
		{Layer: 2, Type: taper.TaperedType, Poly: whole, Plane: survey.Plane{CIn: 2}},
		{Layer: 3, Type: taper.CoverType, Poly: whole, Plane: survey.Plane{CIn: 0.5}}}
	job := &survey.Job{Name: "Plane", Units: unit.US, Sections: []survey.Section{{Name: "X", From: geom.Pt{X: -5, Y: 20}, To: geom.Pt{X: 70, Y: 20}}}}
	return &Result{Job: job, Areas: []AreaResult{{Area: a, Site: site, Existing: rep, Base: existing, DeckTop: existing,
		Fit: &fit.Result{Surface: existing}, Design: d, Proof: &taper.Proof{Surface: finished, Report: &drainage.Report{Surface: finished}}}}}
}

// TestCut_Plane: a cut reads what the surfaces are: 59-1/2 ft between the
// outermost places on the roof, 1/4 in/ft, 1, 2 and 1/2 in of layers.
func TestCut_Plane(t *testing.T) {
	r := planeRoof()
	a := &r.Areas[0]
	c := newCut(a, r.Job.Sections[0])
	if got := c.length(); math.Abs(got-60) > 0.5 {
		t.Errorf("%.2f ft long", got)
	}
	for k := range c.ft {
		x := a.Site.Frame.ToJob(c.pos(k)).X
		if x < 0.5 || x > 59.5 {
			continue // beside walls a surface is carried on level
		}
		z := 1200 + 0.25*x
		if math.Abs(c.oldIn[k]-z) > 1e-6 || math.Abs(c.newIn[k]-z-3.5) > 1e-6 || math.Abs(c.deck[k]-z) > 1e-6 {
			t.Fatalf("x %.2f: existing %.3f, finished %.3f, deck %.3f", x, c.oldIn[k], c.newIn[k], c.deck[k])
		}
		for n, want := range []float64{0, 1, 1, 3, 3.5} {
			if got := c.parts[k][n] - z; math.Abs(got-want) > 1e-6 {
				t.Fatalf("x %.2f: top of part %d %.3f in over the base, want %g", x, n, got, want)
			}
		}
	}
	s := c.soundings(a.Existing, c.oldIn)
	if len(s) != 1 || math.Abs(s[0].deep-2) > 0.1 || math.Abs(c.ft[s[0].k[len(s[0].k)-1]]-c.ft[s[0].k[0]]-8) > 0.6 {
		t.Errorf("soundings %+v", s)
	}
}

// TestSectionSheets_Say: what must stand on a section, with its figures.
func TestSectionSheets_Say(t *testing.T) {
	sheets := SectionSheets(planeRoof(), 0)
	if len(sheets) != 1 || sheets[0].Name != "section-X" {
		t.Fatalf("%d sheets", len(sheets))
	}
	all := wordsOf(sheets[0].Scene)
	for _, w := range []string{"X' ", "0.25 in/ft", "P1, 2\" here", "A-3", "gutter edge", "parapet", "times as large as lengths",
		"base: full flat layers", "tapered boards", "cover board", "finished top", "10 ft"} {
		if !strings.Contains(all, w) {
			t.Errorf("no %q in %s", w, all)
		}
	}
	if err := sheets[0].Scene.Check(); err != nil {
		t.Error(err)
	}
}

// TestSectionSheets_SlopeArrows: water runs left, to the gutter.
func TestSectionSheets_SlopeArrows(t *testing.T) {
	arrows := 0
	for _, m := range SectionSheets(planeRoof(), 0)[0].Scene.Marks {
		if s, ok := m.(scene.Shape); ok && strings.HasPrefix(s.Name, "slope arrow") {
			arrows++
			if tip, tail := s.Rings[0][0], s.Rings[0][3]; tip.X >= tail.X {
				t.Errorf("%s points uphill", s.Name)
			}
		}
	}
	if arrows == 0 {
		t.Error("no arrow")
	}
}

// TestChosenSection: through the deepest pond and its outlet, from the left.
func TestChosenSection(t *testing.T) {
	r := roofOf(lJob(), 6)
	a := &r.Areas[0]
	c, ok := chosenSection(a)
	if !ok || c.From.X > c.To.X {
		t.Fatalf("%v %v", c, ok)
	}
	p := a.Existing.Ponds[0]
	for _, at := range []geom.Pt{p.Deepest, outletPlace(a.Site, p.Misses)} {
		if d := geom.SegDist(a.Site.Frame.ToJob(at), c.From, c.To); d > 1e-6 {
			t.Errorf("%.2f ft off %v", d, at)
		}
	}
}

func outletPlace(s *survey.Site, id string) geom.Pt {
	for _, o := range s.Outlets {
		if o.ID == id {
			return o.P
		}
	}
	return geom.Pt{}
}

// TestBordersOf: two areas of 3 x 4 cells share one border of four sides, once.
func TestBordersOf(t *testing.T) {
	l := survey.Lattice{CellFt: 0.5, NX: 6, NY: 4}
	box := func(x0, x1 float64) []geom.Poly {
		return []geom.Poly{{Outer: geom.Box{Min: geom.Pt{X: x0, Y: -1}, Max: geom.Pt{X: x1, Y: 1}}.Ring()}}
	}
	rep := &drainage.Report{Surface: &survey.Surface{Lattice: l},
		Areas: []drainage.DrainageArea{{Outlet: "D1", Regions: box(-1.5, 0)}, {Outlet: "D2", Regions: box(0, 1.5)}}}
	got := bordersOf(rep)
	if len(got) != 1 {
		t.Fatalf("%d borders", len(got))
	}
	for _, p := range got[0] {
		if p.X != 0 {
			t.Errorf("place %v", p)
		}
	}
	first, last := got[0][0], got[0][len(got[0])-1]
	if first.Dist(last) != 2 {
		t.Errorf("from %v to %v", first, last)
	}
}
