package geom

import "slices"

// RingEdge names one edge: that from vertex Edge of ring Ring to the next.
type RingEdge struct{ Ring, Edge int }

// SelfCrossing finds two edges of r that cross or touch where they should not:
// i < j, or i == j for an edge without length (a vertex given twice in a row).
// Edges that follow one another may share their common vertex and nothing
// more, so a spike is found too. It gives false for a simple ring and for an
// empty one. Vertices must be finite. Cost: O(n log n), exact.
func (r Ring) SelfCrossing() (i, j int, found bool) {
	a, b, found := Crossing(r)
	return a.Edge, b.Edge, found
}

// Crossing finds two edges of rings that cross or touch where they should not,
// in one ring or between two; a comes before b. Of several such places it
// names the one furthest left or one near it. Vertices must be finite.
// Cost: O(n log n) in all vertices, exact.
//
// Source: M. I. Shamos, D. Hoey 1976, Geometric intersection problems, 17th
// Symposium on Foundations of Computer Science, 208-215; the sweep goes by x,
// then y, and its order is kept in a treap (from memory; checked against all
// pairs by TestSelfCrossing_AgreesWithAllPairs).
func Crossing(rings ...Ring) (a, b RingEdge, found bool) {
	s := newSweep(rings)
	for k, v := range s.order {
		for _, e := range [...]int32{v, s.prev[v]} {
			if s.lo[e] == s.hi[e] {
				return s.pair(e, e)
			}
		}
		if k > 0 && s.at[s.order[k-1]] == s.at[v] {
			return s.pair(s.order[k-1], v)
		}
		if e, f, hit := s.pass(v); hit {
			return s.pair(e, f)
		}
	}
	return RingEdge{}, RingEdge{}, false
}

// none is no edge.
const none = int32(-1)

// sweep walks over the vertices from the left. Edge e runs from vertex e to
// next[e]; those under way are kept in a treap, the lowest first.
type sweep struct {
	at          []Pt
	name        []RingEdge
	next, prev  []int32
	lo, hi      []Pt // ends of each edge, in the order of Compare
	order       []int32
	root        int32
	left, right []int32
}

func newSweep(rings []Ring) *sweep {
	s := &sweep{root: none}
	for n, r := range rings {
		first := int32(len(s.at))
		for i, p := range r {
			q := r.At(i + 1)
			s.at = append(s.at, p)
			s.name = append(s.name, RingEdge{n, i})
			s.next = append(s.next, first+int32((i+1)%len(r)))
			s.prev = append(s.prev, first+int32((i+len(r)-1)%len(r)))
			s.lo = append(s.lo, sooner(p, q))
			s.hi = append(s.hi, later(p, q))
			s.order = append(s.order, first+int32(i))
		}
	}
	s.left, s.right = make([]int32, len(s.at)), make([]int32, len(s.at))
	slices.SortStableFunc(s.order, func(v, w int32) int { return Compare(s.at[v], s.at[w]) })
	return s
}

func (s *sweep) pair(e, f int32) (a, b RingEdge, found bool) {
	if e > f {
		e, f = f, e
	}
	return s.name[e], s.name[f], true
}

// pass moves the sweep over vertex v: edges that end there leave, those that
// begin there enter, and edges that become neighbours are tested.
func (s *sweep) pass(v int32) (e, f int32, hit bool) {
	p, in, out := s.at[v], s.prev[v], v
	under, rest := s.split(s.root, func(e int32) bool { return Turn(s.lo[e], s.hi[e], p) > 0 })
	through, over := s.split(rest, func(e int32) bool { return Turn(s.lo[e], s.hi[e], p) == 0 })
	if e := s.stranger(through, in, out); e != none {
		return e, v, true
	}
	var fresh []int32 // the edges that begin here, lower one first
	for _, e := range [...]int32{in, out} {
		if s.lo[e] == p {
			fresh = append(fresh, e)
		}
	}
	if len(fresh) == 2 {
		switch Turn(p, s.hi[in], s.hi[out]) {
		case 0:
			return in, out, true
		case -1:
			fresh[0], fresh[1] = out, in
		}
	}
	low, high := s.last(under), s.first(over)
	s.root = under
	for _, e := range fresh {
		s.left[e], s.right[e] = none, none
		s.root = s.merge(s.root, e)
	}
	s.root = s.merge(s.root, over)
	if len(fresh) == 0 {
		return low, high, s.meet(low, high)
	}
	if s.meet(low, fresh[0]) {
		return low, fresh[0], true
	}
	top := fresh[len(fresh)-1]
	return top, high, s.meet(top, high)
}

// stranger gives an edge of a subtree that is neither in nor out.
func (s *sweep) stranger(n, in, out int32) int32 {
	if n == none || n != in && n != out {
		return n
	}
	if e := s.stranger(s.left[n], in, out); e != none {
		return e
	}
	return s.stranger(s.right[n], in, out)
}

// meet says whether two edges share a place; those with a common vertex are
// left to pass.
func (s *sweep) meet(e, f int32) bool {
	if e == none || f == none || s.next[e] == f || s.next[f] == e {
		return false
	}
	return Meet(s.lo[e], s.hi[e], s.lo[f], s.hi[f])
}

// split parts a subtree into the edges before and after a border: before is
// true for a run of edges from the lowest and false for the others.
func (s *sweep) split(n int32, before func(int32) bool) (a, b int32) {
	if n == none {
		return none, none
	}
	if before(n) {
		s.right[n], b = s.split(s.right[n], before)
		return n, b
	}
	a, s.left[n] = s.split(s.left[n], before)
	return a, n
}

// merge joins two subtrees, all edges of a below those of b.
func (s *sweep) merge(a, b int32) int32 {
	switch {
	case a == none:
		return b
	case b == none:
		return a
	case rank(a) > rank(b):
		s.right[a] = s.merge(s.right[a], b)
		return a
	}
	s.left[b] = s.merge(a, s.left[b])
	return b
}

// rank scrambles an edge's number, so that the treap is as deep as a random
// one on any input that was not made against this very mix.
//
// Source: G. L. Steele, D. Lea, C. H. Flood 2014, Fast splittable pseudorandom
// number generators, OOPSLA, 453-472: the finishing mix of SplitMix64 (from
// memory).
func rank(e int32) uint64 {
	z := (uint64(e) + 1) * 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func (s *sweep) first(n int32) int32 {
	for n != none && s.left[n] != none {
		n = s.left[n]
	}
	return n
}

func (s *sweep) last(n int32) int32 {
	for n != none && s.right[n] != none {
		n = s.right[n]
	}
	return n
}
