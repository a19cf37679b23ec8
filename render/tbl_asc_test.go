package render

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// tblGrid is a written grid as a general tool reads it: row 0 is the
// southernmost.
type tblGrid struct {
	nx, ny       int
	x, y, cellFt float64
	ft           []float64 // NaN: no data
}

func tblParseGrid(t *testing.T, text string) tblGrid {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	head := map[string]float64{}
	for _, l := range lines[:6] {
		f := strings.Fields(l)
		head[strings.ToLower(f[0])] = tblNumber(t, f[1])
	}
	g := tblGrid{nx: int(head["ncols"]), ny: int(head["nrows"]), x: head["xllcorner"], y: head["yllcorner"], cellFt: head["cellsize"]}
	if len(lines) != g.ny+6 || len(head) != 6 {
		t.Fatalf("%d lines for %d rows, head %v", len(lines), g.ny, head)
	}
	for j := range g.ny {
		row := strings.Fields(lines[len(lines)-1-j])
		if len(row) != g.nx {
			t.Fatalf("row %d has %d cells, want %d", j, len(row), g.nx)
		}
		for _, s := range row {
			v := tblNumber(t, s)
			if v == head["nodata_value"] {
				v = math.NaN()
			}
			g.ft = append(g.ft, v)
		}
	}
	return g
}

// fill is the plain way to fill hollows: water stands everywhere and is let
// down, sweep by sweep, until it no longer falls. Cells without data and the
// rim let water go; water passes to eight neighbours.
//
// Source: O. Planchon, F. Darboux 2002, A fast, simple and versatile algorithm
// to fill the depressions of digital elevation models, Catena 46, 159-176.
func (g tblGrid) fill() []float64 {
	level := make([]float64, len(g.ft))
	for k, z := range g.ft {
		i, j := k%g.nx, k/g.nx
		level[k] = math.Inf(1)
		if math.IsNaN(z) {
			level[k] = math.Inf(-1)
		} else if i == 0 || j == 0 || i == g.nx-1 || j == g.ny-1 {
			level[k] = z
		}
	}
	sweep := func(k int) bool {
		i, j := k%g.nx, k/g.nx
		if math.IsNaN(g.ft[k]) || i == 0 || j == 0 || i == g.nx-1 || j == g.ny-1 {
			return false
		}
		least := math.Inf(1)
		for _, d := range []int{-g.nx - 1, -g.nx, -g.nx + 1, -1, 1, g.nx - 1, g.nx, g.nx + 1} {
			least = math.Min(least, level[k+d])
		}
		if v := math.Max(g.ft[k], least); v < level[k] {
			level[k] = v
			return true
		}
		return false
	}
	for moved := true; moved; {
		moved = false
		for k := range level {
			moved = sweep(k) || moved
		}
		for k := len(level) - 1; k >= 0; k-- {
			moved = sweep(k) || moved
		}
	}
	return level
}

// tblPond is standing water as a general tool finds it.
type tblPond struct{ sqft, cuft, depthIn float64 }

// ponds lists water of at least the given depth and area, deepest first.
func (g tblGrid) ponds(level []float64, depthIn, sqft float64) []tblPond {
	seen := make([]bool, len(g.ft))
	var out []tblPond
	for k := range g.ft {
		if seen[k] || !(level[k] > g.ft[k]) {
			continue
		}
		seen[k] = true
		var p tblPond
		for list := []int{k}; len(list) > 0; {
			q := list[len(list)-1]
			list = list[:len(list)-1]
			p.sqft += g.cellFt * g.cellFt
			p.cuft += (level[q] - g.ft[q]) * g.cellFt * g.cellFt
			p.depthIn = math.Max(p.depthIn, 12*(level[q]-g.ft[q]))
			for dj := -1; dj <= 1; dj++ {
				for di := -1; di <= 1; di++ {
					if r := q + dj*g.nx + di; !seen[r] && level[r] > g.ft[r] {
						seen[r] = true
						list = append(list, r)
					}
				}
			}
		}
		if p.depthIn >= depthIn && p.sqft >= sqft {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b tblPond) int { return int(math.Copysign(1, b.depthIn-a.depthIn)) })
	return out
}

