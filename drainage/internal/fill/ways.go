package fill

import "math"

// lowerNeighbours gives each open cell of a band its steepest lower neighbour,
// or marks it as a pit. Three rows at a time are laid between walls, so that no
// cell needs to look where the raster ends.
func (f *flood) lowerNeighbours(b *band) {
	nx := f.g.NX
	below, here, above := f.walled(b.j0-1, nil), f.walled(b.j0, nil), f.walled(b.j0+1, nil)
	for j := b.j0; j < b.j1; j++ {
		f.lowerInRow(j*nx, below, here, above)
		if f.g.Open == nil {
			b.pits = appendPits(b.pits, f.of, j*nx, nx)
		} else {
			b.pits = f.appendOpenPits(b.pits, j*nx)
		}
		below, here, above = here, above, f.walled(j+2, below)
	}
}

// walled is row j with a wall at either end, +Inf where a cell is not open. It
// uses the room of row.
func (f *flood) walled(j int, row []float64) []float64 {
	nx := f.g.NX
	if row == nil {
		row = make([]float64, nx+2)
	}
	row[0], row[nx+1] = math.Inf(1), math.Inf(1)
	if j < 0 || j >= f.g.NY {
		for i := range row {
			row[i] = math.Inf(1)
		}
		return row
	}
	copy(row[1:], f.z[j*nx:(j+1)*nx])
	if f.g.Open != nil {
		for i, open := range f.g.Open[j*nx : (j+1)*nx] {
			if !open {
				row[i+1] = math.Inf(1)
			}
		}
	}
	return row
}

// lowerInRow marks the row of cells from k0 on. Falls are compared by their
// bits, which are ordered as they are where they are above 0 and less than 0
// elsewhere: integers are compared without a jump.
func (f *flood) lowerInRow(k0 int, below, here, above []float64) {
	nx := f.g.NX
	of := f.of[k0 : k0+nx]
	below, here, above = below[:nx+2], here[:nx+2], above[:nx+2]
	for i := range of {
		z := here[i+1]
		k := k0 + i
		most, to := int64(0), -2-pit
		if v := fallBits(z, below[i], math.Sqrt2/2); v > most {
			most, to = v, k-nx-1
		}
		if v := fallBits(z, below[i+1], 1); v > most {
			most, to = v, k-nx
		}
		if v := fallBits(z, below[i+2], math.Sqrt2/2); v > most {
			most, to = v, k-nx+1
		}
		if v := fallBits(z, here[i], 1); v > most {
			most, to = v, k-1
		}
		if v := fallBits(z, here[i+2], 1); v > most {
			most, to = v, k+1
		}
		if v := fallBits(z, above[i], math.Sqrt2/2); v > most {
			most, to = v, k+nx-1
		}
		if v := fallBits(z, above[i+1], 1); v > most {
			most, to = v, k+nx
		}
		if v := fallBits(z, above[i+2], math.Sqrt2/2); v > most {
			most, to = v, k+nx+1
		}
		of[i] = toward(to)
	}
}

func fallBits(from, to, share float64) int64 { return int64(math.Float64bits((from - to) * share)) }

// appendPits adds the pits among nx cells from k0 on.
func appendPits(pits, of []int32, k0, nx int) []int32 {
	for i, mark := range of[k0 : k0+nx] {
		if mark == pit {
			pits = append(pits, int32(k0+i))
		}
	}
	return pits
}

// appendOpenPits is appendPits; cells that are not open become walls.
func (f *flood) appendOpenPits(pits []int32, k0 int) []int32 {
	open := f.g.Open[k0 : k0+f.g.NX]
	for i, mark := range f.of[k0 : k0+f.g.NX] {
		if !open[i] {
			f.of[k0+i] = wall
		} else if mark == pit {
			pits = append(pits, int32(k0+i))
		}
	}
	return pits
}

// nameBottoms makes a hollow of each seed and of each level bottom, by cell.
// lowest are the seeds that count, by cell.
func (f *flood) nameBottoms(lowest []int32, seeds []Seed) {
	for _, n := range lowest {
		f.of[seeds[n].Cell] = wall // no pit reaches it; named below
	}
	var level []int32
	pits := f.band[0].pits
	rest := f.band[1:]
	for {
		for len(pits) == 0 && len(rest) > 0 {
			pits, rest = rest[0].pits, rest[1:]
		}
		switch {
		case len(lowest) > 0 && (len(pits) == 0 || seeds[lowest[0]].Cell <= int(pits[0])):
			k := seeds[lowest[0]].Cell
			f.of[k] = f.newHollow(k, int(lowest[0]))
			lowest = lowest[1:]
		case len(pits) > 0:
			if k := pits[0]; f.of[k] == pit {
				level = f.nameLevel(k, f.newHollow(int(k), -1), level[:0])
			}
			pits = pits[1:]
		default:
			return
		}
	}
}

func (f *flood) newHollow(bottom, seed int) int32 {
	f.res.Hollow = append(f.res.Hollow, Hollow{
		Bottom: bottom, Level: math.Inf(1), Into: -1, In: -1, Out: -1, Outlet: seed,
	})
	return int32(len(f.res.Hollow) - 1)
}

// nameLevel names the pits that are level with pit k and touch it. The work is
// stacked in the room of stack.
func (f *flood) nameLevel(k, name int32, stack []int32) []int32 {
	nx, ny := f.g.NX, f.g.NY
	f.of[k] = name
	for stack = append(stack, k); len(stack) > 0; {
		q := int(stack[len(stack)-1])
		stack = stack[:len(stack)-1]
		i, j := q%nx, q/nx
		for jj := max(j-1, 0); jj <= min(j+1, ny-1); jj++ {
			for r := jj*nx + max(i-1, 0); r <= jj*nx+min(i+1, nx-1); r++ {
				if f.of[r] == pit && f.z[r] == f.z[q] {
					f.of[r] = name
					stack = append(stack, int32(r))
				}
			}
		}
	}
	return stack
}

// nameWays gives every other cell of a band the hollow that its lower
// neighbours lead to; where they lead out of the band, where to.
func (f *flood) nameWays(b *band) {
	from, to := b.j0*f.g.NX, b.j1*f.g.NX
	of := f.of
	for k := from; k < to; k++ {
		if of[k] >= wall {
			continue
		}
		q := k
		name := of[q]
		for name < wall {
			q = int(-2 - name)
			if q < from || q >= to {
				break
			}
			name = of[q]
		}
		if name < wall {
			b.leave = append(b.leave, int32(k))
		}
		for q = k; of[q] != name; {
			next := int(-2 - of[q])
			of[q] = name
			if next < from || next >= to {
				break
			}
			q = next
		}
	}
}

// nameLeaving names the cells whose ways lead through several bands.
func (f *flood) nameLeaving() {
	for _, b := range f.band {
		for _, k := range b.leave {
			name := f.of[k]
			for name < wall {
				name = f.of[-2-name]
			}
			f.of[k] = name
		}
	}
}
