package level_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runnel/survey/level"
	"runnel/survey/unit"
)

// book makes a line of one set-up after another: names[0] is the start, each
// set-up reads back bs[i] and forward fs[i] to names[i+1].
func book(one unit.Length, names []string, start float64, bs, fs []float64) level.Book {
	b := level.Book{One: one, Known: []level.Mark{{Shot: names[0], Elevation: start}}}
	for i := range bs {
		b.SetUps = append(b.SetUps, level.SetUp{On: names[i], Backsight: bs[i],
			Readings: []level.Reading{{Shot: names[i+1], Rod: fs[i], Kind: level.Foresight}}})
	}
	return b
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s is %.9f, want %.9f", what, got, want)
	}
}

func TestReduce_WorkedBooks(t *testing.T) {
	for _, c := range []struct {
		name          string
		book          level.Book
		hi, elevation []float64
		sumBS, sumFS  float64
	}{
		// Lecture notes after a standard textbook: BM 820.00, BS 8.42, FS 1.20.
		{"one set-up", book(unit.Foot, []string{"BM", "X"}, 820, []float64{8.42}, []float64{1.20}),
			[]float64{828.42}, []float64{827.22}, 8.42, 1.20},
		// A public levelling lesson (thesurveyschool.com/free/leveling): HI,
		// elevations and sums as printed there.
		{"four set-ups", book(0, []string{"BM-A", "1", "2", "3", "4"}, 100,
			[]float64{4.320, 5.180, 3.070, 2.940}, []float64{6.420, 4.850, 5.160, 3.210}),
			[]float64{104.320, 103.080, 101.300, 99.080}, []float64{97.900, 98.230, 96.140, 95.870}, 15.510, 19.640},
		// Ghilani and Wolf, Elementary Surveying, 14th ed., problem 5.12; which
		// readings are backsights is inferred from the small misclosure.
		{"loop of 1500 m", loopC(), []float64{856.433, 858.802, 854.682, 852.434, 855.653},
			[]float64{851.895, 850.002, 848.704, 847.189, 852.055}, 28.169, 28.159},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := level.Reduce(c.book)
			if err := r.Check(); err != nil {
				t.Fatal(err)
			}
			for i, want := range c.hi {
				near(t, "HI", r.SetUps[i].HI, want)
				near(t, "elevation", r.Shots[i].Elevation, c.elevation[i])
			}
			near(t, "sum BS", r.SumBS, c.sumBS)
			near(t, "sum FS", r.SumFS, c.sumFS)
			near(t, "sums against elevations", r.SumBS-r.SumFS, c.elevation[len(c.elevation)-1]-r.Start.Elevation)
		})
	}
}

func loopC() level.Book {
	b := book(unit.Metre, []string{"BM7", "TP1", "BM8", "TP2", "TP3", "BM7"}, 852.045,
		[]float64{4.388, 6.907, 4.680, 3.730, 8.464}, []float64{4.538, 8.800, 5.978, 5.245, 3.598})
	b.Run = unit.Metres(1500)
	return b
}

// Ghilani and Wolf, problem 5.12: +0.010 m over five set-ups, -0.002 m each.
func TestReduce_Adjusted(t *testing.T) {
	r := level.Reduce(loopC())
	near(t, "misclosure", r.Closing.Misclosure, 0.010)
	for i, want := range []float64{851.893, 849.998, 848.698, 847.181, 852.045} {
		near(t, "adjusted "+r.Shots[i].Reading.Shot, r.Shots[i].Adjusted, want)
	}
	if within, stated := r.Within(); !within || !stated {
		t.Errorf("10 mm over 1.5 km: within %v, stated %v, of third order 14.7 mm", within, stated)
	}
}

// The limits 6, 8 and 12 mm by the root of km: FGCS 1984 (from memory);
// arithmetic sqrt(1.5) for the loop of 1500 m.
func TestOrder_Allowed(t *testing.T) {
	for _, c := range []struct{ mm, want float64 }{{6, 7.35}, {8, 9.80}, {12, 14.70}} {
		o := level.Order{At: unit.Millimetres(c.mm), Over: level.Kilometre}
		if got := o.Allowed(unit.Metres(1500)).Millimetres(); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%g mm class: %.3f mm, want %.2f", c.mm, got, c.want)
		}
	}
	// 0.025, 0.033, 0.050, 0.100 ft by the root of miles are 6.01, 7.93, 12.01
	// and 24.03 mm by the root of km.
	for _, c := range []struct{ ft, mm float64 }{{0.025, 6.01}, {0.033, 7.93}, {0.050, 12.01}, {0.100, 24.03}} {
		o := level.Order{At: unit.Feet(c.ft), Over: level.Mile}
		if got := o.Allowed(level.Kilometre).Millimetres(); math.Abs(got-c.mm) > 0.006 {
			t.Errorf("%g ft class over a km: %.3f mm, want %.2f", c.ft, got, c.mm)
		}
	}
	for _, c := range []struct{ ft, want float64 }{{400, 0.0138}, {800, 0.0195}, {2640, 0.0354}} {
		if got := level.ThirdOrder(false).Allowed(unit.Feet(c.ft)).Feet(); math.Abs(got-c.want) > 0.00005 {
			t.Errorf("third order over %g ft: %.4f, want %.4f", c.ft, got, c.want)
		}
	}
}

