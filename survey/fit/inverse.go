package fit

// inverse gives those entries of the inverse of the factored matrix that lie
// in its envelope, row by row as the factor stores them: the entry of row n and
// column k at start[n] + k - first[n]. Cost: about twice the factoring. Source:
// Takahashi, Fagan, Chin, 1973, "Formation of a sparse bus impedance matrix",
// from memory.
func (f *factor) inverse() *factor {
	n := len(f.first)
	z := &factor{first: f.first, start: f.start, l: make([]float64, len(f.l))}
	last := f.lastRows()
	col, y := make([]float64, n), make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		row := f.row(i)
		d := row[len(row)-1]
		for k := i + 1; k <= last[i]; k++ {
			col[k], y[k] = 0, 0
			if from := int(f.first[k]); from <= i {
				col[k] = f.l[f.start[k]+i-from]
			}
		}
		for k := i + 1; k <= last[i]; k++ {
			if from := int(f.first[k]); from <= i {
				at := f.start[k] - from
				y[k] += symmetric(z.l[at+i+1:at+k+1], col[i+1:k+1], y[i+1:k+1])
			}
		}
		sum := 0.0
		for k := i + 1; k <= last[i]; k++ {
			if from := int(f.first[k]); from <= i {
				z.l[f.start[k]+i-from] = -y[k] / d
				sum += float64(col[k] * y[k])
			}
		}
		z.l[f.start[i+1]-1] = (1 + sum) / (d * d)
	}
	return z
}

// symmetric multiplies one row of the lower half of a symmetric matrix, its
// diagonal last, into both places: it returns the row times x and adds the
// row's other half to y.
func symmetric(row, x, y []float64) float64 {
	n := len(row) - 1
	x, y = x[:n+1], y[:n+1]
	last := x[n]
	s0, s1 := float64(row[n]*last), 0.0
	k := 0
	if last == 0 {
		return dot(row[:n], x[:n])
	}
	for ; k+2 <= n; k += 2 {
		s0 += float64(row[k] * x[k])
		s1 += float64(row[k+1] * x[k+1])
		y[k] += float64(row[k] * last)
		y[k+1] += float64(row[k+1] * last)
	}
	if k < n {
		s0 += float64(row[k] * x[k])
		y[k] += float64(row[k] * last)
	}
	return s0 + s1
}

// lastRows gives for each column the last row whose envelope holds it.
func (f *factor) lastRows() []int {
	last := make([]int, len(f.first))
	for k := range last {
		last[k] = k
	}
	for k, from := range f.first {
		for i := k - 1; i >= int(from); i-- {
			last[i] = k
		}
	}
	return last
}

// entry is the value of row a and column b, in either order; both within the
// envelope.
func (f *factor) entry(a, b int32) float64 {
	if a < b {
		a, b = b, a
	}
	return f.l[f.start[a]+int(b-f.first[a])]
}
