package render

import (
	"fmt"
	"math"
	"strconv"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
	"runnel/taper/ladder"
)

// The results here are made by hand, so that the pictures are tested without
// the packages that compute them.

// rectangleJob is a bare 40 x 60 ft roof with a drain in the middle.
func rectangleJob() *survey.Job {
	a := survey.Area{
		Name:    "A",
		Outline: geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 60}, {X: 0, Y: 60}},
		Edges:   make([]survey.Edge, 4),
		Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 20, Y: 30}, Edge: -1, Size: unit.Inches(4)}},
	}
	return &survey.Job{Name: "Bare rectangle", Units: unit.US, Areas: []survey.Area{a}}
}

// lJob is an L with three drains, an overflow scupper, a court, three curbs, a
// gutter and an open edge.
func lJob() *survey.Job {
	a := survey.Area{
		Name:    "Main roof",
		Outline: geom.Ring{{X: 0, Y: 0}, {X: 120, Y: 0}, {X: 120, Y: 48}, {X: 72, Y: 48}, {X: 72, Y: 84}, {X: 0, Y: 84}},
		Edges: []survey.Edge{{Kind: survey.Parapet}, {Kind: survey.Wall}, {Kind: survey.OpenEdge},
			{Kind: survey.Joint}, {Kind: survey.Parapet}, {Kind: survey.GutterEdge}},
		Courts: []geom.Ring{{{X: 84, Y: 8}, {X: 84, Y: 16}, {X: 92, Y: 16}, {X: 92, Y: 8}}},
		Outlets: []survey.Outlet{
			{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 36, Y: 24}, Edge: -1, Size: unit.Inches(4)},
			{ID: "D2", Kind: survey.Drain, At: geom.Pt{X: 36, Y: 66}, Edge: -1, Size: unit.Inches(4), State: survey.Untested},
			{ID: "D3", Kind: survey.Drain, At: geom.Pt{X: 96, Y: 24}, Edge: -1, Size: unit.Inches(4)},
			{ID: "S1", Kind: survey.Scupper, At: geom.Pt{X: 110, Y: 0}, Edge: 0, Width: unit.Inches(12), Overflow: true},
			{ID: "A-2", Kind: survey.OpenOutlet, Edge: 2}, {ID: "A-5", Kind: survey.GutterOutlet, Edge: 5},
		},
		Curbs: []survey.Curb{{ID: "U1", At: geom.Pt{X: 50, Y: 38}, W: 8, D: 6}, {ID: "U2", At: geom.Pt{X: 16, Y: 60}, W: 4, D: 4, Turn: 30},
			{ID: "Hatch", At: geom.Pt{X: 108, Y: 40}, W: 3, D: 2.5}},
		Cores: []survey.Core{{ID: "C1", At: geom.Pt{X: 10, Y: 10}, Thickness: unit.Inches(4.5)},
			{ID: "C2", At: geom.Pt{X: 60, Y: 70}, Thickness: unit.Inches(3.25), Wet: true}},
	}
	return &survey.Job{Name: "Kestrel Mill store, re-roof of the west wing", Units: unit.US, NorthDeg: 20, Areas: []survey.Area{a}}
}

