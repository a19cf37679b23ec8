package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestValleys_Crickets: a cricket between two drains at a wall, D apart, its
// apex w out from the wall, on a field that rises from the wall at sf, keeps
// its valley at sf sin a, tan a = w/(D/2), whatever its own slope: check values
// 1.4, every row, on fields of 1/4 and 1/2 in/ft, along the axes and turned.
func TestValleys_Crickets(t *testing.T) {
	t.Parallel()
	const d = 48.0 // between the drains
	for _, c := range []struct{ share, aDeg, of float64 }{
		{0.5, 45, 0.70711}, {0.288675, 30, 0.5}, {1. / 3, 33.6901, 0.55470},
		{0.25, 26.5651, 0.44721}, {1. / 6, 18.4349, 0.31623}, {0.125, 14.0362, 0.24254},
	} {
		for _, sf := range []float64{0.25, 0.5} {
			for _, turn := range []float64{0, 17} {
				name := fmt.Sprintf("w/D %.3f, field %g, turned %g", c.share, sf, turn)
				w := c.share * d
				within(t, name+": a", math.Atan(w/(d/2))*180/math.Pi, c.aDeg, 1e-4)
				f := geom.Frame{Turn: turn * math.Pi / 180}
				f.Origin = f.ToJob(geom.Pt{Y: -20}) // the middle of the wall
				z := func(p geom.Pt) float64 {
					p = f.ToLocal(p)
					return math.Max(sf*p.Y, cricket(d, w, sf, p))
				}
				s, surf := roofOf(t, geom.Ring{{X: -d / 2}, {X: d / 2}, {X: d / 2, Y: 40}, {X: -d / 2, Y: 40}}.Map(f.ToJob), []survey.Outlet{
					drainAt("D1", f.ToJob(geom.Pt{X: -d/2 + 0.3, Y: 0.3})), drainAt("D2", f.ToJob(geom.Pt{X: d/2 - 0.3, Y: 0.3}))}, 0.5, z)
				r := checked(t, s, surf, usual(t))
				found := 0
				for _, v := range r.Valleys {
					if v.AtWall {
						continue
					}
					found++
					within(t, name+": least of "+v.ID, v.Least.InchesPerFoot(), c.of*sf, 0.01*c.of*sf)
					within(t, name+": mean of "+v.ID, v.Mean.InchesPerFoot(), c.of*sf, 0.02*c.of*sf)
					if want := math.Hypot(d/2, w); v.LengthFt > want+1 || v.LengthFt < want-7 {
						t.Errorf("%s: %s is %g ft long, the cricket's side %g", name, v.ID, v.LengthFt, want)
					}
				}
				if found != 2 {
					t.Errorf("%s: %d valleys, want 2: %+v", name, found, r.Valleys)
				}
			}
		}
	}
}

// cricket is the top of a cricket of twice the slope that it needs, square to
// its valleys, which leave the field at the drains; below the field outside.
func cricket(d, w, sf float64, p geom.Pt) float64 {
	tan := w / (d / 2)
	cos := 1 / math.Hypot(1, tan)
	board := 2 * sf / cos
	// Off the valley line toward the wall, square to it.
	off := (tan*(d/2-math.Abs(p.X)) - p.Y) * cos
	return sf*p.Y + board*off
}

// TestValleys_FourWay: the four valleys of a four-way roof are told once each,
// from the ends of their ridges to the drain, at s/sqrt(2), and judged by the
// valley limit.
func TestValleys_FourWay(t *testing.T) {
	t.Parallel()
	for _, turn := range []float64{0, 17, 45} {
		f := geom.Frame{Turn: turn * math.Pi / 180}
		s, surf := roofOf(t, box(40, 40).Map(f.ToJob), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5,
			turned(turn, fourWay(0.25, 0)))
		r := checked(t, s, surf, usual(t))
		if len(r.Valleys) != 4 || len(r.Backfalls) != 0 || len(r.RunsInto) != 0 {
			t.Errorf("turned %g: %d valleys, %d backfalls, %d obstacles", turn, len(r.Valleys), len(r.Backfalls), len(r.RunsInto))
		}
		for _, v := range r.Valleys {
			within(t, "least "+v.ID, v.Least.InchesPerFoot(), 0.25/math.Sqrt2, 1e-6)
			if v.Verdict != Meets || v.EndsAt != "D1" || v.AtWall || v.LengthFt < 22 || v.LengthFt > 20*math.Sqrt2 {
				t.Errorf("turned %g: %+v", turn, v)
			}
		}
	}
}

