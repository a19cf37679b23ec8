package geom_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"runnel/survey/geom"
)

// ring reads an outline from pairs of feet: "0,0 40,0 40,25".
func ring(t testing.TB, text string) geom.Ring {
	t.Helper()
	var r geom.Ring
	for text != "" {
		var p geom.Pt
		var rest string
		if n, _ := fmt.Sscanf(text, "%g,%g %s", &p.X, &p.Y, &rest); n < 2 {
			t.Fatalf("outline %q: want pairs of feet", text)
		}
		r = append(r, p)
		cut := len(text)
		for k, c := range text {
			if c == ' ' {
				cut = k + 1
				break
			}
		}
		text = text[cut:]
	}
	return r
}

func TestSelfCrossing_Stories(t *testing.T) {
	for name, c := range map[string]struct {
		outline string
		i, j    int
		found   bool
	}{
		"a rectangle":                    {"0,0 60,0 60,40 0,40", 0, 0, false},
		"a rectangle the other way":      {"0,0 0,40 60,40 60,0", 0, 0, false},
		"an L":                           {"0,0 120,0 120,48 72,48 72,84 0,84", 0, 0, false},
		"a vertex on a straight edge":    {"0,0 30,0 60,0 60,40 0,40", 0, 0, false},
		"two corners swapped: a bow tie": {"0,0 60,40 60,0 0,40", 0, 2, true},
		"a corner given twice":           {"0,0 60,0 60,0 60,40 0,40", 1, 1, true},
		"the first corner again at last": {"0,0 60,0 60,40 0,40 0,0", 4, 4, true},
		"a spike":                        {"0,0 60,0 60,40 90,40 60,40 0,40", 2, 5, true},
		"a spike off a corner":           {"0,0 60,0 60,60 60,40 0,40", 1, 3, true},
		"a corner touches an edge":       {"0,0 60,0 60,40 30,0 0,40", 0, 3, true},
		"two corners touch":              {"0,0 30,20 60,0 60,40 30,20 0,40", 1, 4, true},
		"a loop outside":                 {"0,0 60,0 60,40 20,40 20,60 40,60 40,30 0,30", 2, 5, true},
		"nothing":                        {"", 0, 0, false},
		"one corner":                     {"3,4", 0, 0, true},
		"two corners":                    {"0,0 5,5", 0, 1, true},
		"three in a line":                {"0,0 5,5 9,9", 0, 2, true},
		"a triangle":                     {"0,0 5,5 9,3", 0, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			i, j, found := ring(t, c.outline).SelfCrossing()
			if found != c.found {
				t.Fatalf("found %v, %d and %d; want %v", found, i, j, c.found)
			}
			if found && !touchAt(ring(t, c.outline), i, j) {
				t.Errorf("edges %d and %d do not meet", i, j)
			}
			if name != "two corners touch" && name != "a spike" && (i != c.i || j != c.j) {
				t.Errorf("edges %d and %d, want %d and %d", i, j, c.i, c.j)
			}
		})
	}
}

// touchAt says by itself whether edges i and j are at fault.
func touchAt(r geom.Ring, i, j int) bool {
	a, b, c, d := r.At(i), r.At(i+1), r.At(j), r.At(j+1)
	n := len(r)
	switch {
	case i == j:
		return a == b
	case n == 2:
		return true
	case j == i+1: // b == c: at fault only when they fold back
		return geom.Turn(a, b, d) == 0 && a.Sub(b).Dot(d.Sub(b)) >= 0
	case i == 0 && j == n-1: // a == d
		return geom.Turn(b, a, c) == 0 && b.Sub(a).Dot(c.Sub(a)) >= 0
	}
	return geom.Meet(a, b, c, d)
}

// allPairs is the slow way: every edge against every other.
func allPairs(r geom.Ring) bool {
	for i := range r {
		for j := i; j < len(r); j++ {
			if touchAt(r, i, j) {
				return true
			}
		}
	}
	return false
}