// roofOf makes the result of a job: a surface that falls to the drains with
// bowls that hold water, shots every spacing feet, paths, a design and its
// boards.
func roofOf(job *survey.Job, spacing float64) *Result {
	a := job.Areas[0]
	elev := func(p geom.Pt) float64 {
		v := 1200.0
		near := math.Inf(1)
		for _, o := range a.Outlets {
			if o.Kind == survey.Drain {
				near = math.Min(near, p.Dist(o.At))
			}
		}
		v += math.Min(near, 40)/12*0.9 + 0.3*math.Sin(p.X/6)*math.Cos(p.Y/7)
		for _, b := range bowls(a) {
			v -= 1.6 * math.Exp(-p.Sub(b).Dot(p.Sub(b))/40)
		}
		return v
	}
	box := a.Outline.Box()
	n := 0
	for y := box.Min.Y + 1; y <= box.Max.Y; y += spacing {
		for x := box.Min.X + 1; x <= box.Max.X; x += spacing {
			if p := (geom.Pt{X: x, Y: y}); a.Outline.Has(p) {
				n++
				a.Shots = append(a.Shots, survey.Shot{ID: strconv.Itoa(n), At: p, Elev: unit.Inches(math.Round(elev(p)*8) / 8)})
			}
		}
	}
	if n > 10 {
		a.Shots[7].Left = "1'-2\" off its neighbours"
	}
	job.Areas[0] = a
	site := survey.SiteOf(&a, nil)
	l := survey.LatticeOf(site, 0)
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(site, l), ElevIn: make([]float64, l.Len()), Known: make([]bool, l.Len())}
	for k := range surf.ElevIn {
		surf.ElevIn[k] = elev(site.Frame.ToJob(l.Centre(k%l.NX, k/l.NX)))
		surf.Known[k] = a.Name == "A" || site.Frame.ToJob(l.Centre(k%l.NX, k/l.NX)).X < 112
	}
	ar := AreaResult{Area: a, Site: site, Base: surf, Deck: fit.DeckReport{Words: "deck inferred: membrane less core thickness"},
		Fit: &fit.Result{Surface: surf, Method: "smoothing surface", HasRMSE: true, RMSEIn: 0.14, SigmaIn: 0.1, SpacingFt: spacing}}
	ar.Existing = reportOf(site, surf, bowls(a))
	ar.Design = designOf(site)
	ar.Proof = &taper.Proof{Surface: surf, Report: ar.Existing, Field: drainage.Meets, Valley: drainage.Meets, Passes: true}
	ar.Rung, ar.Why = ladder.Taper, "3 ponds, the deepest 1 1/8 in"
	rules, err := drainage.RuleSet(survey.RuleChoice{Name: "us-reroof"})
	if err != nil {
		panic(err)
	}
	return &Result{Job: job, Rules: rules, Areas: []AreaResult{ar}}
}

func bowls(a survey.Area) []geom.Pt {
	b := a.Outline.Box()
	return []geom.Pt{b.Min.Lerp(b.Max, 0.15), b.Min.Add(geom.Pt{X: 9, Y: 0.7 * (b.Max.Y - b.Min.Y)}), b.Min.Add(geom.Pt{X: 0.85 * (b.Max.X - b.Min.X), Y: 9})}
}

func reportOf(site *survey.Site, surf *survey.Surface, deep []geom.Pt) *drainage.Report {
	r := &drainage.Report{Surface: surf, FilledIn: make([]float64, surf.Len()), RoofSqft: site.RoofArea().SquareFeet(),
		BelowMinimumPct: 63.2, PondsFree: drainage.FallsShort, MeetsDesign: drainage.FallsShort}
	copy(r.FilledIn, surf.ElevIn)
	for n, d := range deep {
		p := site.Frame.ToLocal(d)
		low, _ := surf.Elevation(p)
		spill := low + 1.1 - 0.3*float64(n)
		g := gridBy(surf.Lattice, 1, func(k int) (float64, bool) {
			c := surf.Centre(k%surf.NX, k/surf.NX)
			if !surf.Roof[k] || c.Dist(p) > 9 || surf.ElevIn[k] > spill {
				return 0, true
			}
			r.FilledIn[k] = math.Max(r.FilledIn[k], spill)
			return spill - surf.ElevIn[k], true
		})
		pond := drainage.Pond{ID: fmt.Sprintf("P%d", n+1), DepthIn: spill - low, SpillIn: spill, Deepest: p,
			Spill: p.Add(geom.Pt{X: 5, Y: 1}), SpillsTo: "D1", Misses: "D1", RiseIn: 1.375, HeldIn: 1.375, AwayFt: 23}
		for _, ring := range g.above(1e-6) {
			pond.Outline = append(pond.Outline, geom.Poly{Outer: ring.CCW()})
			pond.SqFt += ring.Area()
		}
		r.Ponds = append(r.Ponds, pond)
	}
	for k := range surf.Len() {
		if i, j := k%surf.NX, k/surf.NX; surf.Roof[k] && i%12 == 6 && j%12 == 6 {
			r.Paths = append(r.Paths, pathFrom(surf, surf.Centre(i, j), len(r.Paths)))
		}
	}
	for _, o := range site.Outlets {
		r.Areas = append(r.Areas, drainage.DrainageArea{Outlet: o.ID})
	}
	return r
}

