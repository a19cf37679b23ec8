package geom_test

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/geom"
)

// ratTurn is the sign of the same determinant in rational arithmetic.
func ratTurn(a, b, c geom.Pt) int {
	r := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	sub := func(x, y float64) *big.Rat { return new(big.Rat).Sub(r(x), r(y)) }
	l := new(big.Rat).Mul(sub(a.X, c.X), sub(b.Y, c.Y))
	return l.Cmp(new(big.Rat).Mul(sub(a.Y, c.Y), sub(b.X, c.X)))
}

// nearLine draws coordinates that often stand in one line or a last digit off.
func nearLine(t *rapid.T, label string) geom.Pt {
	base := float64(rapid.IntRange(-8, 8).Draw(t, label+" base"))
	scale := math.Pow(2, float64(rapid.IntRange(-60, 40).Draw(t, label+" scale")))
	off := float64(rapid.IntRange(-2, 2).Draw(t, label+" ulp"))
	x := base * scale
	y := base*scale + off*(math.Nextafter(base*scale, math.Inf(1))-base*scale)
	return geom.Pt{X: x, Y: y}
}

func TestTurn_AgreesWithExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := nearLine(t, "a"), nearLine(t, "b"), nearLine(t, "c")
		if rapid.Bool().Draw(t, "wild") {
			c = geom.Pt{X: rapid.Float64().Draw(t, "x"), Y: rapid.Float64().Draw(t, "y")}
		}
		want := ratTurn(a, b, c)
		if got := geom.Turn(a, b, c); got != want {
			t.Fatalf("Turn(%v, %v, %v) = %d, exactly %d", a, b, c, got, want)
		}
		if geom.Turn(b, c, a) != want || geom.Turn(b, a, c) != -want {
			t.Fatalf("Turn(%v, %v, %v): not the same from another place", a, b, c)
		}
	})
}

func TestTurn_Stories(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for name, c := range map[string]struct {
		a, b, c geom.Pt
		want    int
	}{
		"left":                  {geom.Pt{}, geom.Pt{X: 1}, geom.Pt{X: 1, Y: 1}, 1},
		"right":                 {geom.Pt{}, geom.Pt{X: 1}, geom.Pt{X: 1, Y: -1}, -1},
		"upright wall":          {geom.Pt{X: 3}, geom.Pt{X: 3, Y: 5}, geom.Pt{X: 3, Y: 9}, 0},
		"one place three times": {geom.Pt{X: 1, Y: 2}, geom.Pt{X: 1, Y: 2}, geom.Pt{X: 1, Y: 2}, 0},
		"a last digit off the diagonal": {geom.Pt{}, geom.Pt{X: 1e8, Y: 1e8},
			geom.Pt{X: 0.5, Y: math.Nextafter(0.5, 1)}, 1},
		"products under the smallest number": {geom.Pt{X: 1e-200, Y: 2e-200},
			geom.Pt{X: 2e-200, Y: 1e-200}, geom.Pt{X: 0, Y: 0}, -1},
		"products over the greatest number": {geom.Pt{X: 1e300, Y: 2e300},
			geom.Pt{X: 2e300, Y: 1e300}, geom.Pt{X: -1e300, Y: -1e300}, -1},
		"no number": {geom.Pt{X: nan}, geom.Pt{X: 1, Y: 1}, geom.Pt{X: 2, Y: 7}, 0},
		"no end":    {geom.Pt{X: inf, Y: 1}, geom.Pt{X: inf, Y: 3}, geom.Pt{X: 2, Y: 7}, 0},
	} {
		if got := geom.Turn(c.a, c.b, c.c); got != c.want {
			t.Errorf("%s: Turn = %d, want %d", name, got, c.want)
		}
	}
}

func TestCross_Stories(t *testing.T) {
	pt := func(x, y float64) geom.Pt { return geom.Pt{X: x, Y: y} }
	for name, c := range map[string]struct {
		a, b, c, d geom.Pt
		at         geom.Pt
		ok         bool
	}{
		"a cross":                   {pt(0, 0), pt(4, 4), pt(0, 4), pt(4, 0), pt(2, 2), true},
		"a tee":                     {pt(0, 0), pt(4, 0), pt(1, 0), pt(1, 5), pt(1, 0), true},
		"an elbow":                  {pt(0, 0), pt(4, 0), pt(4, 0), pt(4, 3), pt(4, 0), true},
		"side by side":              {pt(0, 0), pt(4, 0), pt(0, 1), pt(4, 1), pt(0, 0), false},
		"in one line, apart":        {pt(0, 0), pt(1, 1), pt(2, 2), pt(3, 3), pt(0, 0), false},
		"in one line, end to end":   {pt(0, 0), pt(1, 1), pt(1, 1), pt(3, 3), pt(1, 1), true},
		"in one line, overlapping":  {pt(4, 0), pt(0, 0), pt(2, 0), pt(8, 0), pt(3, 0), true},
		"short of touching":         {pt(0, 0), pt(4, 0), pt(1, 1e-9), pt(1, 5), pt(0, 0), false},
		"a place on a stretch":      {pt(2, 2), pt(2, 2), pt(0, 0), pt(4, 4), pt(2, 2), true},
		"a place beside a stretch":  {pt(2, 3), pt(2, 3), pt(0, 0), pt(4, 4), pt(0, 0), false},
		"would meet when prolonged": {pt(0, 0), pt(1, 0), pt(2, -1), pt(2, 1), pt(0, 0), false},
	} {
		at, ok := geom.Cross(c.a, c.b, c.c, c.d)
		if ok != c.ok || at.Dist(c.at) > 1e-12 {
			t.Errorf("%s: Cross = %v, %v, want %v, %v", name, at, ok, c.at, c.ok)
		}
		if back, ok := geom.Cross(c.d, c.c, c.b, c.a); ok != c.ok || back.Dist(c.at) > 1e-12 {
			t.Errorf("%s, the other way round: Cross = %v, %v", name, back, ok)
		}
	}
}
