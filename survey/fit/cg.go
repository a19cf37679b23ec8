package fit

import (
	"context"
	"math"
)

// iterate solves m x = s.rhs by conjugate gradients with a symmetric
// Gauss-Seidel sweep before each step, for systems too large to factorise.
// It stops when the remainder is 1e-12 of the right side, or where rounding
// allows no more. Source: textbook (Golub and Van Loan, "Matrix computations",
// from memory). Cost: about 100 sweeps of the cells for a usual strength.
func (s *system) iterate(ctx context.Context, m []rows25) ([]float64, error) {
	t := s.tableau(m)
	n := len(s.cell)
	b := make([]float64, len(t.x0))
	for i, v := range s.rhs {
		b[t.pos[i]] = v
	}
	x, p, q, z := t.x0, make([]float64, len(b)), make([]float64, len(b)), make([]float64, len(b))
	r := b
	goal := 1e-12 * math.Sqrt(t.inner(r, r))
	t.sweep(r, z)
	copy(p, z)
	rz := t.inner(r, z)
	for step := 0; step < 20*int(math.Sqrt(float64(n)))+200; step++ {
		if math.Sqrt(t.inner(r, r)) <= goal || rz <= 0 {
			break
		}
		if step%16 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		t.times(p, q)
		pq := t.inner(p, q)
		if !(pq > 0) {
			break
		}
		alpha := rz / pq
		for _, k := range t.pos {
			x[k] += float64(alpha * p[k])
			r[k] -= float64(alpha * q[k])
		}
		t.sweep(r, z)
		next := t.inner(r, z)
		beta := next / rz
		rz = next
		for _, k := range t.pos {
			p[k] = z[k] + float64(beta*p[k])
		}
	}
	out := make([]float64, n)
	for i, k := range t.pos {
		out[i] = x[k]
	}
	return out, nil
}

// tableau is a matrix of rows25 over the cells of the ground with a rim of two
// cells, so that a row's 25 neighbours stand at fixed offsets.
type tableau struct {
	m    []rows25
	pos  []int    // of each unknown
	off  [25]int  // of the neighbours
	late [25]bool // the neighbour comes after its cell in the order of pos
	x0   []float64
}

func (s *system) tableau(m []rows25) *tableau {
	wide := s.g.NX + 4
	t := &tableau{m: m, pos: make([]int, len(s.cell)), x0: make([]float64, wide*(s.g.NY+4))}
	for o := range t.off {
		t.off[o] = (o/5-2)*wide + o%5 - 2
		dx, dy := o%5-2, o/5-2
		t.late[o] = dy > 0 || dy == 0 && dx > 0
		if s.byColumn() {
			t.late[o] = dx > 0 || dx == 0 && dy > 0
		}
	}
	for n, c := range s.cell {
		t.pos[n] = (int(c)/s.g.NX+2)*wide + int(c)%s.g.NX + 2
	}
	return t
}

func (t *tableau) inner(a, b []float64) float64 {
	sum := 0.0
	for _, k := range t.pos {
		sum += float64(a[k] * b[k])
	}
	return sum
}

// times sets y to m x.
func (t *tableau) times(x, y []float64) {
	for n, k := range t.pos {
		row, sum := &t.m[n], 0.0
		for o, v := range row {
			sum += float64(v * x[k+t.off[o]])
		}
		y[k] = sum
	}
}

// sweep sets z to the answer of (D+L) D^-1 (D+U) z = r, L and U being what
// comes before and after each unknown in the order of pos.
func (t *tableau) sweep(r, z []float64) {
	clear(z)
	for n, k := range t.pos {
		row, sum := &t.m[n], r[k]
		for o, v := range row {
			if o != 12 {
				sum -= float64(v * z[k+t.off[o]]) // what comes after is still 0
			}
		}
		z[k] = sum / row[12]
	}
	for n := len(t.pos) - 1; n >= 0; n-- {
		k := t.pos[n]
		row, sum := &t.m[n], 0.0
		for o, v := range row {
			if t.late[o] {
				sum += float64(v * z[k+t.off[o]])
			}
		}
		z[k] -= sum / row[12]
	}
}
