package taper

import (
	"context"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// siteOf is a site that is its own building frame.
func siteOf(outline geom.Ring) *survey.Site {
	s := &survey.Site{Name: "A", Outline: outline.CCW()}
	for i, p := range s.Outline {
		s.Edges = append(s.Edges, survey.SiteEdge{A: p, B: s.Outline.At(i + 1), Kind: survey.Parapet})
	}
	return s
}

func rectOf(x0, y0, x1, y1 float64) geom.Ring {
	return geom.Box{Min: geom.Pt{X: x0, Y: y0}, Max: geom.Pt{X: x1, Y: y1}}.Ring()
}

// aroundDrain gives the facets of a convex ring round one drain: four planes
// that rise from startIn at the drain, east, west, north and south, each as
// steep as its slope in inches per foot. Independent of the field of the
// package: the region of a plane is where it is the highest of the four.
func aroundDrain(ring geom.Ring, drain geom.Pt, startIn float64, slopes [4]float64) []Facet {
	dirs := []geom.Pt{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}
	var out []Facet
	for i, d := range dirs {
		r := ring.CCW()
		up := d.Mul(slopes[i])
		for j, e := range dirs {
			if n := up.Sub(e.Mul(slopes[j])); i != j {
				r = clipHalf(r, n, n.Dot(drain))
			}
		}
		if p := tidy(geom.Poly{Outer: r}); len(p.Outer) >= 3 && p.Area() > 1e-6 {
			out = append(out, Facet{ID: len(out) + 1, Role: FieldRole, Poly: p,
				Plane: survey.Plane{CIn: startIn - up.Dot(drain), GX: up.X, GY: up.Y}})
		}
	}
	return out
}

// oneWay is one facet over a rectangle that drains to its lower edge.
func oneWay(w, run, startIn, slope float64) (*survey.Site, []Facet) {
	ring := rectOf(0, 0, w, run)
	return siteOf(ring), []Facet{{ID: 1, Role: FieldRole, Poly: geom.Poly{Outer: ring},
		Plane: survey.Plane{CIn: startIn, GY: slope}}}
}

// fourWay is a rectangle about its drain with equal planes.
func fourWay(ring geom.Ring, drain geom.Pt, startIn, slope float64) (*survey.Site, []Facet) {
	return siteOf(ring), aroundDrain(ring, drain, startIn, [4]float64{slope, slope, slope, slope})
}

// quarterStock is n boards at 1/4 in/ft from 1/2 in, 4 x 4 ft, over flats of
// one thickness.
func quarterStock(n int, flatIn float64) *survey.Stock {
	return &survey.Stock{
		Tapered: boardSetOf(unit.InchesPerFoot(0.25), n, unit.Inches(0.5), 4*unit.Foot, false),
		Flats: []survey.FlatBoard{{Thickness: unit.Inches(flatIn),
			Along: 4 * unit.Foot, Depth: 4 * unit.Foot}},
	}
}

func choiceOf(startIn float64) survey.TaperChoice {
	return survey.TaperChoice{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25),
		Start: unit.Inches(startIn)}
}

// boardsOn lays boards as Make does, uncut.
func boardsOn(ctx context.Context, s *survey.Site, facets []Facet, choice survey.TaperChoice, stock *survey.Stock) ([]Board, error) {
	return layOutOf(choice, stock).all(ctx, s, facets)
}

// laid lays and cuts, and holds every law.
func laid(t *testing.T, s *survey.Site, facets []Facet, choice survey.TaperChoice, stock *survey.Stock) *Design {
	t.Helper()
	l := layOutOf(choice, stock)
	boards, err := l.all(t.Context(), s, facets)
	if err != nil {
		t.Fatal(err)
	}
	d := &Design{Facets: facets, DustSqft: l.dustSqft, Boards: Cut(boards, CutOptions{TurnBoard: choice.TurnBoard}), Cover: choice.Cover}
	d.Counts, d.Totals = CountBoards(d.Boards)
	d.Totals.SolidBoardFeet = solidBoardFeet(facets)
	if err := d.Check(); err != nil {
		t.Error(err)
	}
	return d
}

// solidBoardFeet integrates the planes over their facets, ring by ring in
// triangles from its first corner; the mean of three corners is exact for a
// plane.
func solidBoardFeet(facets []Facet) float64 {
	ring := func(r geom.Ring, p survey.Plane) float64 {
		sum := 0.0
		for i := 1; i+1 < len(r); i++ {
			a, b, c := r[0], r[i], r[i+1]
			sum += b.Sub(a).Cross(c.Sub(a)) / 2 * (p.At(a) + p.At(b) + p.At(c)) / 3
		}
		return sum
	}
	sum := 0.0
	for _, f := range facets {
		sum += ring(f.Poly.Outer.CCW(), f.Plane)
		for _, h := range f.Poly.Holes {
			sum -= ring(h.CCW(), f.Plane)
		}
	}
	return sum
}

// tally sums a field over the lines of one type and mark; an empty mark takes
// all marks of the type.
func tally(counts []Count, typ BoardType, mark string, field func(Count) int) int {
	n := 0
	for _, c := range counts {
		if c.Type == typ && (mark == "" || c.Mark == mark) {
			n += field(c)
		}
	}
	return n
}

func piecesOf(c Count) int { return c.Pieces }
func toOrder(c Count) int  { return c.ToOrder }
func spares(c Count) int   { return c.Spares }

func wantNear(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.6f, want %.6f within %g", what, got, want, within)
	}
}

func wantEqual[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}