// US Navy, Engineering Aid manual, fig. 7-4: a circuit of 2,140 ft finds BM 19
// at 136.457, known 136.442; +0.015 of 0.0318 allowed.
func TestReduce_ClosesOnAnotherMark(t *testing.T) {
	b := book(unit.Foot, []string{"BM 11", "BM 19"}, 130, []float64{8}, []float64{1.543})
	b.Known = append(b.Known, level.Mark{Shot: "BM 19", Elevation: 136.442})
	b.Run = unit.Feet(2140)
	r := level.Reduce(b)
	near(t, "found", r.Closing.Found, 136.457)
	near(t, "misclosure", r.Closing.Misclosure, 0.015)
	if got := r.Allowed.Feet(); math.Abs(got-0.0318) > 0.00005 {
		t.Errorf("allowed %.5f, want 0.0318", got)
	}
	if within, stated := r.Within(); !within || !stated {
		t.Error("0.015 of 0.0318 is not within")
	}
	b.SetUps[0].Readings[0].Rod -= 0.017 // +0.032: just too much
	if within, _ := level.Reduce(b).Within(); within {
		t.Error("0.032 of 0.0318 is within")
	}
}

func TestReduce_Loose(t *testing.T) {
	b := book(0, []string{"A", "B", "C"}, 10, []float64{1, 1}, []float64{2, 2})
	b.SetUps[1].On = "nowhere"
	r := level.Reduce(b)
	if len(r.Loose) != 1 || r.Loose[0] != 1 || len(r.Shots) != 1 {
		t.Errorf("loose %v, %d shots", r.Loose, len(r.Shots))
	}
	if r := level.Reduce(level.Book{}); r.Check() != nil || len(r.Shots) > 0 || r.Closing != nil {
		t.Error("an empty book gives something")
	}
}

// A line run up a random stair comes out at the stair, whichever way each rod
// reads; raising the datum raises all; a planted misclosure is spread.
func TestReduce_Random(t *testing.T) {
	seed := uint64(41)
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	for range 200 {
		n := 1 + rng.IntN(12)
		z := []float64{rng.Float64() * 100}
		b := level.Book{Known: []level.Mark{{Shot: "P0", Elevation: z[0]}}}
		name := func(i int) string { return "P" + string(rune('0'+i)) }
		for i := range n {
			hi := z[i] + 1 + 4*rng.Float64()
			z = append(z, hi-5*rng.Float64())
			s := level.SetUp{On: name(i), Backsight: hi - z[i], Direct: rng.IntN(2) == 0}
			rod := hi - z[i+1]
			if s.Direct { // a rod that reads up from some place below
				s.Backsight, rod = z[i]-50, z[i+1]-50
			}
			s.Readings = []level.Reading{{Shot: name(i + 1), Rod: rod, Kind: level.Foresight}}
			b.SetUps = append(b.SetUps, s)
		}
		off := rng.NormFloat64() * 0.01
		b.Known = append(b.Known, level.Mark{Shot: name(n), Elevation: z[n] - off})
		r := level.Reduce(b)
		if err := r.Check(); err != nil {
			t.Fatal(err)
		}
		for i, s := range r.Shots {
			near(t, "elevation", s.Elevation, z[i+1])
			near(t, "adjusted", s.Adjusted, z[i+1]-off*float64(i+1)/float64(n))
		}
		near(t, "misclosure", r.Closing.Misclosure, off)
		near(t, "rise", r.Rise, z[n]-z[0])
	}
}

func TestTie(t *testing.T) {
	ft := func(names string, z ...float64) (out []level.Height) {
		for i, n := range strings.Fields(names) {
			out = append(out, level.Height{Shot: n, Elevation: unit.Feet(z[i])})
		}
		return out
	}
	first := ft("P Q R own", 100, 100.5, 101, 99)
	// By arithmetic: differences +0.02, +0.02, -0.98 ft, median +0.02, and the
	// third is 1.00 ft off it.
	shift, flagged, shared := level.Tie(first, ft("R Q P other", 100.02, 100.52, 100.02, 5))
	if math.Abs(shift.Feet()-0.02) > 1e-9 || shared != 3 {
		t.Errorf("shift %.4f ft over %d shots, want 0.02 over 3", shift.Feet(), shared)
	}
	if len(flagged) != 1 || flagged[0].Shot != "R" || math.Abs(flagged[0].Off.Feet()+1) > 1e-9 ||
		!strings.Contains(flagged[0].Why, "blunder of 1 ft") {
		t.Errorf("flagged %+v, want R by one foot", flagged)
	}
	if _, flagged, _ := level.Tie(first, ft("P Q R", 100.03, 100.51, 101.02)); len(flagged) > 0 {
		t.Errorf("good shots are flagged: %+v", flagged)
	}
	if _, flagged, _ := level.Tie(first, ft("P Q", 100, 101.5)); len(flagged) != 2 {
		t.Errorf("of two that disagree by a foot %d are flagged, want both", len(flagged))
	}
	if shift, flagged, shared := level.Tie(first, nil); shift != 0 || flagged != nil || shared != 0 {
		t.Error("nothing shared gives something")
	}
}

func TestText(t *testing.T) {
	got := level.Reduce(loopC()).Text()
	for _, want := range []string{"set-up 2 on TP1: elevation 851.895, BS 6.907, HI 858.802",
		"misclosure +0.010", "allowed misclosure 0.0147", "within it", "adjusted    847.181"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}