// tblRoof is a roof for the grid tests, on the sheet the given way.
type tblRoof struct {
	story string
	area  func(w tblWay) survey.Area
}

func tblRoofs() []tblRoof {
	edge := func(kind survey.EdgeKind, out survey.OutletKind, n int) func(w tblWay) survey.Area {
		return func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Edges[n].Kind = kind
			a.Outlets = append(a.Outlets, survey.Outlet{ID: "North-e", Kind: out, Edge: n})
			return a
		}
	}
	scupper := func(a survey.Area, n int, alongFt float64, in survey.Height) survey.Outlet {
		from, to := a.Outline[n], a.Outline.At(n+1)
		return survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: n, Width: unit.Inches(12),
			At: from.Lerp(to, alongFt/from.Dist(to)), Inlet: in}
	}
	proud := survey.Height{Value: unit.Inches(0.75), Above: survey.AboveMembrane}
	return []tblRoof{
		{story: "two drains", area: tblArea},
		{story: "gutter edge", area: edge(survey.GutterEdge, survey.GutterOutlet, 0)},
		{story: "open edge at the inside corner", area: edge(survey.OpenEdge, survey.OpenOutlet, 2)},
		{story: "scupper above the roof", area: func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Outlets = append(a.Outlets[:1:1], scupper(a, 0, 50, proud))
			return a
		}},
		{story: "scupper alone, flush", area: func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Outlets = []survey.Outlet{scupper(a, 3, 5, survey.Height{})}
			return a
		}},
		{story: "scupper in the corner", area: func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Outlets = []survey.Outlet{scupper(a, 1, 0.5, survey.Height{})}
			return a
		}},
		{story: "one drain blocked", area: func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Outlets[1].State = survey.Blocked
			return a
		}},
		{story: "proud drain", area: func(w tblWay) survey.Area {
			a := tblArea(w)
			a.Outlets[0].Inlet = proud
			return a
		}},
		{story: "curb a foot off a gutter", area: func(w tblWay) survey.Area {
			a := edge(survey.GutterEdge, survey.GutterOutlet, 0)(w)
			a.Curbs = append(a.Curbs, survey.Curb{ID: "U2", At: w.put(geom.Pt{X: 12, Y: 2}), W: 3, D: 2})
			return a
		}},
	}
}

// TestASC_SamePonds: a general tool that reads the grid finds the ponds of the
// drainage check. Where the cells are those of the surface every cell fills to
// the same elevation (1e-5 in, the rounding of the file twice over), and areas
// and volumes differ only as counting cells differs from measuring water: by
// less than 1 %. Finer cells and turned roofs are resampled,
// by which a narrow neck between two ponds may fall dry: 6 %, any number.
func TestASC_SamePonds(t *testing.T) {
	for n, roof := range tblRoofs() {
		ways := tblWays
		if n > 0 {
			ways = tblWays[3 : 4+n%2] // every other one aslant too
		}
		for _, w := range ways {
			t.Run(roof.story+"/"+w.story, func(t *testing.T) { tblSamePonds(t, roof, w) })
		}
	}
}