// TestBackfalls_OneWay: a roof that falls to a wall at 1/8 in/ft where the drain
// stands in a corner has a backfall along the whole wall; with a scupper in it
// the water is meant to run there; with a gutter nothing is held.
func TestBackfalls_OneWay(t *testing.T) {
	t.Parallel()
	z := func(p geom.Pt) float64 { return 0.125*(p.Y+15) + 0.02*math.Abs(p.X-20) }
	scupper := survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: 0}
	gutter := survey.Outlet{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}
	for _, c := range []struct {
		name   string
		outlet survey.Outlet
		want   int
	}{
		{"drain in the corner", drainAt("D1", geom.Pt{X: 19.8, Y: -14.8}), 1},
		{"scupper", scupper, 0}, {"gutter", gutter, 0},
	} {
		s, surf := roofOf(t, box(40, 30), []survey.Outlet{c.outlet}, 0.5, z)
		if c.outlet.Kind == survey.GutterOutlet {
			s.Edges[0].Kind = survey.GutterEdge
		}
		r := checked(t, s, surf, usual(t))
		if len(r.Backfalls) != c.want {
			t.Errorf("%s: %+v", c.name, r.Backfalls)
		}
		for _, b := range r.Backfalls {
			within(t, "length", b.LengthFt, 40, 1)
			within(t, "toward the wall", b.Toward.InchesPerFoot(), 0.125, 1e-6)
			if b.Edge != 0 || b.Court != -1 {
				t.Errorf("along edge %d, court %d", b.Edge, b.Court)
			}
		}
	}
}

// TestBackfalls_Stands: water that stands at a wall is told with its pond,
// though the strip is level.
func TestBackfalls_Stands(t *testing.T) {
	t.Parallel()
	s, surf := roofOf(t, box(40, 30), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, func(p geom.Pt) float64 {
		if p.Y < -9 {
			return 1
		}
		return 2
	})
	r := checked(t, s, surf, usual(t))
	edges := map[int]bool{}
	for _, b := range r.Backfalls {
		edges[b.Edge] = true
		if b.Pond != "P1" || b.Toward != 0 {
			t.Errorf("%+v", b)
		}
	}
	// The pond lies along edge 0 and 6 ft up edges 1 and 3.
	if len(r.Backfalls) != 3 || edges[2] || !edges[0] {
		t.Errorf("%+v", r.Backfalls)
	}
}

// TestObstacles: a curb across the slope, and one turned by 45 degrees, which
// is sqrt(2) times as wide across it. More than 30 in wide needs a cricket
// (check values 1.4.4); 30 in do not.
func TestObstacles(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name      string
		w, d, deg float64
		widthIn   float64
		cricket   bool
	}{
		{"8 ft across", 8, 4, 0, 96, true}, {"30 in across", 2.5, 6, 0, 30, false},
		{"31 in across", 31. / 12, 6, 0, 31, true}, {"turned", 4, 4, 45, 48 * math.Sqrt2, true},
	} {
		s, _ := roofOf(t, box(60, 40), openAllRound(), 0.5, func(geom.Pt) float64 { return 0 })
		f := geom.Frame{Turn: c.deg * math.Pi / 180}
		s.Curbs, s.CurbIDs = []geom.Ring{box(c.w, c.d).Map(f.ToJob)}, []string{"U1"}
		r := checked(t, s, surfaceOf(s, 0.5, func(p geom.Pt) float64 { return 0.25 * p.Y }), usual(t))
		if !c.cricket { // no path from the lattice happens to meet it
			if len(r.RunsInto) > 0 && r.RunsInto[0].Cricket {
				t.Errorf("%s: %+v", c.name, r.RunsInto)
			}
			continue
		}
		if len(r.RunsInto) != 1 {
			t.Fatalf("%s: %+v", c.name, r.RunsInto)
		}
		o := r.RunsInto[0]
		within(t, c.name+": width", o.Width.Inches(), c.widthIn, 1e-4)
		within(t, c.name+": slope", o.Slope.InchesPerFoot(), 0.25, 1e-9)
		if !o.Cricket || o.Curb != "U1" || c.w > 5 && len(o.Paths) == 0 {
			t.Errorf("%s: %+v", c.name, o)
		}
	}
}

