package render

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// moveResult moves the area by f and keeps everything that stands in the
// building frame, whose own place is found anew.
func moveResult(r *Result, f func(geom.Pt) geom.Pt) {
	a := &r.Areas[0]
	area := &a.Area
	old := a.Site.Frame
	// FrameOf is not asked, since it may choose another of the eight ways on a
	// synthetic roof with equal keys: the frame is moved with the roof.
	o, x, y := f(old.Origin), f(old.ToJob(geom.Pt{X: 1})), f(old.ToJob(geom.Pt{Y: 1}))
	ux, uy := x.Sub(o), y.Sub(o)
	frame := geom.Frame{Origin: o, Turn: math.Atan2(ux.Y, ux.X), Mirror: ux.Cross(uy) < 0}
	area.Outline = area.Outline.Map(f)
	for k, c := range area.Courts {
		area.Courts[k] = c.Map(f)
	}
	for k := range area.Curbs {
		area.Curbs[k].At = f(area.Curbs[k].At)
	}
	for k := range area.Outlets {
		area.Outlets[k].At = f(area.Outlets[k].At)
	}
	for k := range area.Shots {
		area.Shots[k].At = f(area.Shots[k].At)
	}
	site := *a.Site
	site.Frame = frame
	a.Site = &site
	a.Fit.Surface.Frame = frame
}

// sheetFrame is the map from job feet to the sheet, read off the scene: the
// drains' circles against their places.
func scalePerFt(t *testing.T, r *Result, s scene.Scene) float64 {
	t.Helper()
	at := map[string]scene.Pt{}
	for _, m := range s.Marks {
		sh, ok := m.(scene.Shape)
		if id, is := strings.CutPrefix(nameOf(m), "outlet "); ok && is && len(sh.Rings[0]) == 24 {
			lo, hi := bounds(sh.Rings[0])
			at[id] = lo.Lerp(hi, 0.5)
		}
	}
	var a, b *survey.Outlet
	for k := range r.Areas[0].Area.Outlets {
		o := &r.Areas[0].Area.Outlets[k]
		if _, ok := at[o.ID]; ok {
			a, b = b, o
			if a != nil {
				return at[a.ID].Sub(at[b.ID]).Norm() / a.At.Dist(b.At)
			}
		}
	}
	t.Fatal("fewer than two drains on the sheet")
	return 0
}

func nameOf(m scene.Mark) string {
	switch m := m.(type) {
	case scene.Shape:
		return m.Name
	case scene.Line:
		return m.Name
	case scene.Text:
		return m.Name
	}
	return ""
}

func bounds(pts []scene.Pt) (lo, hi scene.Pt) { return boxOf(pts, pts[0]).Bounds() }

// The scale bar is as long as it says, and the scale in words is the sheet's.
func TestScaleBar_IsTrue(t *testing.T) {
	for _, sys := range []unit.System{unit.US, unit.Metric} {
		r := roofOf(lJob(), 6)
		r.Job.Units = sys
		for _, s := range allSheets(r) {
			if strings.HasPrefix(s.name, "section") {
				continue // no plan; TestCut_Plane holds its scale
			}
			perFt := scalePerFt(t, r, s.scene)
			var lo, hi float64 = math.Inf(1), math.Inf(-1)
			figure := ""
			for _, m := range s.scene.Marks {
				if nameOf(m) != "scale bar" {
					continue
				}
				switch m := m.(type) {
				case scene.Shape:
					a, b := bounds(m.Rings[0])
					lo, hi = math.Min(lo, a.X), math.Max(hi, b.X)
				case scene.Text:
					if f := strings.Fields(m.Words); len(f) == 2 {
						figure = f[0]
					}
				}
			}
			n, err := strconv.ParseFloat(figure, 64)
			if err != nil {
				t.Fatalf("scale bar of %q", figure)
			}
			want := unit.Feet(n).Feet()
			if sys == unit.Metric {
				want = unit.Metres(n).Feet()
			}
			if got := (hi - lo) / perFt; math.Abs(got-want) > 1e-6*want {
				t.Errorf("%s: a bar of %v ft says %v ft", s.name, got, want)
			}
			if sys == unit.Metric && !strings.Contains(wordsOf(s.scene), fmt.Sprintf("1:%.0f ", 12/perFt)) {
				t.Errorf("%s: scale in words is not 1:%.0f", s.name, 12/perFt)
			}
		}
	}
}

