package fit

import (
	"runtime"
	"sync"

	"runnel/survey"
)

// cellBox is a rectangle of cells, the upper ends left out.
type cellBox struct{ i0, j0, i1, j1 int }

func (b cellBox) grown(cells int, l survey.Lattice) cellBox {
	return cellBox{max(0, b.i0-cells), max(0, b.j0-cells), min(l.NX, b.i1+cells), min(l.NY, b.j1+cells)}
}

// each visits the cells of b along its shorter way first.
func (b cellBox) each(f func(i, j int)) {
	if b.i1-b.i0 <= b.j1-b.j0 {
		for j := b.j0; j < b.j1; j++ {
			for i := b.i0; i < b.i1; i++ {
				f(i, j)
			}
		}
		return
	}
	for i := b.i0; i < b.i1; i++ {
		for j := b.j0; j < b.j1; j++ {
			f(i, j)
		}
	}
}

// tile is a part of the equations, the values outside it held fast.
type tile struct {
	*system
	m []rows25
}

// part cuts the cells of b out of the equations. num is a raster of -1 that the
// tile borrows until release.
func (e *errorModel) part(b cellBox, num []int32) tile {
	g := e.sys.g
	t := tile{system: &system{g: g, num: num}}
	b.each(func(i, j int) {
		k := j*g.NX + i
		if n := e.sys.num[k]; n >= 0 {
			num[k] = int32(len(t.cell))
			t.cell = append(t.cell, int32(k))
			t.m = append(t.m, e.m[n])
		}
	})
	return t
}

func (t tile) release() {
	for _, k := range t.cell {
		t.num[k] = -1
	}
}

// whole is all cells of the equations.
func (e *errorModel) whole() cellBox { return cellBox{0, 0, e.sys.g.NX, e.sys.g.NY} }

// noCells is a raster of -1 for tiles to borrow.
func (e *errorModel) noCells() []int32 {
	num := make([]int32, e.sys.g.Len())
	for k := range num {
		num[k] = -1
	}
	return num
}

// inverse gives the diagonal of the inverse of the equations, one value a cell,
// and the weight of each of so many shots in the surface at its own place, 1
// for one that hangs on no cell. Two workers share the tiles; each cell and each
// shot belongs to one tile, so the answer does not depend on them. Cost: three
// times a factoring for each tile.
func (e *errorModel) inverse(shots int) (open, lever []float64) {
	open, lever = make([]float64, e.sys.g.Len()), make([]float64, shots)
	held := map[int][]hold{}
	for i := range lever {
		lever[i] = 1
	}
	for _, h := range e.hs {
		held[h.base] = append(held[h.base], h)
	}
	cores := e.cores()
	workers := min(2, runtime.GOMAXPROCS(0), len(cores))
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			num := e.noCells()
			for n := w; n < len(cores); n += workers {
				e.inverseOf(cores[n], num, held, open, lever)
			}
		})
	}
	wg.Wait()
	return open, lever
}

// inverseOf fills in the cells of one tile, and the shots held there.
func (e *errorModel) inverseOf(core cellBox, num []int32, held map[int][]hold, open, lever []float64) {
	g, b := e.sys.g, core
	if e.tiled {
		b = core.grown(marginCells, g.Lattice)
	}
	t := e.part(b, num)
	defer t.release()
	f, ok := t.factorise(t.m)
	if !ok {
		return
	}
	z := f.inverse()
	core.each(func(i, j int) {
		k := j*g.NX + i
		if n := num[k]; n >= 0 {
			open[k] = z.entry(n, n)
		}
		for _, h := range held[k] {
			lever[h.shot] = t.square(z, h)
		}
	})
}

// cores are the tiles without their margins.
func (e *errorModel) cores() []cellBox {
	if !e.tiled {
		return []cellBox{e.whole()}
	}
	var out []cellBox
	all := e.whole()
	for j := 0; j < all.j1; j += tileCells {
		for i := 0; i < all.i1; i += tileCells {
			out = append(out, cellBox{i, j, min(i+tileCells, all.i1), min(j+tileCells, all.j1)})
		}
	}
	return out
}

// square is the weights of a shot, twice, over the inverse z.
func (t tile) square(z *factor, h hold) float64 {
	sum := 0.0
	for a, wa := range h.w {
		if wa == 0 {
			continue
		}
		na := t.num[h.base+(a/3-1)*t.g.NX+a%3-1]
		for b, wb := range h.w {
			if wb != 0 {
				sum += float64(wa * wb * z.entry(na, t.num[h.base+(b/3-1)*t.g.NX+b%3-1]))
			}
		}
	}
	return sum
}
