package drainage

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// surveyed checks a 90 x 50 ft roof as a contractor would have it checked: shots
// some 8 ft apart, each read to a standard error of 0.1 in, the surface fitted
// to them, its own doubt, slopes over twice the spacing and never under 10 ft.
func surveyed(t *testing.T, rnd *rand.Rand, outlet survey.Outlet, z func(p geom.Pt) float64) *Report {
	t.Helper()
	area := &survey.Area{Name: "A", Outline: box(90, 50), Outlets: []survey.Outlet{outlet}}
	for j := range 7 {
		for i := range 12 {
			p := geom.Pt{X: -44.5 + 89.0/11*float64(i), Y: -24.5 + 49.0/6*float64(j)}
			p = p.Add(geom.Pt{X: rnd.Float64() - 0.5, Y: rnd.Float64() - 0.5})
			area.Shots = append(area.Shots, survey.Shot{ID: fmt.Sprint(len(area.Shots) + 1), At: p,
				Elev: unit.Inches(z(p) + 0.1*rnd.NormFloat64())})
		}
	}
	s := survey.SiteOf(area, nil)
	f, err := fit.Fit(t.Context(), s, survey.LatticeOf(s, 1), fit.Options{ReadingErrorIn: 0.125})
	if err != nil {
		t.Fatal(err)
	}
	opt := usual(t)
	opt.SigmaIn, opt.SpacingFt = f.SigmaIn, f.SpacingFt
	opt.Window = max(unit.Feet(10), 2*unit.Feet(f.SpacingFt))
	return checked(t, s, f.Surface, opt)
}

// TestCheck_SurveyedSlopes: with realistic scatter of the readings a roof of
// clearly more than 1/4 in/ft meets it, one of 1/4 is too close to call, one of
// half falls short, each on twenty surveys. The ways beside a drain, shorter
// than the window, decide nothing, but keep their own verdict.
func TestCheck_SurveyedSlopes(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	gutter := survey.Outlet{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}
	toGutter := func(p geom.Pt) float64 { return p.Y + 25 }
	at := geom.Pt{X: -15, Y: -5}
	for _, c := range []struct {
		name   string
		outlet survey.Outlet
		runFt  func(p geom.Pt) float64 // from the outlet
		slope  float64
		want   Verdict
	}{
		{"plane of 0.48", gutter, toGutter, 0.48, Meets},
		{"plane of 0.25", gutter, toGutter, 0.25, TooClose},
		{"plane of 0.12", gutter, toGutter, 0.12, FallsShort},
		{"0.48 to a drain all round", drainAt("D1", at), at.Dist, 0.48, Meets},
		{"0.25 to a drain all round", drainAt("D1", at), at.Dist, 0.25, TooClose},
		{"0.12 to a drain all round", drainAt("D1", at), at.Dist, 0.12, FallsShort},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, unsure := map[Verdict]int{}, 0
			const surveys = 8
			for n := range surveys {
				rnd := rand.New(rand.NewPCG(*seedFlag, uint64(n)))
				r := surveyed(t, rnd, c.outlet, func(p geom.Pt) float64 { return c.slope * c.runFt(p) })
				got[r.MeetsDesign]++
				for _, p := range r.Paths {
					if p.Verdict != c.want {
						unsure++
					}
				}
			}
			if got[c.want] < surveys {
				t.Errorf("%v on %d of %d surveys: %v", c.want, got[c.want], surveys, got)
			}
			if byDrain := c.outlet.Kind == survey.Drain; byDrain && c.want == Meets && unsure == 0 {
				t.Error("no way beside the drain is in doubt: the test shows nothing")
			}
		})
	}
}

// TestMeetsDesign_FewPaths: which paths decide, and how many must.
func TestMeetsDesign_FewPaths(t *testing.T) {
	of := func(n int, v Verdict, lengthFt float64) []Path {
		out := make([]Path, n)
		for k := range out {
			out[k] = Path{Verdict: v, LengthFt: lengthFt}
		}
		return out
	}
	for _, c := range []struct {
		name    string
		sigmaIn float64
		below   float64 // share of the roof under the limit, per cent
		paths   [][]Path
		want    Verdict
	}{
		{"8 of 184 beside the drain", 0.1, 0, [][]Path{of(176, Meets, 30), of(8, TooClose, 6)}, Meets},
		{"30 of 184 beside the drain", 0.1, 0, [][]Path{of(154, Meets, 30), of(20, TooClose, 6), of(10, FallsShort, 6)}, Meets},
		{"all are beside the drain", 0.1, 0, [][]Path{of(8, TooClose, 6)}, TooClose},
		{"all that are told are", 0.1, 0, [][]Path{of(8, FallsShort, 6), of(8, Unknown, 30)}, FallsShort},
		{"one long one by chance", 0.1, 0, [][]Path{of(99, Meets, 30), of(1, TooClose, 30)}, Meets},
		{"one that falls short by chance", 0.1, 0, [][]Path{of(99, Meets, 30), of(1, FallsShort, 30)}, Meets},
		{"one, and a tenth of the roof", 0.1, 10, [][]Path{of(99, Meets, 30), of(1, TooClose, 30)}, TooClose},
		{"just one in twenty", 0.1, 0, [][]Path{of(95, Meets, 30), of(5, TooClose, 30)}, Meets},
		{"more than one in twenty", 0.1, 0, [][]Path{of(94, Meets, 30), of(6, TooClose, 30)}, TooClose},
		{"together more", 0.1, 0, [][]Path{of(94, Meets, 30), of(3, TooClose, 30), of(3, FallsShort, 30)}, TooClose},
		{"more fall short", 0.1, 0, [][]Path{of(94, Meets, 30), of(6, FallsShort, 30)}, FallsShort},
		{"few paths, one in doubt", 0.1, 0, [][]Path{of(9, Meets, 30), of(1, TooClose, 30)}, TooClose},
		{"exact: one short path is enough", 0, 0, [][]Path{of(99, Meets, 30), of(1, FallsShort, 2)}, FallsShort},
		{"none", 0.1, 0, nil, Unknown},
		{"none told", 0.1, 0, [][]Path{of(9, Unknown, 30)}, Unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			check := &check{opt: Options{SigmaIn: c.sigmaIn, Window: unit.Feet(16)}}
			r := &Report{BelowMinimumPct: c.below, Paths: slices.Concat(c.paths...)}
			if got := check.meetsDesign(r); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}
