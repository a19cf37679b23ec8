package taper

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

func makeInput(scheme survey.Scheme) MakeInput {
	return MakeInput{Stock: DefaultStock(unit.US), ValleyMin: unit.InchesPerFoot(0.125), FieldMin: unit.InchesPerFoot(0.25),
		Choice: survey.TaperChoice{Scheme: scheme, Slope: unit.InchesPerFoot(0.25), Start: unit.Inch / 2,
			Base: survey.BaseChoice{Layers: 1, Thickness: 2 * unit.Inch}, Cover: unit.Inch / 2}}
}

// Boards of crickets: the laws of a design hold, the strip comes first, and the
// layers at random places are 1 to n without a gap, their thicknesses adding up to
// what the facets say there (looked at place by place, apart from the layout).
func TestMake_CricketBoards(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	for name, stock := range map[string]*survey.Stock{"with strips": DefaultStock(unit.US), "without": withoutStrips()} {
		in := makeInput(survey.TwoWayCrickets)
		in.Stock = stock
		d, err := Make(context.Background(), s, in)
		if err != nil {
			t.Fatal(name, err)
		}
		if err := d.Check(); err != nil {
			t.Fatal(name, err)
		}
		if len(d.Crickets) != 3 {
			t.Fatalf("%s: %d crickets", name, len(d.Crickets))
		}
		strips := 0
		for _, b := range d.Boards {
			if b.Type == CricketType && b.ThinIn == 0 {
				strips++
			}
		}
		if (strips > 0) != (name == "with strips") {
			t.Errorf("%s: %d pieces of edge strip", name, strips)
		}
		layersHold(t, d, s, 400)
	}
}

func withoutStrips() *survey.Stock {
	s := DefaultStock(unit.US)
	s.Strips = nil
	return s
}

// layersHold looks at random places of a roof.
func layersHold(t testing.TB, d *Design, s *survey.Site, places int) {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 6))
	for range places {
		p := inside(rng, s.Poly())
		if !s.OnRoof(p) {
			continue
		}
		layers := map[int]int{}
		sum, most := 0.0, 0
		for _, b := range d.Boards {
			if b.Poly.Outer.Box().Has(p) && b.Poly.Has(p) {
				layers[b.Layer]++
				most = max(most, b.Layer)
				if b.Type != CoverType {
					sum += b.Plane.At(p)
				}
			}
		}
		for l := 1; l <= most; l++ {
			if layers[l] != 1 {
				t.Fatalf("%d boards in layer %d of %d at %v", layers[l], l, most, p)
			}
		}
		want, ok := ThicknessAt(d.Facets, p)
		if !ok || math.Abs(sum-want) > 1e-3 {
			t.Fatalf("boards of %.4f in at %v, the facets say %.4f", sum, p, want)
		}
	}
}

// The same on random roofs, with curbs and all schemes.
func TestMake_CricketBoardsRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(*fieldSeed, 5))
	with := 0
	for n := range 24 {
		poly := blocks(rng)
		a := &survey.Area{Name: "A", Outline: poly.Outer, Courts: poly.Holes, Edges: make([]survey.Edge, len(poly.Outer))}
		for len(a.Outlets) < 1+n%4 {
			a.Outlets = append(a.Outlets, survey.Outlet{ID: string(rune('A' + len(a.Outlets))), Kind: survey.Drain, At: inside(rng, poly), Edge: -1})
		}
		a.Curbs = append(a.Curbs, survey.Curb{ID: "U1", At: inside(rng, poly), W: 3 + 3*rng.Float64(), D: 4})
		s := survey.SiteOf(a, nil)
		in := makeInput([]survey.Scheme{survey.TwoWayCrickets, survey.FourWay}[n%2])
		if n%3 == 0 {
			in.Choice.Sump = 4 * unit.Foot
		}
		d, err := Make(context.Background(), s, in)
		if err != nil {
			t.Fatalf("roof %d of seed %d: %v", n, *fieldSeed, err)
		}
		if err := d.Check(); err != nil {
			t.Fatalf("roof %d of seed %d: %v", n, *fieldSeed, err)
		}
		if len(d.Crickets) > 0 {
			with++
		}
		layersHold(t, d, s, 60)
	}
	if with < 8 {
		t.Errorf("only %d of 24 roofs have crickets", with)
	}
}

// Random rectilinear roofs with a curb clear of walls and drains, laid four ways:
// the finished top holds no pond over 1/8 in, crickets and all: cells of half a foot
// lose that much of a valley that runs close along a curb.
func TestMake_RandomRoofsDrain(t *testing.T) {
	rng := rand.New(rand.NewPCG(*fieldSeed, 99))
	rules, err := drainage.RuleSet(survey.RuleChoice{Like: "us-reroof"})
	if err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		t.Skip("long: run without -short")
	}
	crickets := 0
	for n := range 40 {
		poly := blocks(rng)
		a := &survey.Area{Name: "A", Outline: poly.Outer, Courts: poly.Holes, Edges: make([]survey.Edge, len(poly.Outer))}
		for len(a.Outlets) < 1+n%4 {
			a.Outlets = append(a.Outlets, survey.Outlet{ID: string(rune('A' + len(a.Outlets))), Kind: survey.Drain, At: inside(rng, poly), Edge: -1})
		}
		if at, ok := clearPlace(rng, poly, a.Outlets); ok {
			a.Curbs = append(a.Curbs, survey.Curb{ID: "U1", At: at, W: 3 + 3*rng.Float64(), D: 4})
		}
		s := survey.SiteOf(a, nil)
		d, err := Make(context.Background(), s, makeInput(survey.FourWay))
		if err != nil {
			t.Fatalf("roof %d of seed %d: %v", n, *fieldSeed, err)
		}
		crickets += len(d.Crickets)
		base := fittedBase(s, survey.LatticeOf(s, 0), d.Facets)
		top := Finish(base, d.Facets, 0)
		p, err := Prove(context.Background(), s, d, Trial{Base: base, Rules: rules,
			InletIn: FinishedInlets(s, top, base, nil, make([]float64, len(s.Outlets)))})
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range p.Report.Ponds {
			if q.DepthIn > 1./8 {
				t.Errorf("roof %d of seed %d: a pond of %.3f in at %.2f; curb %.2f", n, *fieldSeed, q.DepthIn, q.Deepest, s.Curbs)
			}
		}
	}
	if crickets < 10 {
		t.Errorf("only %d crickets: the test sees too little", crickets)
	}
}

// clearPlace is a place for a curb well off walls and drains.
func clearPlace(rng *rand.Rand, poly geom.Poly, outlets []survey.Outlet) (geom.Pt, bool) {
	for range 200 {
		p := inside(rng, poly)
		ok := poly.Dist(p) > 7
		for _, o := range outlets {
			ok = ok && o.At.Dist(p) > 6
		}
		if ok {
			return p, true
		}
	}
	return geom.Pt{}, false
}