// The needle points where north is: counter-clockwise from up.
func TestNeedle(t *testing.T) {
	for _, deg := range []float64{0, 20, 90, -135} {
		r := roofOf(rectangleJob(), 8)
		r.Job.NorthDeg = deg
		for _, m := range ExistingSheet(r, 0).Marks {
			if sh, ok := m.(scene.Shape); ok && sh.Name == "north" {
				d := sh.Rings[0][0].Sub(sh.Rings[0][2])
				if got := math.Atan2(-d.X, d.Y) * 180 / math.Pi; math.Abs(got-deg) > 1e-6 {
					t.Errorf("north at %v points %v", deg, got)
				}
			}
		}
	}
}

// Arrows point down their facet, on roofs turned and mirrored too; on the
// placement sheets toward the thin edge.
func TestArrows_PointDown(t *testing.T) {
	moves := map[string]func(geom.Pt) geom.Pt{
		"as it lies": func(p geom.Pt) geom.Pt { return p },
		"a quarter":  func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} },
		"mirrored":   func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} },
		"aslant":     func(p geom.Pt) geom.Pt { return geom.Pt{X: 0.8*p.X - 0.6*p.Y, Y: 0.6*p.X + 0.8*p.Y} },
	}
	for name, f := range moves {
		r := roofOf(lJob(), 6)
		moveResult(r, f)
		a := r.Areas[0]
		for _, s := range allSheets(r)[3:] {
			met := 0
			for _, m := range s.scene.Marks {
				var id int
				sh, ok := m.(scene.Shape)
				if n, _ := fmt.Sscanf(nameOf(m), "facet %d arrow", &id); !ok || n != 1 || !strings.HasSuffix(sh.Name, "arrow") {
					continue
				}
				met++
				up, _ := a.Design.Facets[id-1].Plane.ToJob(a.Site.Frame).Uphill()
				tail := sh.Rings[0][3].Lerp(sh.Rings[0][4], 0.5)
				d := sh.Rings[0][0].Sub(tail)
				if cos := d.Dot(scene.Pt(up)) / d.Norm(); cos > -0.9999 {
					t.Errorf("%s, %s: arrow of facet %d points %v against uphill %v", name, s.name, id, d, up)
				}
			}
			if s.name == "taper" && met != len(a.Design.Facets) {
				t.Errorf("%s: %d arrows on %d facets", name, met, len(a.Design.Facets))
			}
			if s.name == "placement-2" && met < 10 {
				t.Errorf("%s: %d arrows on placement-2", name, met)
			}
		}
	}
}

// A path's arrow points the way its places run.
func TestPathArrows_PointOnward(t *testing.T) {
	r := roofOf(lJob(), 6)
	lines := map[string][]scene.Pt{}
	met := 0
	for _, m := range PondingSheet(r, 0).Marks {
		if l, ok := m.(scene.Line); ok && strings.HasPrefix(l.Name, "path ") {
			lines[strings.Fields(l.Name)[1]] = l.Pts
		}
		sh, ok := m.(scene.Shape)
		if !ok || !strings.HasPrefix(sh.Name, "path ") {
			continue
		}
		met++
		pts := lines[strings.Fields(sh.Name)[1]]
		tri := sh.Rings[0]
		d := tri[0].Sub(tri[1].Lerp(tri[2], 0.5))
		near, at := math.Inf(1), 0
		for i := 1; i < len(pts); i++ {
			if v := offLine(tri[0], pts[i-1], pts[i]); v < near {
				near, at = v, i
			}
		}
		if run := pts[at].Sub(pts[at-1]); run.Dot(d) <= 0 {
			t.Errorf("%s points back", sh.Name)
		}
	}
	if met < 30 {
		t.Errorf("%d path arrows", met)
	}
}

