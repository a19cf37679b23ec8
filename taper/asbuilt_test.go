package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// laidTop is the finished top of the roof of these tests: 60 x 40 ft about a drain
// in its middle, planes of 1/4 in/ft from 1/2 in, a cover of 1/2 in, on a level
// deck at 1200 in. Four such planes are 1/4 times the larger of |x| and |y|.
func laidTop(p geom.Pt) float64 {
	return 1200 + 0.5 + 0.25*math.Max(math.Abs(p.X), math.Abs(p.Y)) + 0.5
}

// laidShots stand stepFt apart, off so many inches from the design.
func laidShots(stepFt float64, off func(p geom.Pt) float64) (out []survey.SiteShot) {
	for y := -20 + stepFt/2; y < 20; y += stepFt {
		for x := -30 + stepFt/2; x < 30; x += stepFt {
			p := geom.Pt{X: x, Y: y}
			out = append(out, survey.SiteShot{ID: fmt.Sprint(len(out) + 1), P: p, ElevIn: laidTop(p) + off(p)})
		}
	}
	return out
}

func asDesigned(geom.Pt) float64 { return 0 }

// heldAgainst holds shots on the roof of laidTop against its design.
func heldAgainst(t *testing.T, choice survey.AsBuilt, shots []survey.SiteShot) *AsBuilt {
	t.Helper()
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	c := choiceOf(0.5)
	c.Cover = unit.Inches(0.5)
	stock := quarterStock(2, 2)
	stock.Covers = []survey.FlatBoard{{Thickness: unit.Inches(0.5), Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}
	d, err := Make(t.Context(), s, MakeInput{Choice: c, Stock: stock})
	if err != nil {
		t.Fatal(err)
	}
	l := survey.LatticeOf(s, 0.5)
	base := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k := range base.ElevIn {
		base.ElevIn[k] = 1200
	}
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	top := Finish(base, d.Facets, 0.5)
	trial := Trial{Base: base, Rules: rules, Limits: rules.WorthOf(survey.PondLimits{}),
		InletIn: FinishedInlets(s, top, base, nil, []float64{1200})}
	proof, err := Prove(t.Context(), s, d, trial)
	if err != nil {
		t.Fatal(err)
	}
	a, err := LaidAgainst(t.Context(), s, AsBuiltIn{Shots: shots, Design: d, Proof: proof, Trial: trial, Choice: choice})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// out gives the shots that are out of tolerance.
func (a *AsBuilt) out() (ids []string) {
	for _, sh := range a.Shots {
		if sh.Out {
			ids = append(ids, sh.ID)
		}
	}
	return ids
}

// Shots on the finished surface, by its closed form, lie on the design.
func TestLaidAgainst_AsDesigned(t *testing.T) {
	a := heldAgainst(t, survey.AsBuilt{}, laidShots(5, asDesigned))
	if len(a.Shots) != 96 || len(a.NoDesign) != 0 {
		t.Fatalf("%d shots, %d without a design", len(a.Shots), len(a.NoDesign))
	}
	for _, sh := range a.Shots {
		nearly(t, "shot "+sh.ID, sh.OffIn, 0, 1e-6)
		wantEqual(t, "verdict of shot "+sh.ID, sh.Verdict, drainage.Meets)
	}
	nearly(t, "shift", a.ShiftIn, 0, 1e-9)
	if len(a.Runs)+len(a.Ponds)+len(a.Mends) != 0 || a.Free != drainage.Meets || a.Mended {
		t.Errorf("%d runs, %d ponds, %d mends, free of ponds: %v", len(a.Runs), len(a.Ponds), len(a.Mends), a.Free)
	}
	for k, on := range a.OffIn.Roof {
		if on && math.Abs(a.OffIn.ElevIn[k]) > 1e-6 {
			t.Fatalf("cell %d is %g in off", k, a.OffIn.ElevIn[k])
		}
	}
}

// One shot 1/2 in low, 9 ft up the plane to the right, is named with its row: the
// third of boards 4 ft deep. On 1/4 in/ft it holds no water.
func TestLaidAgainst_OneLow(t *testing.T) {
	at := geom.Pt{X: 9, Y: 1}
	a := heldAgainst(t, survey.AsBuilt{}, laidShots(6, func(p geom.Pt) float64 {
		if p.Dist(at) < 0.1 {
			return -0.5
		}
		return 0
	}))
	ids := a.out()
	if len(ids) != 1 {
		t.Fatalf("out of tolerance: %v", ids)
	}
	sh := a.Shots[slices.IndexFunc(a.Shots, func(sh LaidShot) bool { return sh.Out })]
	nearly(t, "off", sh.OffIn, -0.5, 1e-9)
	nearly(t, "place", sh.P.Dist(at), 0, 1e-9)
	wantEqual(t, "verdict", sh.Verdict, drainage.FallsShort)
	wantEqual(t, "row and mark", fmt.Sprint(sh.On.Row, " ", sh.On.Mark), "3 1/2 to 1-1/2")
	if len(a.Runs) != 1 || a.Shots[a.Runs[0].A].ID != sh.ID {
		t.Fatalf("runs %+v", a.Runs)
	}
	nearly(t, "run", a.Runs[0].ApartIn, 0.5, 1e-9)
	if len(a.Ponds) != 0 {
		t.Errorf("ponds %+v", a.Ponds)
	}
	if len(a.Mends) != 1 || a.Mends[0].High || !slices.Equal(a.Mends[0].Shots, ids) {
		t.Fatalf("mends %+v", a.Mends)
	}
	nearly(t, "fill", a.Mends[0].MostIn, 0.5, 1e-9)
	nearly(t, "place of the fill", a.Mends[0].At.Dist(at), 0, 1e-9)
}

// heldBack is the depth of the water behind the crest of a profile that falls
// toward 0 in the end, found by walking along it in steps of 1/100 ft from the
// drain out to ft: the lowest place past the highest before it.
func heldBack(z func(x float64) float64, ft float64) (depthIn, atFt float64) {
	crest := math.Inf(-1)
	for x := 0.0; x <= ft; x += 0.01 {
		crest = math.Max(crest, z(x))
		if d := crest - z(x); d > depthIn {
			depthIn, atFt = d, x
		}
	}
	return depthIn, atFt
}

// One shot a foot low is read again before a foot is filled; a bowl that many shots
// show is filled.
func TestLaidAgainst_Slip(t *testing.T) {
	for _, c := range []struct {
		off  float64
		slip bool
	}{{-12, true}, {-0.5, false}} {
		a := heldAgainst(t, survey.AsBuilt{}, laidShots(6, func(p geom.Pt) float64 {
			if p == (geom.Pt{X: 9, Y: 1}) {
				return c.off
			}
			return 0
		}))
		if len(a.Mends) != 1 || a.Mends[0].Slip() != c.slip {
			t.Errorf("%g in: %+v", c.off, a.Mends)
		}
	}
}

// A bowl d (1 + cos(pi r/R))/2 pressed into a plane of 1/4 in/ft runs over on the
// line down the plane through its middle, where the profile tells how much it
// holds. Filled to the design it takes the integral of the bowl, d pi R^2 (1/2 - 2/pi^2).
func TestLaidAgainst_Bowl(t *testing.T) {
	const d, r, midFt = 3.0, 8.0, 16.0
	bowl := func(p geom.Pt) float64 {
		far := math.Min(p.Dist(geom.Pt{X: midFt})/r, 1)
		return -d * (1 + math.Cos(math.Pi*far)) / 2
	}
	a := heldAgainst(t, survey.AsBuilt{}, laidShots(2, bowl))
	if len(a.Ponds) != 1 {
		t.Fatalf("%d ponds", len(a.Ponds))
	}
	p := a.Ponds[0]
	depthIn, atFt := heldBack(func(x float64) float64 { return 0.25*x + bowl(geom.Pt{X: x}) }, 30)
	nearly(t, "depth", p.DepthIn, depthIn, 0.05)
	nearly(t, "deepest place", p.Deepest.Dist(geom.Pt{X: atFt}), 0, 0.75)
	wantEqual(t, "row", p.On.Row, 4)
	wantEqual(t, "by design", p.ByDesign, 0)
	wantEqual(t, "free of ponds", a.Free, drainage.FallsShort)
	if len(a.Mends) != 1 || a.Mends[0].High || !slices.Equal(a.Mends[0].Ponds, []string{p.ID}) {
		t.Fatalf("mends %+v", a.Mends)
	}
	nearly(t, "most fill", a.Mends[0].MostIn, d, 0.05)
	nearly(t, "fill", a.Mends[0].CuFt, d/12*math.Pi*r*r*(0.5-2/math.Pi/math.Pi), 0.4)
	if len(a.Stay) != 0 {
		t.Errorf("filled, %d ponds stay", len(a.Stay))
	}
}

// A dam round the drain, 2 in high 11 ft from it and 6 ft wide to either side,
// holds what its profile up a plane tells. The dam is taken off, not the pond
// filled.
func TestLaidAgainst_Dam(t *testing.T) {
	dam := func(p geom.Pt) float64 {
		far := math.Min(math.Abs(math.Max(math.Abs(p.X), math.Abs(p.Y))-11)/6, 1)
		return 1 + math.Cos(math.Pi*far)
	}
	a := heldAgainst(t, survey.AsBuilt{}, laidShots(1, dam))
	if len(a.Ponds) == 0 {
		t.Fatal("no pond")
	}
	depthIn, _ := heldBack(func(x float64) float64 { return 0.25*x + dam(geom.Pt{X: x}) }, 20)
	nearly(t, "depth", a.Ponds[0].DepthIn, depthIn, 0.1)
	if len(a.Mends) != 1 || !a.Mends[0].High || len(a.Mends[0].Ponds) != len(a.Ponds) {
		t.Fatalf("mends %+v", a.Mends)
	}
	nearly(t, "most to take off", a.Mends[0].MostIn, 2, 0.05)
	if len(a.Stay) != 0 {
		t.Errorf("taken off, %d ponds stay", len(a.Stay))
	}
}

// A tilt of 1/16 in/ft is 5/8 in over 10 ft, out of 3/8; one of 1/32 is 5/16.
func TestLaidAgainst_Tilt(t *testing.T) {
	a := heldAgainst(t, survey.AsBuilt{}, laidShots(5, func(p geom.Pt) float64 { return p.X / 16 }))
	if len(a.Runs) == 0 {
		t.Fatal("no run out of tolerance")
	}
	r := a.Runs[0]
	nearly(t, "apart", r.ApartIn, 0.625, 1e-9)
	nearly(t, "run", a.Shots[r.B].P.X-a.Shots[r.A].P.X, 10, 1e-9)
	nearly(t, "shift", a.ShiftIn, 0, 1e-9)
	if a = heldAgainst(t, survey.AsBuilt{}, laidShots(5, func(p geom.Pt) float64 { return p.X / 32 })); len(a.Runs) != 0 {
		t.Errorf("1/32 in/ft: %+v", a.Runs)
	}
	if a = heldAgainst(t, survey.AsBuilt{Run: unit.Inches(0.3)}, laidShots(5, func(p geom.Pt) float64 { return p.X / 32 })); len(a.Runs) == 0 {
		t.Error("1/32 in/ft is within the 0.3 in that the job allows")
	}
}

// What all shots share is told and taken off, of five and more.
func TestLaidAgainst_Shift(t *testing.T) {
	high := laidShots(5, func(geom.Pt) float64 { return 0.4 })
	a := heldAgainst(t, survey.AsBuilt{}, high)
	nearly(t, "shift", a.ShiftIn, 0.4, 1e-6)
	if len(a.out())+len(a.Ponds) != 0 {
		t.Errorf("out %v, %d ponds", a.out(), len(a.Ponds))
	}
	a = heldAgainst(t, survey.AsBuilt{}, high[:4])
	nearly(t, "shift of four", a.ShiftIn, 0, 0)
	wantEqual(t, "of four are out", len(a.out()), 4)
}

// Readings good to 1/16 in tell 1/4 in from 3/8 and more, and from 1/8 and less.
func TestLaidAgainst_Doubt(t *testing.T) {
	for _, c := range []struct {
		off  float64
		want drainage.Verdict
		out  bool
	}{{0.12, drainage.Meets, false}, {0.2, drainage.TooClose, false}, {-0.3, drainage.TooClose, true}, {0.4, drainage.FallsShort, true}} {
		a := heldAgainst(t, survey.AsBuilt{ReadingError: unit.Inches(1.0 / 16)}, laidShots(5, func(p geom.Pt) float64 {
			if p.Dist(geom.Pt{X: 12.5, Y: 2.5}) < 0.1 {
				return c.off
			}
			return 0
		}))
		var found []LaidShot
		for _, sh := range a.Shots {
			if sh.P.Dist(geom.Pt{X: 12.5, Y: 2.5}) < 0.1 {
				found = append(found, sh)
			}
		}
		if len(found) != 1 || found[0].Verdict != c.want || found[0].Out != c.out {
			t.Errorf("%g in off: %+v, want %v", c.off, found, c.want)
		}
	}
}

// Two shots, and shots in a line, describe no surface: they are held against the
// design and nothing is said of ponds. Shots off the roof are named.
func TestLaidAgainst_Few(t *testing.T) {
	all := laidShots(5, asDesigned)
	a := heldAgainst(t, survey.AsBuilt{}, all[:3]) // all on one line
	if a.Report != nil || a.Fit != nil || !strings.Contains(a.Untold, "3 shots") || len(a.Shots) != 3 {
		t.Errorf("in a line: %+v", a)
	}
	far := survey.SiteShot{ID: "far", P: geom.Pt{X: 90}, ElevIn: 1200}
	a = heldAgainst(t, survey.AsBuilt{}, []survey.SiteShot{all[0], all[95], far})
	if !slices.Equal(a.NoDesign, []string{"far"}) || a.LoneShots != 2 || a.Untold == "" {
		t.Errorf("two on the roof: no design %v, lone %d, %q", a.NoDesign, a.LoneShots, a.Untold)
	}
}
