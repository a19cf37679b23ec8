package fit

import (
	"math"

	"runnel/survey/geom"
)

// system is the normal equations of the smoothing surface u on a ground:
//
//	sum over shots (z - u(p))^2 + strength * bending energy of u -> least
//
// The bending energy is the integral of u_xx^2 + 2 u_xy^2 + u_yy^2 with
// natural borders (Duchon, 1977, "Splines minimizing rotation-invariant
// semi-norms in Sobolev spaces"; on a lattice: Briggs, 1974, "Machine
// contouring using minimum curvature", Geophysics 39). As an integral it has a
// meaning of its own, in square inches over square feet, so that a strength in
// square feet means the same on any lattice.
//
// Each row is the 25 cells of the 5 x 5 window round its cell; cells off the
// ground have no row.
type system struct {
	g    *ground
	cell []int32 // of each unknown
	num  []int32 // unknown of each cell, -1 off the ground
	bend []rows25
	data []rows25
	rhs  []float64
}

type rows25 [25]float64

// slack is the share of tension beside the bending energy, per square of the
// shot spacing: it holds what bending leaves loose (a strip one cell wide) and
// does nothing one can measure elsewhere.
const slack = 1e-6

// newSystem numbers the unknowns along the shorter way and sums up the bending
// energy. Cost: O(cells).
func newSystem(g *ground, spacingFt float64) *system {
	s := &system{g: g, num: make([]int32, g.Len())}
	number := func(k int) {
		s.num[k] = -1
		if g.in[k] {
			s.num[k] = int32(len(s.cell))
			s.cell = append(s.cell, int32(k))
		}
	}
	if !s.byColumn() {
		for k := range g.Len() {
			number(k)
		}
	} else {
		for i := range g.NX {
			for j := range g.NY {
				number(j*g.NX + i)
			}
		}
	}
	s.bend = make([]rows25, len(s.cell))
	s.data = make([]rows25, len(s.cell))
	s.rhs = make([]float64, len(s.cell))
	s.addBending(slack / (spacingFt * spacingFt))
	return s
}

// byColumn says that the unknowns run along y first.
func (s *system) byColumn() bool { return s.g.NX > s.g.NY }

// addBending adds up the squares of the second differences, and of the first
// ones as tension.
func (s *system) addBending(tension float64) {
	g, nx := s.g, s.g.NX
	perCell := 1 / (g.CellFt * g.CellFt)
	for _, c := range s.cell {
		k := int(c)
		if g.east[k] {
			s.square(tension, []int{k, k + 1}, []float64{1, -1})
			if g.east[k+1] {
				s.square(perCell, []int{k, k + 1, k + 2}, []float64{1, -2, 1})
			}
		}
		if g.north[k] {
			s.square(tension, []int{k, k + nx}, []float64{1, -1})
			if g.north[k+nx] {
				s.square(perCell, []int{k, k + nx, k + 2*nx}, []float64{1, -2, 1})
			}
		}
		if g.east[k] && g.north[k] && g.north[k+1] && g.east[k+nx] {
			s.square(2*perCell, []int{k, k + 1, k + nx, k + nx + 1}, []float64{1, -1, -1, 1})
		}
	}
}

// square adds factor * (sum of weights * cells)^2 to the bending rows.
func (s *system) square(factor float64, cells []int, weights []float64) {
	nx := s.g.NX
	for a, ka := range cells {
		row := &s.bend[s.num[ka]]
		for b, kb := range cells {
			dx, dy := kb%nx-ka%nx, kb/nx-ka/nx
			row[5*(dy+2)+dx+2] += factor * weights[a] * weights[b]
		}
	}
}

// hold is a shot on the ground: what it weighs on the nine cells round base.
type hold struct {
	base int
	w    [9]float64
	zIn  float64
	pull float64 // how much the shot counts; 1 is usual
	shot int     // its number among those hung
}

// holdOf hangs a shot on the ground; false where no cell is near.
func (s *system) holdOf(p geom.Pt, zIn float64) (hold, bool) {
	base, ok := s.g.baseOf(p)
	if !ok {
		return hold{}, false
	}
	return hold{base: base, w: s.g.weights(p, base), zIn: zIn, pull: 1}, true
}

// pull adds the misfit of a shot to the data rows.
func (s *system) pull(h hold) {
	nx := s.g.NX
	for a, wa := range h.w {
		if wa == 0 {
			continue
		}
		n := s.num[h.base+(a/3-1)*nx+a%3-1]
		row := &s.data[n]
		for b, wb := range h.w {
			row[5*(b/3-a/3+2)+b%3-a%3+2] += h.pull * wa * wb
		}
		s.rhs[n] += h.pull * wa * h.zIn
	}
}