func tblSamePonds(t *testing.T, roof tblRoof, w tblWay) {
	a := roof.area(w)
	s := survey.SiteOf(&a, nil)
	surf := tblSurface(s, w)
	inletIn := drainage.Inlets(s, surf, nil)
	want := tblCheck(t, s, surf, inletIn)
	g := tblParseGrid(t, tblText(t, func(out io.Writer) error { return WriteASC(out, s, surf, inletIn) }))
	level := g.fill()
	if g.cellFt > 1 {
		t.Errorf("cells of %g ft", g.cellFt)
	}
	same := w.deg != 17 && g.cellFt == surf.CellFt
	if same {
		tblSameLevels(t, s, want, g, level)
	}
	got := g.ponds(level, 0.125, 4)
	if same && len(got) != len(want.Ponds) || len(got) == 0 {
		t.Fatalf("%d ponds %v, want %d", len(got), got, len(want.Ponds))
	}
	share := 0.01
	if !same {
		share = 0.06
	}
	var sum, wantSum tblPond
	for _, p := range want.Ponds {
		wantSum = tblPond{wantSum.sqft + p.SqFt, wantSum.cuft + p.CuFt, math.Max(wantSum.depthIn, p.DepthIn)}
	}
	for i, p := range got {
		sum = tblPond{sum.sqft + p.sqft, sum.cuft + p.cuft, math.Max(sum.depthIn, p.depthIn)}
		if same && math.Abs(p.depthIn-want.Ponds[i].DepthIn) > 0.06 {
			t.Errorf("pond %d: %.3f in deep, want %.3f", i, p.depthIn, want.Ponds[i].DepthIn)
		}
	}
	if math.Abs(sum.cuft-wantSum.cuft) > share*wantSum.cuft || math.Abs(sum.sqft-wantSum.sqft) > share*wantSum.sqft ||
		math.Abs(sum.depthIn-wantSum.depthIn) > 0.06 {
		t.Errorf("water %+v, want %+v", sum, wantSum)
	}
	t.Logf("%d ponds for %d, %.2f sq ft for %.2f, %.3f cu ft for %.3f, %.3f in for %.3f", len(got), len(want.Ponds),
		sum.sqft, wantSum.sqft, sum.cuft, wantSum.cuft, sum.depthIn, wantSum.depthIn)
}

// tblSameLevels compares the water level of every roof cell.
func tblSameLevels(t *testing.T, s *survey.Site, want *drainage.Report, g tblGrid, level []float64) {
	t.Helper()
	surf, seen, drains := want.Surface, 0, 0
	for k, on := range surf.Roof {
		if !on {
			continue
		}
		p := s.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX))
		i, j := int(math.Floor((p.X-g.x)/g.cellFt)), int(math.Floor((p.Y-g.y)/g.cellFt))
		if math.IsNaN(g.ft[j*g.nx+i]) {
			drains++
			continue
		}
		seen++
		if got := 12 * level[j*g.nx+i]; math.Abs(got-want.FilledIn[k]) > 1e-5 {
			t.Fatalf("the cell at %v fills to %.6f in, want %.6f", p, got, want.FilledIn[k])
		}
	}
	if seen == 0 || drains > 4*len(s.Outlets) {
		t.Errorf("%d cells compared, %d without data", seen, drains)
	}
}

// TestASC_ProudFlange: a level 40 x 60 ft roof with four planes of 1/4 in/ft
// to a drain whose flange stands 1/2 in over the low point holds a pyramid of
// water 1/2 in deep and 4 x 4 ft wide: 16 sq ft, 16/3 x 1/24 = 0.2222 cu ft.
func TestASC_ProudFlange(t *testing.T) {
	for _, w := range []tblWay{tblWays[0], tblWays[4]} {
		a := survey.Area{Name: "A", Outline: geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 40}, {X: 0, Y: 40}}.Map(w.put),
			Edges:   make([]survey.Edge, 4),
			Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: w.put(geom.Pt{X: 30, Y: 20})}}}
		s := survey.SiteOf(&a, nil)
		surf := fit.Level(s, survey.LatticeOf(s, 0), 0)
		in := make([]float64, surf.Len())
		for k := range in {
			p := surf.Centre(k%surf.NX, k/surf.NX)
			in[k] = 0.25 * math.Max(math.Abs(p.X), math.Abs(p.Y))
		}
		surf = surf.With(in)
		g := tblParseGrid(t, tblText(t, func(out io.Writer) error { return WriteASC(out, s, surf, []float64{0.5}) }))
		ponds := g.ponds(g.fill(), 0.125, 4)
		if len(ponds) != 1 {
			t.Fatalf("%s: ponds %v", w.story, ponds)
		}
		t.Logf("%s: cells of %g ft, %+v", w.story, g.cellFt, ponds[0])
		if p := ponds[0]; math.Abs(p.cuft-2.0/9) > 0.06*2/9 || math.Abs(p.sqft-16) > 1.2 || math.Abs(p.depthIn-0.5) > 0.07 {
			t.Errorf("%s: %+v, want 16 sq ft, 0.2222 cu ft, 0.5 in", w.story, p)
		}
	}
}

