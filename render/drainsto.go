package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// waterShort prints a volume of water in one unit: 47 gal, 180 L.
func (s say) waterShort(cuft float64) string {
	return withCommas(unit.CubicFeet(cuft).FormatWater(s.sys))
}

// drainageAreas draws the borders between what drains to one outlet and what
// drains to another, each once. Borders along walls are the walls.
func (s *sheet) drainageAreas(rep *drainage.Report) {
	if rep.Surface == nil {
		return
	}
	pen := scene.Pen{WidthPt: 1.6, Ink: scene.Grey(0.5), DashPt: []float64{8, 2.5, 1.6, 2.5}}
	some := false
	for n, line := range bordersOf(rep) {
		pts := thinned(s.path(line, s.loc), 0.8*rep.Surface.CellFt*s.perFt)
		if length(pts) > 0.04 {
			some = true
			s.line(fmt.Sprintf("border of drainage areas %d", n+1), pts, pen)
		}
	}
	if some {
		s.lineSwatch("border between drainage areas", pen)
	}
}

// corner is a corner of cells, counted from the lattice's lower left.
type corner [2]int

// bordersOf are the lines between drainage areas, through the middles of the
// sides of cells that part them.
func bordersOf(rep *drainage.Report) [][]geom.Pt {
	l := rep.Surface.Lattice
	times := map[[2]corner]int{}
	for _, a := range rep.Areas {
		for _, poly := range a.Regions {
			for _, ring := range poly.Rings() {
				sides(l, ring, func(p, q corner) { times[[2]corner{p, q}]++ })
			}
		}
	}
	next := map[corner][]corner{}
	var all [][2]corner
	for side, n := range times {
		if n > 1 {
			all = append(all, side)
		}
	}
	slices.SortFunc(all, func(a, b [2]corner) int {
		return slices.Compare([]int{a[0][0], a[0][1], a[1][0], a[1][1]}, []int{b[0][0], b[0][1], b[1][0], b[1][1]})
	})
	for _, side := range all {
		next[side[0]] = append(next[side[0]], side[1])
		next[side[1]] = append(next[side[1]], side[0])
	}
	used := map[[2]corner]bool{}
	var out [][]geom.Pt
	for pass := range 2 { // lines with ends first, then rings
		for _, side := range all {
			for _, from := range side {
				if pass == 0 && len(next[from]) == 2 {
					continue
				}
				for _, to := range next[from] {
					if line := chain(l, next, used, from, to); len(line) > 1 {
						out = append(out, line)
					}
				}
			}
		}
	}
	return out
}

// sides calls f for each side of a cell along a ring of whole cells, its lesser
// corner first.
func sides(l survey.Lattice, ring geom.Ring, f func(p, q corner)) {
	at := func(p geom.Pt) corner {
		return corner{int(math.Round(p.X/l.CellFt + float64(l.NX)/2)), int(math.Round(p.Y/l.CellFt + float64(l.NY)/2))}
	}
	sign := func(d int) int { return min(1, max(-1, d)) }
	for n := range ring {
		p, end := at(ring[n]), at(ring.At(n+1))
		for p != end {
			q := corner{p[0] + sign(end[0]-p[0]), p[1]}
			if p[0] == end[0] {
				q = corner{p[0], p[1] + sign(end[1]-p[1])}
			}
			if slices.Compare(p[:], q[:]) < 0 {
				f(p, q)
			} else {
				f(q, p)
			}
			p = q
		}
	}
}

// chain follows sides that were not used yet from a corner until they part or
// end: its two ends, and between them the middles of the sides.
func chain(l survey.Lattice, next map[corner][]corner, used map[[2]corner]bool, from, to corner) []geom.Pt {
	place := func(c corner) geom.Pt {
		return geom.Pt{X: (float64(c[0]) - float64(l.NX)/2) * l.CellFt, Y: (float64(c[1]) - float64(l.NY)/2) * l.CellFt}
	}
	key := func(p, q corner) [2]corner {
		if slices.Compare(p[:], q[:]) < 0 {
			return [2]corner{p, q}
		}
		return [2]corner{q, p}
	}
	if used[key(from, to)] {
		return nil
	}
	out := []geom.Pt{place(from)}
	for {
		used[key(from, to)] = true
		out = append(out, place(from).Lerp(place(to), 0.5))
		onward := -1
		if len(next[to]) == 2 {
			for n, c := range next[to] {
				if c != from && !used[key(to, c)] {
					onward = n
				}
			}
		}
		if onward < 0 {
			return append(out, place(to))
		}
		from, to = to, next[to][onward]
	}
}

