package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// hatMatrix is the smoother as seen by the shots: fitted = H(strength) z. All
// H have the same eigenvectors, and one eigenvalue h at the strength s0 gives
// it at any other, h(s) = 1 / (1 + s d) with d = (1/h - 1) / s0; so one
// factorisation prices every strength (Demmler and Reinsch, 1975; Craven and
// Wahba, 1979, "Smoothing noisy data with spline functions").
type hatMatrix struct {
	z    []float64
	vec  *mat.Dense
	d    []float64 // +Inf where the eigenvalue is 0
	proj []float64 // z in the eigenvectors
}

// hatOf computes the hat matrix of the shots hs on s. It gives false when the
// matrix is singular to rounding. Cost: envelope work + shots x envelope +
// shots^3.
func hatOf(s *system, hs []hold, strength float64) (*hatMatrix, bool) {
	f, ok := s.factorise(s.matrix(strength))
	if !ok {
		return nil, false
	}
	n := len(hs)
	h := mat.NewSymDense(n, nil)
	col := make([]float64, len(s.cell))
	for a := range hs {
		clear(col)
		for e, w := range hs[a].w {
			if w != 0 {
				col[s.num[hs[a].base+(e/3-1)*s.g.NX+e%3-1]] += w
			}
		}
		f.solve(col)
		for b := a; b < n; b++ {
			h.SetSym(a, b, s.at(hs[b], col))
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(h, true) {
		return nil, false
	}
	m := &hatMatrix{vec: mat.NewDense(n, n, nil), d: eig.Values(nil), proj: make([]float64, n)}
	eig.VectorsTo(m.vec)
	for _, sh := range hs {
		m.z = append(m.z, sh.zIn)
	}
	for k, v := range m.d {
		m.d[k] = math.Inf(1)
		if v > 1e-12 {
			m.d[k] = math.Max(0, (1/v-1)/strength)
		}
		for i := range n {
			m.proj[k] += m.vec.At(i, k) * m.z[i]
		}
	}
	return m, true
}

// leftOut is what leaving out each shot in turn told.
type leftOut struct {
	residual []float64 // of the surface with all shots
	miss     []float64 // at each shot, of the surface refitted without it
	ok       []bool    // false: the shot alone holds some part of the surface
	free     float64   // readings beyond those that the surface uses up
}

// leaveOneOut gives, at a strength, the miss at each shot of the surface
// refitted without it: residual / (1 - h), h being the shot's own weight in
// its fitted value (Craven and Wahba, 1979).
func (m *hatMatrix) leaveOneOut(strength float64) leftOut {
	n := len(m.z)
	o := leftOut{make([]float64, n), make([]float64, n), make([]bool, n), float64(n)}
	share := make([]float64, n)
	for k, d := range m.d {
		if !math.IsInf(d, 1) {
			share[k] = 1 / (1 + strength*d)
		}
	}
	for i := range n {
		fitted, lever := 0.0, 0.0
		for k, v := range m.vec.RawRowView(i) {
			fitted += v * share[k] * m.proj[k]
			lever += v * v * share[k]
		}
		o.residual[i] = m.z[i] - fitted
		o.free -= lever
		if o.ok[i] = 1-lever > 1e-9; o.ok[i] {
			o.miss[i] = o.residual[i] / (1 - lever)
		}
	}
	return o
}

// squares are sums of squared misses and what else a strength is judged by,
// over one or more groups of shots.
type squares struct {
	miss2, rss, free float64
	n, all           int
}

// rmse is the leave-one-out error; 0 when no shot could be left out.
func (q squares) rmse() float64 {
	if q.n == 0 {
		return 0
	}
	return math.Sqrt(q.miss2 / float64(q.n))
}

func judge(hats []*hatMatrix, strength float64) squares {
	var q squares
	for _, m := range hats {
		o := m.leaveOneOut(strength)
		q.free += o.free
		q.all += len(o.miss)
		for i, r := range o.residual {
			q.rss += r * r
			if o.ok[i] {
				q.miss2 += o.miss[i] * o.miss[i]
				q.n++
			}
		}
	}
	return q
}

// The range of strengths tried, as the length over which the surface smooths
// in shot spacings: (strength / spacing^2)^(1/4). At the lower end shots are
// followed to about a ten thousandth of their noise, at the upper end the
// surface is a plane over any roof.
const (
	leastReach = 0.1
	mostReach  = 8.0
	reachSteps = 28
)

func strengthOf(reach, spacingFt float64) float64 {
	return math.Pow(reach, 4) * spacingFt * spacingFt
}

// chooseStrength gives the reach, in shot spacings and no longer than most, of
// least leave-one-out error, the longer where two come within a thousandth of
// each other or where both are rounding, and what it scores.
func chooseStrength(hats []*hatMatrix, spacingFt, most float64) (reach float64, q squares) {
	best := math.Inf(1)
	step := math.Pow(mostReach/leastReach, 1.0/reachSteps)
	try := func(r float64) {
		if s := judge(hats, strengthOf(r, spacingFt)); s.rmse() < best*(1-1e-3) && best > nothingIn {
			best, reach, q = s.rmse(), r, s
		}
	}
	for r := most; r >= leastReach*(1-1e-9); r /= step {
		try(r)
	}
	middle := reach
	for _, part := range []float64{-0.6, -0.3, 0.3, 0.6} {
		try(math.Min(most, middle*math.Pow(step, part)))
	}
	return reach, q
}
