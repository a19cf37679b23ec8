package lower

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/survey/geom"
)

// trace draws the border of each region and the creases.
func (u *union) trace() ([]Region, []Crease, error) {
	borders := map[int][]arrow{}
	var order []int
	ends := map[int][]int{} // of each place: the places that a border leads to
	for i, as := range u.arrows {
		r := u.first(i)
		for _, a := range as {
			other := u.regionOf(a.back())
			if other == r {
				continue
			}
			if borders[r] == nil {
				order = append(order, r)
			}
			borders[r] = append(borders[r], a)
			ends[a.from] = append(ends[a.from], a.to)
			if other < 0 {
				ends[a.to] = append(ends[a.to], a.from)
			}
		}
	}
	plain := u.plain(ends)
	number := map[int]int{-1: -1}
	for n, r := range order {
		number[r] = n
	}
	var out []Region
	var creases []Crease
	for _, r := range order {
		rings := loops(borders[r], u.net.at)
		poly, err := u.poly(rings, plain)
		if err != nil {
			return nil, nil, err
		}
		out = append(out, Region{poly, u.cells[r].plane, u.cells[r].tag, u.cells[r].held})
		for _, ring := range rings {
			creases = append(creases, u.creases(ring, plain, number)...)
		}
	}
	return out, creases, nil
}

// plain says which places only lie along a straight border.
func (u *union) plain(ends map[int][]int) []bool {
	out := make([]bool, len(u.net.at))
	for v, to := range ends {
		slices.Sort(to)
		if to = slices.Compact(to); len(to) == 2 {
			p, a, b := u.net.at[v], u.net.at[to[0]], u.net.at[to[1]]
			out[v] = geom.SegDist(p, a, b) < straightFt
		}
	}
	return out
}

// loops links the arrows of one region into rings that visit no place twice,
// from the first arrow on. Where several leave a place, the ring takes the one
// next to it round the outside, so that rings which touch stay apart.
func loops(border []arrow, at []geom.Pt) [][]int {
	leaving := map[int][]int{}
	for _, a := range border {
		leaving[a.from] = append(leaving[a.from], a.to)
	}
	var out [][]int
	for _, start := range border {
		if !slices.Contains(leaving[start.from], start.to) {
			continue
		}
		var path []int
		seen := map[int]int{}
		for a := start; ; {
			leaving[a.from] = remove(leaving[a.from], a.to)
			seen[a.from] = len(path)
			path = append(path, a.from)
			if k, again := seen[a.to]; again {
				out = append(out, slices.Clone(path[k:]))
				for _, v := range path[k:] {
					delete(seen, v)
				}
				path = path[:k]
			}
			if len(leaving[a.to]) == 0 {
				break
			}
			a = arrow{a.to, outermost(a, leaving[a.to], at)}
		}
	}
	return out
}

func remove(s []int, v int) []int {
	i := slices.Index(s, v)
	return slices.Delete(slices.Clone(s), i, i+1)
}

// outermost is the first of the ways on, counter-clockwise from the way back.
func outermost(a arrow, ways []int, at []geom.Pt) int {
	back := at[a.from].Sub(at[a.to])
	return slices.MinFunc(ways, func(v, w int) int {
		return cmp.Compare(turnOf(back, at[v].Sub(at[a.to])), turnOf(back, at[w].Sub(at[a.to])))
	})
}

// turnOf is the turn from a to b counter-clockwise; none is a full one.
func turnOf(a, b geom.Pt) float64 {
	t := math.Atan2(a.Cross(b), a.Dot(b))
	if t <= 1e-12 {
		t += 2 * math.Pi
	}
	return t
}

// poly makes a region of its rings.
func (u *union) poly(rings [][]int, plain []bool) (geom.Poly, error) {
	var p geom.Poly
	for _, ring := range rings {
		var r geom.Ring
		for _, v := range ring {
			if !plain[v] {
				r = append(r, u.net.at[v])
			}
		}
		switch a := r.SignedArea(); {
		case len(r) < 3:
		case a < 0:
			p.Holes = append(p.Holes, r)
		case p.Outer != nil:
			return p, fmt.Errorf("facet at %v falls apart", r[0])
		default:
			p.Outer = r
		}
	}
	if p.Outer == nil {
		return p, fmt.Errorf("facet without an outline")
	}
	return p, nil
}

// creases gives the straight stretches of a ring, each once: those between two
// regions with the lower number on the left.
func (u *union) creases(ring []int, plain []bool, number map[int]int) []Crease {
	at := slices.IndexFunc(ring, func(v int) bool { return !plain[v] })
	if at < 0 {
		return nil
	}
	ring = append(slices.Clone(ring[at:]), ring[:at]...)
	var out []Crease
	from := ring[0]
	for i := range ring {
		to := ring[(i+1)%len(ring)]
		if plain[to] {
			continue
		}
		last := arrow{ring[i], to}
		c := Crease{u.net.at[from], u.net.at[to], number[u.regionOf(last)], number[u.regionOf(last.back())]}
		if c.Right < 0 || c.Left < c.Right {
			out = append(out, c)
		}
		from = to
	}
	return out
}
