package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"runnel/survey"
	"runnel/survey/geom"
)

// TestInverse: the entries in the envelope are those of a general library's
// inverse of the whole matrix, on a roof with a court.
func TestInverse(t *testing.T) {
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 44, 31), Courts: []geom.Ring{rect(15, 8, 22, 19)}}
	gridShots(&a, 9, func(geom.Pt) float64 { return rng.NormFloat64() })
	s := survey.SiteOf(&a, nil)
	shots, err := usable(s)
	if err != nil {
		t.Fatal(err)
	}
	sys, _ := newHung(s, newWalls(s), shots, 3, 9)
	m := sys.matrix(strengthOf(0.7, 9))
	n := len(sys.cell)
	full := mat.NewDense(n, n, nil)
	for a, c := range sys.cell {
		for o, v := range m[a] {
			k := int(c) + (o/5-2)*sys.g.NX + o%5 - 2
			if v != 0 {
				full.Set(a, int(sys.num[k]), v)
			}
		}
	}
	var want mat.Dense
	if err := want.Inverse(full); err != nil {
		t.Fatal(err)
	}
	f, ok := sys.factorise(m)
	if !ok {
		t.Fatal("singular")
	}
	z := f.inverse()
	worst := 0.0
	for a := range n {
		for b := int(z.first[a]); b <= a; b++ {
			worst = math.Max(worst, math.Abs(z.entry(int32(b), int32(a))-want.At(a, b)))
		}
	}
	t.Logf("%d unknowns, %.2g off", n, worst)
	if worst > 1e-7 {
		t.Errorf("an entry is off by %g", worst)
	}
}