// Turning or mirroring the roof turns or mirrors the marks of the plan: every
// board lies where the move puts it.
func TestPlacement_MovesWithTheRoof(t *testing.T) {
	moves := map[string]func(geom.Pt) geom.Pt{
		"a quarter":     func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} },
		"half a turn":   func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: -p.Y} },
		"mirrored":      func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} },
		"moved a mile":  func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + 5280, Y: p.Y - 300} },
		"across a line": func(p geom.Pt) geom.Pt { return geom.Pt{X: p.Y, Y: p.X} },
	}
	base := roofOf(lJob(), 6)
	want := boardRings(base)
	for name, f := range moves {
		r := roofOf(lJob(), 6)
		moveResult(r, f)
		got := boardRings(r)
		if len(got) != len(want) {
			t.Fatalf("%s: %d boards, %d before", name, len(got), len(want))
		}
		for id, ring := range want {
			moved := ring.Map(f)
			for _, p := range moved {
				if got[id].Dist(p) > 0.06 { // a sixtieth of an inch on the sheet
					t.Fatalf("%s: board %s at %v, want %v", name, id, got[id], moved)
				}
			}
			if math.Abs(got[id].Area()-ring.Area()) > 0.02*ring.Area()+0.05 {
				t.Fatalf("%s: board %s of %v sq ft, %v before", name, id, got[id].Area(), ring.Area())
			}
		}
	}
}

// paperOf is a sheet with the scale of a drawn layer.
func paperOf(r *Result, layer int, drawn scene.Scene) *sheet {
	rows := rowsOf(&r.Areas[0], layer)
	if s := layerPaper(r, 0, rows, false); s.paper.w == drawn.W && s.paper.h == drawn.H {
		return s
	}
	return layerPaper(r, 0, rows, true)
}

// boardRings reads the boards back off the sheets, in job feet.
func boardRings(r *Result) map[string]geom.Ring {
	out := map[string]geom.Ring{}
	for n, named := range wholeLayers(r) {
		s := paperOf(r, n+1, named.Scene)
		sc := named.Scene
		for _, m := range sc.Marks {
			sh, ok := m.(scene.Shape)
			if !ok || !strings.HasPrefix(sh.Name, "board ") {
				continue
			}
			var ring geom.Ring
			for _, p := range sh.Rings[0] {
				ring = append(ring, s.job(p))
			}
			out[fmt.Sprint(n, sh.Name)] = ring
		}
	}
	return out
}

// The red bar lies on the thick edge: its place is uphill of its board's
// middle, near the highest edge, and within the board.
func TestThickBars(t *testing.T) {
	r := roofOf(lJob(), 6)
	moveResult(r, func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} })
	met := 0
	for n, named := range wholeLayers(r) {
		s := paperOf(r, n+1, named.Scene)
		sc := named.Scene
		for _, m := range sc.Marks {
			var facet, row int
			l, ok := m.(scene.Line)
			if k, _ := fmt.Sscanf(nameOf(m), "thick edge facet %d row %d", &facet, &row); !ok || k != 2 {
				continue
			}
			met++
			mid := s.site.Frame.ToLocal(s.job(l.Pts[0].Lerp(l.Pts[1], 0.5)))
			found := false
			for _, b := range r.Areas[0].Design.Boards {
				if b.Layer != n+1 || b.Facet != facet || b.Row != row || !b.Poly.Has(mid) {
					continue
				}
				found = true
				highest := 0.0
				for _, p := range b.Poly.Outer {
					highest = math.Max(highest, b.Plane.At(p))
				}
				if highest-b.Plane.At(mid) > 0.25 {
					t.Errorf("bar of facet %d row %d at %v in, thick edge %v", facet, row, b.Plane.At(mid), highest)
				}
			}
			if !found {
				t.Errorf("bar of facet %d row %d lies on no board of its row", facet, row)
			}
		}
	}
	if met < 30 {
		t.Errorf("%d bars", met)
	}
}