// pin holds at 0 the parts of the ground that no shot of hs reaches over
// links; call it when all shots are pulled. Cost: O(cells).
func (s *system) pin(hs []hold) {
	reached := make([]bool, s.g.Len())
	var stack []int
	reach := func(k int) {
		if !reached[k] {
			reached[k] = true
			stack = append(stack, k)
		}
	}
	for _, h := range hs {
		reach(h.base)
	}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		s.g.linked(k, reach)
	}
	for n, k := range s.cell {
		if !reached[k] {
			s.data[n][12]++
		}
	}
}

// at is the value over a shot of the surface u, one value an unknown.
func (s *system) at(h hold, u []float64) float64 {
	sum := 0.0
	for a, wa := range h.w {
		if wa != 0 {
			sum += wa * u[s.num[h.base+(a/3-1)*s.g.NX+a%3-1]]
		}
	}
	return sum
}

// matrix is data + strength * bending.
func (s *system) matrix(strength float64) []rows25 {
	m := make([]rows25, len(s.cell))
	for n := range m {
		for o := range m[n] {
			m[n][o] = s.data[n][o] + strength*s.bend[n][o]
		}
	}
	return m
}

// factor is the Cholesky factor of a matrix of rows25 in envelope form: row n
// holds the columns from first[n] to n.
type factor struct {
	first []int32
	start []int
	l     []float64
}

// envelope gives the first column of each row, and the work of factoring in
// multiplications.
func (s *system) envelope() (first []int32, work float64) {
	nx, ny := s.g.NX, s.g.NY
	first = make([]int32, len(s.cell))
	for n, c := range s.cell {
		i, j := int(c)%nx, int(c)/nx
		lo := int32(n)
		for dj := -2; dj <= 2; dj++ {
			for di := -2; di <= 2; di++ {
				if i+di < 0 || i+di >= nx || j+dj < 0 || j+dj >= ny {
					continue
				}
				if m := s.num[int(c)+dj*nx+di]; m >= 0 && m < lo {
					lo = m
				}
			}
		}
		first[n] = lo
		work += float64(n-int(lo)) * float64(n-int(lo)) / 2
	}
	return first, work
}

// factorise gives the Cholesky factor of m; false when m is not positive
// definite to rounding. Cost: envelope work.
func (s *system) factorise(m []rows25) (*factor, bool) {
	first, _ := s.envelope()
	f := &factor{first: first, start: make([]int, len(first)+1)}
	for n := range first {
		f.start[n+1] = f.start[n] + n - int(first[n]) + 1
	}
	f.l = make([]float64, f.start[len(first)])
	nx, ny := s.g.NX, s.g.NY
	for n, c := range s.cell {
		row := f.row(n)
		i, j := int(c)%nx, int(c)/nx
		for o, v := range m[n] {
			di, dj := o%5-2, o/5-2
			if v == 0 || i+di < 0 || i+di >= nx || j+dj < 0 || j+dj >= ny {
				continue
			}
			if k := s.num[int(c)+dj*nx+di]; k >= 0 && int(k) <= n {
				row[int(k)-int(first[n])] = v
			}
		}
		if !f.eliminate(n) {
			return nil, false
		}
	}
	return f, true
}

func (f *factor) row(n int) []float64 { return f.l[f.start[n]:f.start[n+1]] }

// eliminate turns row n of the matrix into row n of the factor.
func (f *factor) eliminate(n int) bool {
	row, lo := f.row(n), int(f.first[n])
	for k := lo; k < n; k++ {
		other, from := f.row(k), int(f.first[k])
		at := max(lo, from)
		row[k-lo] = (row[k-lo] - dot(row[at-lo:k-lo], other[at-from:k-from])) / other[k-from]
	}
	d := row[n-lo] - dot(row[:n-lo], row[:n-lo])
	if !(d > 0) {
		return false
	}
	row[n-lo] = math.Sqrt(d)
	return true
}

// dot sums products in four lanes.
func dot(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += float64(a[i] * b[i])
		s1 += float64(a[i+1] * b[i+1])
		s2 += float64(a[i+2] * b[i+2])
		s3 += float64(a[i+3] * b[i+3])
	}
	for ; i < len(a); i++ {
		s0 += float64(a[i] * b[i])
	}
	return (s0 + s1) + (s2 + s3)
}

// solve overwrites b with the answer of (L L^T) x = b.
func (f *factor) solve(b []float64) {
	f.forward(b)
	for n := len(b) - 1; n >= 0; n-- {
		row, lo := f.row(n), int(f.first[n])
		x := b[n] / row[n-lo]
		b[n] = x
		for k := lo; k < n; k++ {
			b[k] -= float64(x * row[k-lo])
		}
	}
}

// forward overwrites b with the answer of L x = b.
func (f *factor) forward(b []float64) {
	from := 0
	for from < len(b) && b[from] == 0 {
		from++
	}
	for n := from; n < len(b); n++ {
		row, lo := f.row(n), int(f.first[n])
		at := max(lo, from)
		b[n] = (b[n] - dot(row[at-lo:n-lo], b[at:n])) / row[n-lo]
	}
}
