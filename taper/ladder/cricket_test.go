package ladder

import (
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// TestWedgeOf: half crickets on a field of 1/4 in/ft. H 10 sqrt 3, k = 1/sqrt 3:
// a valley of 0.125, boards of the field's own slope would leave 0.129 in all
// and fail, doubled they leave 0.183 away and 0.310 in all. H 30: W 18 has
// valleys of 0.1286, a peak of 7.72 and 5,556.6 board feet in eight quarters,
// its board must exceed 0.2915; W 20 has 0.1387, 8.32, 6,656.4. Figures of a
// worked example; volume of a quarter: H W peak / 6.
func TestWedgeOf(t *testing.T) {
	const field = 0.25
	on := func(fieldIn, valleyIn, hFt float64) taper.WedgeFor {
		return taper.WedgeFor{Field: unit.InchesPerFoot(fieldIn), ValleyMin: unit.InchesPerFoot(valleyIn), TopMin: unit.InchesPerFoot(field), H: unit.Feet(hFt)}
	}
	for _, c := range []struct {
		hFt, valleyIn                       float64
		widthFt, valley, top, peakIn, bdft8 float64
	}{
		{10 * math.Sqrt(3), 0.125, 10, 0.125, 0.310, 4.330, 0},
		{30, 0.1286, 18, 0.1286, 0, 7.72, 5556.6},
		{30, 0.1386, 20, 0.1387, 0, 8.32, 6656.4},
	} {
		w, why := taper.WedgeOf(on(field, c.valleyIn, c.hFt),
			[]survey.TaperedBoard{{Slope: unit.InchesPerFoot(0.5)}, {Slope: unit.InchesPerFoot(0.25)}}, unit.US)
		if why != "" {
			t.Fatal(why)
		}
		near(t, "width ft", w.W.Feet(), c.widthFt, 1e-9)
		near(t, "valley", w.Valley.InchesPerFoot(), c.valley, 5e-5)
		near(t, "board", w.Board.InchesPerFoot(), 0.5, 0)
		if c.top > 0 {
			near(t, "top", w.Top.InchesPerFoot(), c.top, 5e-4)
		}
		// The top falls along the line from the peak to nothing at the way out.
		peakIn := w.Along.InchesPerFoot() * c.hFt
		near(t, "peak in", peakIn, c.peakIn, 5e-3)
		if c.bdft8 > 0 {
			near(t, "board feet", 8*c.hFt*c.widthFt*peakIn/6, c.bdft8, 0.1)
		}
	}
	_, why := taper.WedgeOf(on(field, 0.125, 30),
		[]survey.TaperedBoard{{Slope: unit.InchesPerFoot(0.25)}}, unit.US)
	if !strings.Contains(why, "steep enough") {
		t.Errorf("boards of the field's slope: %q", why)
	}
	_, why = taper.WedgeOf(on(0.1, 0.125, 30), nil, unit.US)
	if !strings.Contains(why, "the roof falls 0.100 in/ft") {
		t.Errorf("a roof flatter than the valley: %q", why)
	}
}

// TestCrickets: two drains on the low line of two planes of 1/4 in/ft that sags
// by 1/4 in between them: two half crickets clear it. On the raster they hold
// what two quarters each do. The boards of the stock decide the slope.
func TestCrickets(t *testing.T) {
	sag := func(p geom.Pt) float64 {
		z := 0.25 * math.Abs(p.Y)
		if math.Abs(p.X) < 15 {
			z -= 0.25 * math.Cos(math.Pi*p.X/30)
		}
		return z
	}
	r := roof{w: 60, d: 40, outlets: []survey.Outlet{drainAt("D1", -15, 0), drainAt("D2", 15, 0)}, z: sag, rules: "us-reroof-drained"}
	c := on(r.in(t))
	if len(c.now.Ponds) != 1 {
		t.Fatalf("%d ponds", len(c.now.Ponds))
	}
	s, err := c.crickets(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Outcome != Kept || len(s.Places) != 2 || s.Left.Ponds != 0 || !strings.Contains(s.Do, "between D1 and D2") {
		t.Fatalf("%+v", s)
	}
	w, _ := taper.WedgeOf(c.wedgeFor(baseLine{geom.Pt{X: -15}, geom.Pt{X: 15}, geom.Pt{Y: 1}, ""}), taper.DefaultStock(unit.US).Tapered, unit.US)
	peakIn := w.Along.InchesPerFoot() * 15
	near(t, "volume cu ft", s.FillCuFt, 4*15*w.W.Feet()*peakIn/6/12, 0.02*s.FillCuFt)
	near(t, "area sq ft", s.FillSqFt, 2*15*w.W.Feet(), 0.02*s.FillSqFt)
}

// TestCrickets_Curb: water stands upslope of a curb 8 ft across on a roof of
// 1/4 in/ft that is dished there by 1/4 in: a half cricket with its ends a foot
// past the corners, 5 ft to the middle, turns it round the curb.
func TestCrickets_Curb(t *testing.T) {
	r := roof{w: 60, d: 40, outlets: []survey.Outlet{westGutter}, rules: "us-reroof-drained", z: func(p geom.Pt) float64 {
		z := 0.25 * p.X
		if math.Abs(p.Y) < 4 && p.X > 0 && p.X < 5 {
			z -= 0.4 * (1 - p.X/5) * (1 - p.Y*p.Y/16)
		}
		return z
	}}
	in := r.in(t)
	ring := geom.Box{Min: geom.Pt{X: -6, Y: -4}, Max: geom.Pt{Y: 4}}.Ring()
	in.Site.Curbs, in.Site.CurbIDs = []geom.Ring{ring}, []string{"U1"}
	surf := *in.Existing.Surface
	surf.Roof = survey.RoofCells(in.Site, surf.Lattice)
	c := on(in)
	c.surf = &surf
	var err error
	if c.now, err = c.standing(context.Background(), c.asNow()); err != nil || len(c.now.Ponds) != 1 {
		t.Fatalf("%v, ponds %v", err, c.now.Ponds)
	}
	c.Existing = c.now
	s, err := c.crickets(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Outcome != Kept || len(s.Places) != 1 || !strings.Contains(s.Do, "upslope of curb U1") {
		t.Fatalf("%+v", s)
	}
	near(t, "length ft", s.Places[0].Shape[0].Outer.Box().Max.Y, 5, 1e-9)
}

// TestWedge_Boards: of H 30 W 18 each triangle is 270 sq ft, 17 boards of 4 x 4
// ft; boards of 1/2 to 2-1/2 in are repeated over fill from 2-1/2 in, from 4-1/2
// and from 6-1/2 up to the peak of 7.72: the fill's areas are summed here over
// small squares.
func TestWedge_Boards(t *testing.T) {
	w := taper.Wedge{H: 30 * unit.Foot, W: 18 * unit.Foot, Board: unit.InchesPerFoot(0.5)}
	n := boardsOf(w, []survey.TaperedBoard{
		{Slope: unit.InchesPerFoot(0.25), Thin: unit.Inches(0.5), Thick: unit.Inches(1.5), Along: 8 * unit.Foot, Depth: 4 * unit.Foot},
		{Slope: unit.InchesPerFoot(0.5), Thin: unit.Inches(0.5), Thick: unit.Inches(2.5), Along: 4 * unit.Foot, Depth: 4 * unit.Foot}})
	const cell = 0.05
	want := 0
	for _, over := range []float64{2.5, 4.5, 6.5} {
		sqft := 0.0
		for x := cell / 2; x < 30; x += cell {
			for y := cell / 2; y < 18*x/30; y += cell {
				if away := (18*x - 30*y) / math.Hypot(18, 30); away/2 > over {
					sqft += cell * cell
				}
			}
		}
		want += 2 * int(math.Ceil(sqft/16))
	}
	if n.tapered != 34 || n.fill != want || want != 24 {
		t.Errorf("%+v, want 34 and %d", n, want)
	}
	w.H, w.W = 6*unit.Foot, 4*unit.Foot // 12 sq ft each, 1.66 in at the most
	if n := boardsOf(w, []survey.TaperedBoard{{Slope: w.Board, Thin: unit.Inches(0.5), Thick: unit.Inches(2.5), Along: 4 * unit.Foot, Depth: 4 * unit.Foot}}); n != (boardCount{2, 0}) {
		t.Errorf("a small one: %+v", n)
	}
}