func TestSelfCrossing_AgreesWithAllPairs(t *testing.T) {
	simple, crossing := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		span := rapid.SampledFrom([]int{2, 4, 9, 1000}).Draw(t, "span")
		n := rapid.IntRange(1, 12).Draw(t, "corners")
		r := make(geom.Ring, n)
		for k := range r {
			r[k].X = float64(rapid.IntRange(0, span).Draw(t, "x"))
			r[k].Y = float64(rapid.IntRange(0, span).Draw(t, "y"))
		}
		if rapid.Bool().Draw(t, "star") { // mostly simple
			for k := range r {
				s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
				r[k] = geom.Pt{X: c, Y: s}.Mul(1 + r[k].X)
			}
		}
		want := allPairs(r)
		i, j, found := r.SelfCrossing()
		if found != want {
			t.Fatalf("%v: found %v (%d, %d), all pairs say %v", r, found, i, j, want)
		}
		if found && !touchAt(r, i, j) {
			t.Fatalf("%v: edges %d and %d do not meet", r, i, j)
		}
		if found {
			crossing++
		} else {
			simple++
		}
	})
	if simple < 10 || crossing < 10 {
		t.Errorf("%d simple and %d crossing rings: one kind was hardly tried", simple, crossing)
	}
}

func TestCrossing_CourtsAgainstOutline(t *testing.T) {
	outline := ring(t, "0,0 60,0 60,40 0,40")
	for name, c := range map[string]struct {
		court string
		found bool
	}{
		"inside":              {"10,10 20,10 20,20 10,20", false},
		"over the edge":       {"50,10 70,10 70,20 50,20", true},
		"against the wall":    {"50,10 60,10 60,20 50,20", true},
		"corner on the wall":  {"50,10 60,15 50,20", true},
		"outside altogether":  {"70,10 80,10 80,20 70,20", false},
		"round the whole":     {"-1,-1 61,-1 61,41 -1,41", false},
		"the outline again":   {"0,0 60,0 60,40 0,40", true},
		"shares one corner":   {"0,0 10,5 5,10", true},
		"crosses itself":      {"10,10 20,20 20,10 10,20", true},
		"off by the last bit": {"50,10 59.99999999999999,10 59.99999999999999,20 50,20", false},
	} {
		a, b, found := geom.Crossing(outline, ring(t, c.court))
		if found != c.found {
			t.Errorf("%s: found %v (%v, %v), want %v", name, found, a, b, c.found)
		}
		if found && name != "crosses itself" && (a.Ring != 0 || b.Ring != 1) {
			t.Errorf("%s: names %v and %v, want one edge of each ring", name, a, b)
		}
	}
}

// comb is a simple ring of n slanting teeth whose boxes all overlap.
func comb(n int) geom.Ring {
	var r geom.Ring
	for k := range n {
		x := float64(k)
		r = append(r, geom.Pt{X: x, Y: 0}, geom.Pt{X: x + 0.5 + float64(n), Y: float64(n)})
	}
	return append(r, geom.Pt{X: float64(2 * n), Y: -1}, geom.Pt{X: 0, Y: -1})
}

func TestSelfCrossing_HundredThousandVertices(t *testing.T) {
	for name, r := range map[string]geom.Ring{
		"a comb of slanting teeth": comb(50_000),
		"a circle": geom.Ring(make([]geom.Pt, 100_000)).Map(func() func(geom.Pt) geom.Pt {
			k := -1
			return func(geom.Pt) geom.Pt {
				k++
				s, c := math.Sincos(2 * math.Pi * float64(k) / 100_000)
				return geom.Pt{X: 300 * c, Y: 300 * s}
			}
		}()),
	} {
		start := time.Now()
		if i, j, found := r.SelfCrossing(); found {
			t.Errorf("%s: edges %d and %d are said to meet", name, i, j)
		}
		t.Logf("%s: %d vertices in %v", name, len(r), time.Since(start))
		bad := append(geom.Ring{}, r...)
		bad[len(r)/2], bad[len(r)/2+2] = bad[len(r)/2+2], bad[len(r)/2]
		if _, _, found := bad.SelfCrossing(); !found {
			t.Errorf("%s with two vertices swapped: nothing found", name)
		}
	}
}

func BenchmarkSelfCrossing(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		r := comb(n / 2)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				r.SelfCrossing()
			}
		})
	}
}