// pathFrom walks down the surface a foot at a time.
func pathFrom(surf *survey.Surface, p geom.Pt, n int) drainage.Path {
	out := drainage.Path{ID: fmt.Sprintf("F%d", n+1), Verdict: drainage.Verdict(n % 4), EndsAt: "D1"}
	for range 60 {
		out.Points = append(out.Points, p)
		best, next := 0.0, p
		at, _ := surf.Elevation(p)
		for k := range 16 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
			q := p.Add(geom.Pt{X: cos, Y: sin})
			if v, ok := surf.Elevation(q); ok && at-v > best {
				best, next = at-v, q
			}
		}
		if best == 0 {
			break
		}
		p = next
	}
	return out
}

// designOf lays four planes of 1/4 in/ft round every drain, each drain in its
// own rectangle, 4 x 4 ft boards and one base layer of 4 x 8 ft.
func designOf(site *survey.Site) *taper.Design {
	d := &taper.Design{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25)}
	for _, o := range site.Outlets {
		if o.Kind != survey.Drain {
			continue
		}
		for q := range 4 {
			sin, cos := math.Sincos(float64(q) * math.Pi / 2)
			up := geom.Pt{X: math.Round(cos), Y: math.Round(sin)}
			side := geom.Pt{X: -up.Y, Y: up.X}
			wedge := geom.Poly{Outer: geom.Ring{o.P, o.P.Add(up.Sub(side).Mul(200)), o.P.Add(up.Add(side).Mul(200))}}
			for _, poly := range clip(clip([]geom.Poly{wedge}, cellOf(site, o.P)), site.Poly()) {
				plane := survey.Plane{CIn: 2.5 - 0.25*up.Dot(o.P), GX: 0.25 * up.X, GY: 0.25 * up.Y}
				d.Facets = append(d.Facets, taper.Facet{ID: len(d.Facets) + 1, Role: taper.FieldRole, Poly: poly, Plane: plane})
			}
			d.Lines = append(d.Lines, taper.Line{Kind: taper.Valley, A: o.P, B: o.P.Add(up.Add(side).Mul(0.2 * math.Min(site.Outline.Box().Size()))), Slope: unit.InchesPerFoot(0.25 / math.Sqrt2)})
		}
	}
	lay(d, site)
	tally(d)
	d.Totals = taper.Totals{Pieces: len(d.Boards), ToOrder: len(d.Boards) - 20, Spares: 14, AreaBound: 300, CutBound: 280, WastePct: 7.5}
	d.Insulation = taper.Insulation{CuFt: 2345, LeastCuFt: 2100, AverageIn: 4.6, ThinnestIn: 2.5, ThickestIn: 11.5}
	return d
}

// cellOf is the part of the box that lies nearer to p than to other drains, by
// the greater of the two distances: a rectangle for these roofs.
func cellOf(site *survey.Site, p geom.Pt) geom.Poly {
	box := site.Outline.Box()
	for _, o := range site.Outlets {
		if d := o.P.Sub(p); o.Kind == survey.Drain && d.Norm() > 0 {
			if m := p.Lerp(o.P, 0.5); math.Abs(d.X) > math.Abs(d.Y) {
				if d.X > 0 {
					box.Max.X = math.Min(box.Max.X, m.X)
				} else {
					box.Min.X = math.Max(box.Min.X, m.X)
				}
			} else if d.Y > 0 {
				box.Max.Y = math.Min(box.Max.Y, m.Y)
			} else {
				box.Min.Y = math.Max(box.Min.Y, m.Y)
			}
		}
	}
	return geom.Poly{Outer: box.Ring()}
}