// TestStarts_Ridges: paths start on the ridge of a two-way roof and on the hips
// of a four-way one, also where they are turned and no lattice place lies there.
func TestStarts_Ridges(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		z    func(p geom.Pt) float64
		off  func(p geom.Pt) float64 // from the nearest ridge or hip, ft
	}{
		{"ridge", func(p geom.Pt) float64 { return -0.25 * math.Abs(p.Y-3.7) }, func(p geom.Pt) float64 { return math.Abs(p.Y - 3.7) }},
		{"hips", func(p geom.Pt) float64 { return -0.25 * math.Max(math.Abs(p.X), math.Abs(p.Y)) },
			func(p geom.Pt) float64 { return math.Abs(math.Abs(p.X)-math.Abs(p.Y)) / math.Sqrt2 }},
	} {
		for _, turn := range []float64{0, 17, 45} {
			f := geom.Frame{Turn: turn * math.Pi / 180}
			s, surf := roofOf(t, box(60, 40), openAllRound(), 0.5, turned(turn, c.z))
			on := 0
			for _, p := range checked(t, s, surf, usual(t)).Paths {
				if c.off(f.ToLocal(p.Points[0])) < 0.5 {
					on++
				}
			}
			if on < 5 {
				t.Errorf("%s turned %g: %d paths start on it", c.name, turn, on)
			}
		}
	}
}

// TestPaths_WindowOfTheSurface: the least slope of a designed surface is over
// 4 ft, exactly; of a surveyed one over its window, twice the spacing and never
// under 10 ft. A plane of 0.3 in/ft with a bench of 0.1 in/ft, b ft long: over a
// window w not shorter than the bench the least is (0.1 b + 0.3 (w-b))/w, else
// 0.1.
func TestPaths_WindowOfTheSurface(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ benchFt, windowFt, sigmaIn float64 }{
		{2, 4, 0}, {3, 4, 0}, {4, 4, 0}, {6, 4, 0}, {6, 10, 0.01}, {6, 16, 0.01}, {10, 16, 0.01}, {20, 16, 0.01},
	} {
		// The edge of the roof lies at x = -40; the bench from -8 on, on cells' middles.
		z := func(p geom.Pt) float64 {
			x := p.X + 8.25
			return 0.3*x - 0.2*math.Min(math.Max(x, 0), c.benchFt)
		}
		outlet := survey.Outlet{ID: "A-3", Kind: survey.OpenOutlet, Edge: 3}
		s, surf := roofOf(t, box(80, 10), []survey.Outlet{outlet}, 0.5, z)
		opt := usual(t)
		opt.Window, opt.SigmaIn = unit.Feet(c.windowFt), c.sigmaIn
		field, _ := leastSlopes(checked(t, s, surf, opt))
		flat := math.Min(c.benchFt, c.windowFt)
		want := (0.1*flat + 0.3*(c.windowFt-flat)) / c.windowFt
		within(t, fmt.Sprintf("bench of %g ft over %g ft", c.benchFt, c.windowFt), field, want, 1e-8)
	}
}

// A survey rounds off the valley of a deck of two planes of 0.3 in/ft that meet in a
// line of 0.01: with the line stated, what runs along it is judged as a valley, and the
// field, which slopes 0.3, reads hardly flatter.
func TestPaths_StatedValley(t *testing.T) {
	for _, turn := range []float64{0, 0.7} {
		at := func(x, y float64) geom.Pt {
			return geom.Pt{X: x*math.Cos(turn) - y*math.Sin(turn), Y: x*math.Sin(turn) + y*math.Cos(turn)}
		}
		outline := geom.Ring{at(0, 0), at(72, 0), at(72, 48), at(0, 48)}
		across := at(0, 1)
		z := func(p geom.Pt) float64 { return 1200 + 0.3*math.Hypot(p.Dot(across)-24, 2) + p.Dot(at(1, 0))*0.01 }
		drains := []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: at(0.5, 24), Edge: -1}}
		s, surf := roofOf(t, outline, drains, 1, z)
		opt := usual(t)
		opt.SigmaIn, opt.SpacingFt, opt.Window = 0.15, 6, unit.Feet(12)
		flat := func() float64 { // share of paths whose field reads under 0.2 in/ft
			r, n := checked(t, s, surf, opt), 0
			for _, p := range r.Paths {
				if f := p.LeastField.InchesPerFoot(); f >= 0 && f < 0.2 {
					n++
				}
			}
			return float64(n) / float64(len(r.Paths))
		}
		if got := flat(); turn != 0 && got < 0.25 {
			t.Errorf("turned %g, not stated: %.2f of the paths have a flat field: the case shows nothing", turn, got)
		}
		s.Breaks = [][]geom.Pt{{at(0, 24), at(72, 24)}}
		if got := flat(); got > 0.1 {
			t.Errorf("turned %g, stated: %.2f of the paths have a flat field", turn, got)
		}
	}
}