// Random roofs never panic and every sheet is sound.
func TestSheets_RandomRoofs(t *testing.T) {
	const seed = 11
	t.Logf("seed %d", seed)
	for n := range 25 {
		rnd := rand.New(rand.NewPCG(seed, uint64(n)))
		r := randomRoof(rnd)
		for _, s := range allSheets(r) {
			if err := s.scene.Check(); err != nil {
				t.Errorf("seed %d, roof %d, %s: %v", seed, n, s.name, err)
			}
		}
	}
}

func randomRoof(rnd *rand.Rand) *Result {
	j := lJob()
	a := &j.Areas[0]
	k := math.Exp(rnd.Float64()*7 - 4) // from 2 ft to 2,400 ft
	kx := k * (0.3 + rnd.Float64())
	sin, cos := math.Sincos(rnd.Float64() * 7)
	move := func(p geom.Pt) geom.Pt {
		x, y := p.X*kx, p.Y*k
		return geom.Pt{X: x*cos - y*sin, Y: x*sin + y*cos}
	}
	if rnd.IntN(2) == 0 {
		j.Units = unit.Metric
	}
	j.NorthDeg = rnd.Float64() * 360
	a.Outline = a.Outline.Map(move)
	for i := range a.Courts {
		a.Courts[i] = a.Courts[i].Map(move)
	}
	for i := range a.Outlets {
		a.Outlets[i].At = move(a.Outlets[i].At)
	}
	for i := range a.Curbs {
		a.Curbs[i].At = move(a.Curbs[i].At)
	}
	for i := range a.Cores {
		a.Cores[i].At = move(a.Cores[i].At)
	}
	site := survey.SiteOf(a, nil)
	w, h := site.Outline.Box().Size()
	l := survey.LatticeOf(site, math.Max(w, h)/80)
	for range 60 {
		p := geom.Pt{X: rnd.Float64()*w - w/2, Y: rnd.Float64()*h - h/2}
		site.Shots = append(site.Shots, survey.SiteShot{P: p, ElevIn: rnd.NormFloat64() * 9, ID: fmt.Sprint("s", len(site.Shots))})
	}
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(site, l), ElevIn: make([]float64, l.Len())}
	amp := math.Exp(rnd.Float64()*8 - 4)
	for i := range surf.ElevIn {
		c := l.Centre(i%l.NX, i/l.NX)
		surf.ElevIn[i] = amp * math.Sin(c.X/w*9) * math.Cos(c.Y/h*7)
	}
	rep := &drainage.Report{Surface: surf, FilledIn: surf.ElevIn}
	for i := range 5 {
		p := geom.Pt{X: rnd.Float64()*w - w/2, Y: rnd.Float64()*h - h/2}
		d := math.Min(w, h) * 0.2 * rnd.Float64()
		box := geom.Box{Min: p.Sub(geom.Pt{X: d, Y: d}), Max: p.Add(geom.Pt{X: d, Y: d})}
		rep.Ponds = append(rep.Ponds, drainage.Pond{ID: fmt.Sprint("P", i+1), SqFt: d * d, DepthIn: amp * rnd.Float64(),
			Deepest: p, Spill: box.Min, SpillsTo: "D1", Outline: []geom.Poly{{Outer: box.Ring()}}})
		rep.Paths = append(rep.Paths, drainage.Path{ID: fmt.Sprint("F", i), Points: []geom.Pt{p, box.Min, {}},
			LengthFt: d, Verdict: drainage.Verdict(i % 4)})
	}
	r := &Result{Job: j, Areas: []AreaResult{{Area: *a, Site: site, Existing: rep}}}
	if site.Outline.Area() < 20000 && rnd.IntN(2) == 0 {
		r.Areas[0].Design = designOf(site)
	}
	return r
}