// areaWords says in each drainage area which outlet takes it, and how much: off
// the paths where there is room.
func (s *sheet) areaWords(rep *drainage.Report) {
	ways := s.drawnWays()
	for _, a := range rep.Areas {
		if a.SqFt < 0.005*rep.RoofSqft || len(a.Regions) == 0 {
			continue
		}
		largest := a.Regions[0]
		for _, p := range a.Regions {
			if p.Area() > largest.Area()+1e-6 {
				largest = p
			}
		}
		in := func(q scene.Quad) bool {
			at := s.site.Frame.ToLocal(s.job(q[0].Lerp(q[2], 0.5)))
			return slices.ContainsFunc(a.Regions, func(p geom.Poly) bool { return p.Has(at) })
		}
		c := s.loc(middle(largest))
		spots := append([]spot{{c, 0.5, 0.5, 0}}, rings(c, 0.15, 2.5)...)
		l := lines{name: "drainage area " + a.Outlet, words: []string{"to " + short(a.Outlet) + ":", s.say.area(a.SqFt)},
			text: scene.Text{SizePt: 8, Ink: scene.Grey(0.2), Halo: true},
			ok:   func(q scene.Quad) bool { return in(q) && ways.Meets(q) < 0 }}
		if _, ok := s.place(l, spots); !ok {
			l.ok, l.plate = in, true
			s.place(l, spots)
		}
	}
}

// drawnWays is the room that paths, section lines and borders take.
func (s *sheet) drawnWays() *scene.Room {
	out := scene.NewRoom(s.paper.w.Inches(), s.paper.h.Inches())
	for _, m := range s.marks {
		l, ok := m.(scene.Line)
		if !ok || !(strings.HasPrefix(l.Name, "path ") || strings.HasPrefix(l.Name, "section ") || strings.HasPrefix(l.Name, "border ")) {
			continue
		}
		for n := 1; n < len(l.Pts); n++ {
			out.Take(scene.Strip(l.Pts[n-1], l.Pts[n], 0.02))
		}
	}
	return out
}

func sectionPen() scene.Pen {
	return scene.Pen{WidthPt: 1.1, Ink: scene.Black(), DashPt: []float64{14, 3, 3, 3}}
}

// sectionLines draws where the area is cut.
func (s *sheet) sectionLines() {
	some := false
	for _, c := range s.cuts() {
		some = true
		s.line("section "+c.name, []scene.Pt{s.loc(c.from), s.loc(c.to)}, sectionPen())
	}
	if some {
		s.lineSwatch("section, see its own sheet", sectionPen())
	}
}

// cuts are the sections that cross the area.
func (s *sheet) cuts() []*cut {
	var out []*cut
	for _, line := range sectionsOf(s.res, s.a) {
		if c := cutLine(s.a, line); c != nil {
			out = append(out, c)
		}
	}
	return out
}

// sectionEnds names both ends of each section, outside of the roof where there
// is room.
func (s *sheet) sectionEnds() {
	style := scene.Text{SizePt: 9, Bold: true, Ink: scene.Black(), Halo: true}
	for _, c := range s.cuts() {
		u := s.loc(c.to).Sub(s.loc(c.from))
		if u.Norm() == 0 {
			continue
		}
		u = u.Mul(1 / u.Norm())
		for _, e := range []struct {
			at   scene.Pt
			out  scene.Pt
			name string
		}{{s.loc(c.from), u.Mul(-1), c.name}, {s.loc(c.to), u, c.name + "'"}} {
			var spots []spot
			for _, far := range []float64{0.11, -0.12, -0.25} {
				for _, side := range []float64{0, 0.09, -0.09} {
					spots = append(spots, spot{e.at.Add(e.out.Mul(far)).Add(u.Left().Mul(side)), 0.5, 0.5, 0})
				}
			}
			s.place(lines{name: "section " + c.name, words: []string{e.name}, text: style}, spots)
		}
	}
}
