package pipeline

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// seeded gives a source of chance and prints its seed.
func seeded(t *testing.T) *rand.Rand {
	t.Helper()
	return rand.New(rand.NewPCG(seedOr(t, 1), 0))
}

// seedOr is RUNNEL_SEED, or the seed given; it is printed.
func seedOr(t *testing.T, seed uint64) uint64 {
	t.Helper()
	if s := os.Getenv("RUNNEL_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatalf("RUNNEL_SEED: %v", err)
		}
		seed = v
	}
	t.Logf("RUNNEL_SEED=%d", seed)
	return seed
}

// unevenDeck is smooth and random: six waves of 5 to 8 m, each its own way, cut
// off softly at 15 mm either way, so that most of it stands near the one or the
// other.
func unevenDeck(rng *rand.Rand) func(p geom.Pt) unit.Length {
	type wave struct{ kx, ky, phase float64 }
	var waves []wave
	for range 6 {
		k := 2 * math.Pi / unit.Metres(5+3*rng.Float64()).Feet()
		turn := 2 * math.Pi * rng.Float64()
		waves = append(waves, wave{k * math.Cos(turn), k * math.Sin(turn), 2 * math.Pi * rng.Float64()})
	}
	return func(p geom.Pt) unit.Length {
		z := 0.0
		for _, w := range waves {
			z += math.Sin(w.kx*p.X + w.ky*p.Y + w.phase)
		}
		return unit.Millimetres(15 * math.Tanh(z/math.Sqrt(3))) // its rms is the square root of 6/2
	}
}

// unevenJob is a concrete deck of 24 x 18 m, level to +-15 mm, shot every 1.2 m
// with an error of 1.5 mm, with a one-way design toward a gutter.
func unevenJob(t *testing.T, deck func(p geom.Pt) unit.Length, rng *rand.Rand) *survey.Job {
	job := *readJob(t, "bare-rectangle")
	job.Units, job.Stock = unit.Metric, nil
	job.Rules = survey.RuleChoice{Name: "metric-falls"}
	job.Survey.ReadingError = unit.Millimetres(1.5)
	w, h := unit.Metres(24).Feet(), unit.Metres(18).Feet()
	a := survey.Area{Name: "A", Outline: geom.Box{Max: geom.Pt{X: w, Y: h}}.Ring(), Edges: make([]survey.Edge, 4)}
	a.Edges[0].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
	step := unit.Metres(1.2).Feet()
	for x := step / 2; x < w; x += step {
		for y := step / 2; y < h; y += step {
			p := geom.Pt{X: x, Y: y}
			z := 100*unit.Foot + deck(p) + unit.Millimetres(1.5*rng.NormFloat64())
			a.Shots = append(a.Shots, survey.Shot{ID: strconv.Itoa(len(a.Shots) + 1), At: p, Elev: z})
		}
	}
	job.Areas = []survey.Area{a}
	return &job
}

// TestUnevenDeck: on a concrete deck of +-15 mm a design of 1:80 shows back
// falls, and not 1:80 on about half of the roof; at 1:40 over the same survey the
// share of the area where 1:80 is still met is told, and it is close to the
// truth, which is worked out from the deck itself.
func TestUnevenDeck(t *testing.T) {
	rng := seeded(t)
	deck := unevenDeck(rng)
	job := unevenJob(t, deck, rng)
	met := map[float64]float64{}
	for _, n := range []float64{80, 40} {
		choice := *job.Taper
		choice.Scheme, choice.Slope, choice.Start = survey.OneWay, unit.SlopeOfRatio(1/n), unit.Millimetres(20)
		job.Taper = &choice
		r := runJob(t, job)
		p := r.Areas[0].Proof
		back, under := deckTruth(deck, 1/n)
		met[n] = 100 - p.Report.BelowMinimumPct
		t.Logf("1:%g: %.1f %% falls backward (truth %.1f), 1:80 is met on %.1f %% (truth %.1f), %d ponds; %s",
			n, p.BackFallPct, back, met[n], 100-under, len(p.Report.Ponds), p.Why)
		if math.Abs(p.BackFallPct-back) > 5 || math.Abs(met[n]-(100-under)) > 10 {
			t.Errorf("1:%g: back falls %.1f, truth %.1f; 1:80 met on %.1f, truth %.1f", n, p.BackFallPct, back, met[n], 100-under)
		}
		var text strings.Builder
		if err := render.WriteText(&text, r); err != nil {
			t.Fatal(err)
		}
		if told := strings.Contains(text.String(), "falls backward"); told != (p.BackFallPct >= 0.05) || n == 80 && !told {
			t.Errorf("1:%g: back falls of %.1f %% are told: %v", n, p.BackFallPct, told)
		}
		if !strings.Contains(text.String(), "of the finished area is under 1:80") {
			t.Errorf("1:%g: the share under 1:80 is not told", n)
		}
	}
	if met[80] < 30 || met[80] > 80 || met[40] < met[80]+15 || met[40] == 100 {
		t.Errorf("1:80 is met on %.1f %% at 1:80 and on %.1f %% at 1:40", met[80], met[40])
	}
}

// deckTruth gives the shares of the roof, in per cent, where a plane of a slope
// over the deck itself falls backward over 4 ft, and where the finished slope
// over 4 ft is under 1:80.
func deckTruth(deck func(p geom.Pt) unit.Length, ratio float64) (back, under float64) {
	const half = 2.0 // ft
	w, h := unit.Metres(24).Feet(), unit.Metres(18).Feet()
	n := 0.0
	slope := func(p, d geom.Pt) float64 {
		return (deck(p.Add(d.Mul(half))) - deck(p.Sub(d.Mul(half)))).Feet() / (2 * half)
	}
	for x := half; x < w-half; x++ {
		for y := half; y < h-half; y++ {
			p := geom.Pt{X: x, Y: y}
			gx, gy := slope(p, geom.Pt{X: 1}), ratio+slope(p, geom.Pt{Y: 1})
			n++
			if gy < 0 {
				back++
			}
			if math.Hypot(gx, gy) < 1.0/80 {
				under++
			}
		}
	}
	return 100 * back / n, 100 * under / n
}

// TestWordOfNoPonds: where no pond is found the report says how wide a dish
// would have to be to show: in short, for the roof as it is and for the finished one.
func TestWordOfNoPonds(t *testing.T) {
	r := runJob(t, readJob(t, "bare-rectangle"))
	a := &r.Areas[0]
	if a.Fit.Dishes == (fit.Dishes{}) || a.Existing.NarrowestFt != a.Fit.Dishes.NarrowestFt {
		t.Errorf("%+v, %g ft", a.Fit.Dishes, a.Existing.NarrowestFt)
	}
	var text strings.Builder
	if err := render.WriteText(&text, r); err != nil {
		t.Fatal(err)
	}
	flat := strings.Join(strings.Fields(text.String()), " ")
	if strings.Count(flat, "Holds water? No.") != 2 || strings.Count(flat, "A dish narrower than 20 ft") != 3 ||
		!strings.Contains(flat, "no pond (dishes narrower than 20'-0\" would not be seen)") {
		t.Errorf("a word of no pond stands alone:\n%s", text.String())
	}
}
