package fill

import "math"

// border is the lowest pass between two hollows a < b: over the cells inA and
// inB, which touch. Of equally low ones the first by cell.
type border struct {
	a, b     int32
	inA, inB int32
	level    float64
}

// passTable holds the lowest pass of each pair of hollows that touch: a table
// with open addressing, a power of two of slots, at most two thirds of them in
// use.
type passTable struct {
	slot  []int32 // place in list, plus one; 0: free
	list  []border
	shift uint
}

// place is the slot of a pair, free where it is not there yet.
func (t *passTable) place(a, b int32) uint64 {
	mask := uint64(len(t.slot) - 1)
	key := uint64(uint32(a))<<32 | uint64(uint32(b))
	for s := key * 0x9e3779b97f4a7c15 >> t.shift; ; s = (s + 1) & mask {
		n := t.slot[s]
		if n == 0 || t.list[n-1].a == a && t.list[n-1].b == b {
			return s
		}
	}
}

// lower takes a pass and keeps it if it is the lowest of its pair so far.
func (t *passTable) lower(p border) {
	if 3*len(t.list) >= 2*len(t.slot) {
		t.grow()
	}
	s := t.place(p.a, p.b)
	if n := t.slot[s]; n == 0 {
		t.list = append(t.list, p)
		t.slot[s] = int32(len(t.list))
	} else if p.level < t.list[n-1].level {
		t.list[n-1] = p
	}
}

func (t *passTable) grow() {
	size := max(64, 2*len(t.slot))
	t.slot = make([]int32, size)
	for t.shift = 64; size > 1; size /= 2 {
		t.shift--
	}
	for n, p := range t.list {
		t.slot[t.place(p.a, p.b)] = int32(n + 1)
	}
}

// findPasses keeps the lowest passes from the cells of a band to the cells
// after them, by cell.
func (f *flood) findPasses(b *band) {
	nx := f.g.NX
	for j := b.j0; j < b.j1; j++ {
		row := f.of[j*nx : (j+1)*nx]
		next := row // the last row has none above: looks at itself, which is done already
		if j+1 < f.g.NY {
			next = f.of[(j+1)*nx : (j+2)*nx]
		}
		for i, h := range row {
			l, r := max(i-1, 0), min(i+1, nx-1)
			if h == row[r] && h == next[l] && h == next[i] && h == next[r] || h == wall {
				continue
			}
			k := j*nx + i
			f.pass(b, k, j*nx+r)
			if j+1 < f.g.NY {
				f.pass(b, k, k+nx-i+l)
				f.pass(b, k, k+nx)
				f.pass(b, k, k+nx-i+r)
			}
		}
	}
}

// pass takes the pass over the cells p and q, if it is one.
func (f *flood) pass(b *band, p, q int) {
	h, g := f.of[p], f.of[q]
	if h == g || g == wall {
		return
	}
	level := f.z[p]
	if v := f.z[q]; v > level {
		level = v
	}
	if h > g {
		h, g, p, q = g, h, q, p
	}
	b.passes.lower(border{h, g, int32(p), int32(q), level})
}

// joinedPasses is the passes of all bands, the first band's first.
func (f *flood) joinedPasses() []border {
	t := &f.band[0].passes
	for n := 1; n < len(f.band); n++ {
		for _, p := range f.band[n].passes.list {
			t.lower(p)
		}
		f.band[n].passes = passTable{}
	}
	t.slot = nil
	return t.list
}

// overPasses floods the hollows from the seeds, lowest first. Until then a
// hollow's Outlet is the number of its seed.
func (f *flood) overPasses(list []border, seeds []Seed) {
	at, first := byHollow(list, len(f.res.Hollow))
	hollows := f.res.Hollow
	done := make([]bool, len(hollows))
	var q heap
	for h := range hollows {
		if n := hollows[h].Outlet; n >= 0 {
			hollows[h].Level = math.Max(seeds[n].Level, f.z[hollows[h].Bottom])
			hollows[h].Outlet = seeds[n].Outlet
			q.push(hollows[h].Level, int32(h))
		}
	}
	for len(q.list) > 0 {
		a := q.pop()
		if done[a] {
			continue
		}
		done[a] = true
		f.res.Order = append(f.res.Order, a)
		for _, n := range at[first[a]:first[a+1]] {
			p := &list[n]
			b, in, out := p.b, p.inB, p.inA
			if b == a {
				b, in, out = p.a, p.inA, p.inB
			}
			if done[b] {
				continue
			}
			if level := math.Max(hollows[a].Level, p.level); level < hollows[b].Level {
				hollows[b].Level, hollows[b].Into = level, int(a)
				hollows[b].In, hollows[b].Out = int(in), int(out)
				hollows[b].Outlet = -1
				q.push(level, b)
			}
		}
	}
}

// byHollow lists the passes of hollow h as at[first[h]:first[h+1]].
func byHollow(list []border, hollows int) (at, first []int32) {
	first = make([]int32, hollows+2)
	for _, p := range list {
		first[p.a+2]++
		first[p.b+2]++
	}
	for h := 2; h < len(first); h++ {
		first[h] += first[h-1]
	}
	at = make([]int32, 2*len(list))
	for n, p := range list {
		for _, h := range [2]int32{p.a, p.b} {
			at[first[h+1]] = int32(n)
			first[h+1]++
		}
	}
	return at, first
}

// heap gives the lowest hollow first; of equal ones the one that came first.
type heap struct {
	list  []waiting
	count int32
}

type waiting struct {
	level         float64
	count, hollow int32
}

func (w waiting) before(v waiting) bool {
	return w.level < v.level || w.level == v.level && w.count < v.count
}

func (q *heap) push(level float64, hollow int32) {
	w := waiting{level, q.count, hollow}
	q.count++
	q.list = append(q.list, w)
	n := len(q.list) - 1
	for n > 0 && w.before(q.list[(n-1)/2]) {
		q.list[n] = q.list[(n-1)/2]
		n = (n - 1) / 2
	}
	q.list[n] = w
}

func (q *heap) pop() int32 {
	top := q.list[0].hollow
	last := len(q.list) - 1
	w := q.list[last]
	q.list = q.list[:last]
	n := 0
	for 2*n+1 < last {
		child := 2*n + 1
		if child+1 < last && q.list[child+1].before(q.list[child]) {
			child++
		}
		if !q.list[child].before(w) {
			break
		}
		q.list[n] = q.list[child]
		n = child
	}
	if last > 0 {
		q.list[n] = w
	}
	return top
}