// TestASC_Courts: a court is closed in by a ring at the wall top, has no data
// inside, and lets no water go.
func TestASC_Courts(t *testing.T) {
	a := tblArea(tblWays[0])
	s := survey.SiteOf(&a, nil)
	surf := tblSurface(s, tblWays[0])
	g := tblParseGrid(t, tblText(t, func(out io.Writer) error { return WriteASC(out, s, surf, nil) }))
	at := func(x, y float64) float64 {
		return g.ft[int(math.Floor((y-g.y)/g.cellFt))*g.nx+int(math.Floor((x-g.x)/g.cellFt))]
	}
	for _, c := range []struct {
		story string
		x, y  float64
		wall  bool
	}{
		{"middle of the court", 43.3, 20.3, false}, {"just inside the court", 40.25, 20.25, true},
		{"corner of the court", 40.25, 17.25, true}, {"just outside the wall", 20.25, -0.25, true},
		{"two cells outside", 20.25, -0.75, false}, {"inside the curb", 21.25, 16.25, true},
	} {
		z := at(c.x, c.y)
		if math.IsNaN(z) == c.wall {
			t.Errorf("%s: %g ft, wall %v", c.story, z, c.wall)
		}
		if c.wall && (z < 101.8 || z > 102.6) {
			t.Errorf("%s: wall top at %g ft", c.story, z)
		}
	}
}

// TestASC_Plane: in every way a roof can lie, the grid gives the elevation of
// the place.
func TestASC_Plane(t *testing.T) {
	for _, w := range tblWays {
		a := tblArea(w)
		s := survey.SiteOf(&a, nil)
		plane := survey.Plane{CIn: 600, GX: 0.25, GY: -0.125}
		surf := fit.Level(s, survey.LatticeOf(s, 0), 0)
		in := make([]float64, surf.Len())
		for k := range in {
			in[k] = plane.At(s.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX)))
		}
		surf = surf.With(in)
		g := tblParseGrid(t, tblText(t, func(out io.Writer) error { return WriteASC(out, s, surf, nil) }))
		seen := 0
		for k, z := range g.ft {
			p := geom.Pt{X: g.x + (float64(k%g.nx)+0.5)*g.cellFt, Y: g.y + (float64(k/g.nx)+0.5)*g.cellFt}
			deep := s.OnRoof(s.Frame.ToLocal(p)) && s.Poly().Dist(s.Frame.ToLocal(p)) > 1.5
			for _, c := range s.Curbs {
				deep = deep && c.Dist(s.Frame.ToLocal(p)) > 1.5
			}
			for _, o := range a.Outlets {
				deep = deep && o.At.Dist(p) > 2
			}
			if !deep || math.IsNaN(z) {
				continue
			}
			seen++
			if math.Abs(12*z-plane.At(p)) > 1e-4 {
				t.Fatalf("%s: at %v %g ft, want %g", w.story, p, z, plane.At(p)/12)
			}
		}
		if seen < 3000 {
			t.Errorf("%s: %d cells compared", w.story, seen)
		}
	}
}

// TestElevationFt prints no more than a millionth of a foot.
func TestElevationFt(t *testing.T) {
	for in, want := range map[float64]string{0: "0", -1e-9: "0", 1200: "100", 1: "0.083333", -6: "-0.5", 12.000012: "1.000001"} {
		if got := elevationFt(in); got != want {
			t.Errorf("%v in: %q, want %q", in, got, want)
		}
	}
	if _, err := strconv.ParseFloat(elevationFt(1e9), 64); err != nil {
		t.Error(err)
	}
}