func clip(ps []geom.Poly, by geom.Poly) []geom.Poly {
	var out []geom.Poly
	for _, p := range ps {
		got, err := geom.Intersect(p, by)
		if err != nil {
			panic(err)
		}
		out = append(out, got...)
	}
	return out
}

func lay(d *taper.Design, site *survey.Site) {
	box := site.Outline.Box()
	n := 0
	add := func(b taper.Board) {
		n++
		b.Piece = fmt.Sprintf("p%d", n)
		d.Boards = append(d.Boards, b)
	}
	row := 0
	for y := box.Min.Y; y < box.Max.Y; y += 4 {
		row++
		seq := 0
		for x := box.Min.X; x < box.Max.X; x += 8 {
			whole := geom.Poly{Outer: geom.Box{Min: geom.Pt{X: x, Y: y}, Max: geom.Pt{X: x + 8, Y: y + 4}}.Ring()}
			for _, p := range clip([]geom.Poly{whole}, site.Poly()) {
				seq++
				add(taper.Board{Layer: 1, Type: taper.BaseType, Mark: "2", Row: row, Seq: seq, Poly: p, Plane: survey.Plane{CIn: 2},
					Uphill: geom.Pt{X: 0, Y: 1}, ThinIn: 2, ThickIn: 2, Along: unit.Feet(8), Depth: unit.Feet(4), Cut: p.Area() < 31.99})
			}
		}
	}
	for _, f := range d.Facets {
		up, _ := f.Plane.Uphill()
		layFacet(f, up, add)
	}
}

func layFacet(f taper.Facet, up geom.Pt, add func(taper.Board)) {
	right := geom.Pt{X: up.Y, Y: -up.X}
	var lo, hi, left, end = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range f.Poly.Outer {
		lo, hi = math.Min(lo, p.Dot(up)), math.Max(hi, p.Dot(up))
		left, end = math.Min(left, p.Dot(right)), math.Max(end, p.Dot(right))
	}
	place := func(u, v float64) geom.Pt { return right.Mul(u).Add(up.Mul(v)) }
	for row := 0; lo+4*float64(row) < hi-1e-9; row++ {
		v := lo + 4*float64(row)
		thin := 0.5 + float64(row%2)
		seq := 0
		for u := left; u < end-1e-9; u += 4 {
			whole := geom.Poly{Outer: geom.Ring{place(u, v), place(u+4, v), place(u+4, v+4), place(u, v+4)}.CCW()}
			for _, p := range clip([]geom.Poly{whole}, f.Poly) {
				seq++
				add(taper.Board{Layer: 2 + row/2, Type: taper.TaperedType, Mark: unit.Inches(thin).InchFraction() + " to " + unit.Inches(thin+1).InchFraction(), Facet: f.ID,
					Row: row + 1, Seq: seq, Poly: p, Plane: survey.Plane{CIn: thin - 0.25*v, GX: f.Plane.GX, GY: f.Plane.GY}, Uphill: up,
					ThinIn: thin, ThickIn: thin + 1, Along: unit.Feet(4), Depth: unit.Feet(4), Cut: p.Area() < 15.99})
			}
		}
	}
}

func tally(d *taper.Design) {
	type key struct {
		layer int
		kind  taper.BoardType
		mark  string
	}
	at := map[key]int{}
	for _, b := range d.Boards {
		k := key{b.Layer, b.Type, b.Mark}
		if _, ok := at[k]; !ok {
			at[k] = len(d.Counts)
			d.Counts = append(d.Counts, taper.Count{Layer: b.Layer, Type: b.Type, Mark: b.Mark, Along: b.Along, Depth: b.Depth})
		}
		c := &d.Counts[at[k]]
		c.Pieces++
		c.ToOrder++
		c.SqFt += b.Poly.Area()
		if b.Cut {
			c.Cut++
		} else {
			c.Full++
		}
	}
}
