package lower

import (
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// Region is a connected part of the area under one plane.
type Region struct {
	Poly  geom.Poly
	Plane survey.Plane
	Tag   Tag
	held  bool
}

// Crease is a straight stretch where two regions meet: Left and Right, looking
// from A to B, count the regions. Right is -1 along the border of the area.
type Crease struct {
	A, B        geom.Pt
	Left, Right int
}

// arrow is an edge from one place of the net to another; its cell lies to its
// left.
type arrow struct{ from, to int }

func (a arrow) back() arrow { return arrow{a.to, a.from} }

// union holds the cells of the envelope over shared places.
type union struct {
	net    *net
	cells  []cell
	arrows [][]arrow     // of each cell
	owner  map[arrow]int // the cell to the left
	parent []int         // of each cell: towards its region's first cell
	apart  [][2]geom.Pt  // stretches along which cells are not joined
}

// Regions unites cells of one plane. It gives the regions in the order of
// their first cell and the creases between them and along the border, in the
// order of the regions. It fails where the cells are no partition.
func (e *Envelope) Regions() ([]Region, []Crease, error) {
	u, err := e.unite(false)
	if err != nil {
		return nil, nil, err
	}
	return u.trace()
}

// unite weaves the cells and joins those of one plane; bare ones too where
// they are wanted.
func (e *Envelope) unite(bare bool) (*union, error) {
	u := &union{net: newNet(e.keep), owner: map[arrow]int{}}
	for _, c := range e.cells {
		if c.held || bare {
			u.cells = append(u.cells, c)
		}
	}
	if err := u.weave(); err != nil {
		return nil, err
	}
	u.join()
	return u, nil
}

// weave puts the cells over shared places, so that neighbours share edges.
func (u *union) weave() error {
	rings := make([][]int, len(u.cells))
	for i, c := range u.cells {
		for _, p := range c.ring {
			rings[i] = append(rings[i], u.net.place(p))
		}
	}
	u.net.index()
	u.arrows = make([][]arrow, len(u.cells))
	for i, r := range rings {
		u.arrows[i] = u.cellArrows(r)
		for _, a := range u.arrows[i] {
			if j, taken := u.owner[a]; taken {
				return fmt.Errorf("facets %v and %v overlap", u.cells[i].ring, u.cells[j].ring)
			}
			u.owner[a] = i
		}
	}
	return nil
}

// cellArrows gives the edges of a cell through all places of the net on its
// border; edges there and back cancel.
func (u *union) cellArrows(r []int) []arrow {
	var all []arrow
	has := map[arrow]bool{}
	for i, from := range r {
		for _, to := range u.net.between(from, r[(i+1)%len(r)]) {
			if a := (arrow{from, to}); from != to {
				all = append(all, a)
				has[a] = true
			}
			from = to
		}
	}
	var out []arrow
	for _, a := range all {
		if !has[a.back()] {
			out = append(out, a)
		}
	}
	return out
}

// join unites neighbours of one plane.
func (u *union) join() {
	u.parent = make([]int, len(u.cells))
	for i := range u.parent {
		u.parent[i] = i
	}
	for i, as := range u.arrows {
		for _, a := range as {
			j, ok := u.owner[a.back()]
			if ok && u.alike(i, j, u.net.at[a.from]) && !u.parted(u.net.at[a.from], u.net.at[a.to]) {
				p, q := u.first(i), u.first(j)
				u.parent[max(p, q)] = min(p, q)
			}
		}
	}
}

// alike says whether two cells that meet at p are of one region.
func (u *union) alike(i, j int, p geom.Pt) bool {
	a, b := u.cells[i], u.cells[j]
	return a.held == b.held && a.tag == b.tag && samePlane(a.plane, b.plane, p)
}

// samePlane says whether two planes that meet at p are equal.
func samePlane(a, b survey.Plane, p geom.Pt) bool {
	return math.Abs(a.GX-b.GX) < 1e-9 && math.Abs(a.GY-b.GY) < 1e-9 && math.Abs(a.At(p)-b.At(p)) < 1e-7
}

// first is the first cell of the region of cell i.
func (u *union) first(i int) int {
	for u.parent[i] != i {
		u.parent[i] = u.parent[u.parent[i]]
		i = u.parent[i]
	}
	return i
}

// regionOf gives the region beyond arrow a, -1 outside.
func (u *union) regionOf(a arrow) int {
	if i, ok := u.owner[a]; ok {
		return u.first(i)
	}
	return -1
}
