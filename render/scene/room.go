package scene

import "math"

// Quad is a rectangle in any turn, its corners in order round it.
type Quad [4]Pt

// Rect is the upright rectangle between two corners.
func Rect(a, b Pt) Quad {
	return Quad{{a.X, a.Y}, {b.X, a.Y}, {b.X, b.Y}, {a.X, b.Y}}
}

// Strip is the rectangle round the stretch a-b, halfIn to either hand and past
// its ends.
func Strip(a, b Pt, halfIn float64) Quad {
	u := b.Sub(a)
	if u.Norm() < 1e-12 {
		u = Pt{1, 0}
	}
	u = u.Mul(halfIn / u.Norm())
	n := u.Left()
	return Quad{a.Sub(u).Sub(n), b.Add(u).Sub(n), b.Add(u).Add(n), a.Sub(u).Add(n)}
}

// Grown is q with each border moved out by dIn.
func (q Quad) Grown(dIn float64) Quad {
	u, v := q[1].Sub(q[0]), q[3].Sub(q[0])
	u, v = scaled(u, dIn), scaled(v, dIn)
	return Quad{q[0].Sub(u).Sub(v), q[1].Add(u).Sub(v), q[2].Add(u).Add(v), q[3].Sub(u).Add(v)}
}

func scaled(v Pt, to float64) Pt {
	if n := v.Norm(); n > 0 {
		return v.Mul(to / n)
	}
	return Pt{}
}

// Moved is q moved by d.
func (q Quad) Moved(d Pt) Quad { return Quad{q[0].Add(d), q[1].Add(d), q[2].Add(d), q[3].Add(d)} }

// Bounds is the least upright box round q.
func (q Quad) Bounds() (lo, hi Pt) {
	lo, hi = q[0], q[0]
	for _, p := range q[1:] {
		lo = Pt{math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)}
		hi = Pt{math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)}
	}
	return lo, hi
}

// touch is the depth in inches up to which two rectangles may lap by rounding.
const touch = 1e-6

// Overlaps says whether two rectangles share more than a border: there is no
// line along a border of one that keeps them apart (separating axes).
func (q Quad) Overlaps(r Quad) bool { return !q.apart(r) && !r.apart(q) }

func (q Quad) apart(r Quad) bool {
	for i := range 2 {
		axis := scaled(q[i+1].Sub(q[i]), 1)
		if axis == (Pt{}) {
			axis = scaled(q[2-i].Sub(q[1-i]), 1).Left()
		}
		qLo, qHi := q.along(axis)
		rLo, rHi := r.along(axis)
		if qHi <= rLo+touch || rHi <= qLo+touch {
			return true
		}
	}
	return false
}

func (q Quad) along(axis Pt) (lo, hi float64) {
	lo = q[0].Dot(axis)
	hi = lo
	for _, p := range q[1:] {
		d := p.Dot(axis)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	return lo, hi
}

// Room keeps which parts of a sheet are taken, so that labels keep off each
// other and off symbols. Make one with NewRoom.
type Room struct {
	wIn, hIn float64
	cells    map[[2]int][]int
	quads    []Quad
	seen     []int // the last question that met each quad
	asked    int
}

// roomCellIn is the side of the squares that a Room files rectangles under.
const roomCellIn = 0.3

// NewRoom is an empty sheet of the given size in inches.
func NewRoom(wIn, hIn float64) *Room {
	return &Room{wIn: wIn, hIn: hIn, cells: map[[2]int][]int{}}
}

// Free says whether q lies on the sheet and over nothing taken.
func (r *Room) Free(q Quad) bool {
	lo, hi := q.Bounds()
	if !(lo.X >= -touch && lo.Y >= -touch && hi.X <= r.wIn+touch && hi.Y <= r.hIn+touch) {
		return false
	}
	return r.Meets(q) < 0
}

// Meets gives the number of the first rectangle taken that q overlaps, -1
// where there is none.
func (r *Room) Meets(q Quad) int {
	r.asked++
	first := -1
	r.each(q, func(c [2]int) {
		for _, k := range r.cells[c] {
			if r.seen[k] == r.asked {
				continue
			}
			r.seen[k] = r.asked
			if (first < 0 || k < first) && r.quads[k].Overlaps(q) {
				first = k
			}
		}
	})
	return first
}

// Take marks q as taken; parts off the sheet are let go.
func (r *Room) Take(q Quad) {
	k := len(r.quads)
	r.quads = append(r.quads, q)
	r.seen = append(r.seen, 0)
	r.each(q, func(c [2]int) { r.cells[c] = append(r.cells[c], k) })
}

// each calls f for every square that the box round q meets and, for a long
// rectangle, that lies near q itself.
func (r *Room) each(q Quad, f func([2]int)) {
	lo, hi := q.Bounds()
	cell := func(v, most float64) int {
		return int(math.Floor(math.Max(0, math.Min(v, most)) / roomCellIn))
	}
	x0, x1 := cell(lo.X, r.wIn), cell(hi.X, r.wIn)
	y0, y1 := cell(lo.Y, r.hIn), cell(hi.Y, r.hIn)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			a := Pt{float64(x) * roomCellIn, float64(y) * roomCellIn}
			square := Rect(a, a.Add(Pt{roomCellIn, roomCellIn})).Grown(1e-3)
			if (x0 == x1 && y0 == y1) || q.Overlaps(square) {
				f([2]int{x, y})
			}
		}
	}
}
