package taper

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

var fieldSeed = flag.Uint64("fieldseed", 1, "seed of the random roofs that fields are designed on")

// byHand evaluates the definition of the field at places, by other means than
// the program: sight by walking the stretch in small steps and looking for
// crossed walls, ways by relaxing all pairs until nothing changes.
type byHand struct {
	poly  geom.Poly
	g     gauge
	t0In  float64
	lines []source
	nodes []geom.Pt
	at    []float64
}

func newByHand(c fieldCase) *byHand {
	h := &byHand{poly: c.s.Poly(), g: c.g, t0In: c.in.T0In, lines: c.lines}
	poly, t0In := h.poly, h.t0In
	for _, l := range c.lines {
		h.nodes, h.at = append(h.nodes, l.a, l.b), append(h.at, t0In, t0In)
	}
	for _, d := range c.drains {
		h.nodes, h.at = append(h.nodes, d), append(h.at, t0In)
	}
	for _, r := range poly.Rings() {
		for _, p := range r {
			h.nodes, h.at = append(h.nodes, p), append(h.at, h.fromLines(p))
		}
	}
	for again := true; again; {
		again = false
		for i, p := range h.nodes {
			for j, q := range h.nodes {
				if t := h.at[i] + h.g.riseIn(q.Sub(p)); t < h.at[j]-1e-12 && h.clear(p, q) {
					h.at[j], again = t, true
				}
			}
		}
	}
	return h
}

// fromLines is the thickness at p by the lines that see it square to
// themselves.
func (h *byHand) fromLines(p geom.Pt) float64 {
	best := math.Inf(1)
	for _, l := range h.lines {
		d, v := l.b.Sub(l.a), p.Sub(l.a)
		u := v.Dot(d) / d.Dot(d)
		off := d.Cross(v) / d.Norm()
		if u >= 0 && u <= 1 && off >= -1e-9 && h.clear(l.a.Lerp(l.b, u), p) {
			best = math.Min(best, h.t0In+l.slopeInPer*off)
		}
	}
	return best
}

// clear says whether the stretch p-q stays in the area.
func (h *byHand) clear(p, q geom.Pt) bool {
	for _, r := range h.poly.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			c, d := q.Sub(p).Cross(a.Sub(p)), q.Sub(p).Cross(b.Sub(p))
			e, f := b.Sub(a).Cross(p.Sub(a)), b.Sub(a).Cross(q.Sub(a))
			const tol = 1e-7
			if c*d < 0 && e*f < 0 && math.Min(math.Min(math.Abs(c), math.Abs(d)), math.Min(math.Abs(e), math.Abs(f))) > tol {
				return false
			}
		}
	}
	const steps = 97
	for k := 1; k < steps; k++ {
		m := p.Lerp(q, float64(k)/steps)
		if !h.poly.Has(m) && h.poly.Dist(m) > 1e-7 {
			return false
		}
	}
	return true
}

func (h *byHand) thickness(p geom.Pt) float64 {
	best := h.fromLines(p)
	for i, q := range h.nodes {
		if t := h.at[i] + h.g.riseIn(p.Sub(q)); t < best && h.clear(q, p) {
			best = t
		}
	}
	return best
}

// blocks is a random area of upright blocks, with courts as they come.
func blocks(rng *rand.Rand) geom.Poly {
	for {
		nx, ny := 3+rng.IntN(4), 2+rng.IntN(4)
		xs, ys := gridLines(rng, nx), gridLines(rng, ny)
		var cells []geom.Poly
		for i := range nx {
			for j := range ny {
				if rng.Float64() < 0.75 {
					b := geom.Box{Min: geom.Pt{X: xs[i], Y: ys[j]}, Max: geom.Pt{X: xs[i+1], Y: ys[j+1]}}
					cells = append(cells, geom.Poly{Outer: b.Ring()})
				}
			}
		}
		ps, err := geom.Union(cells)
		if err == nil && len(ps) > 0 && !pinched(ps[0]) {
			return ps[0]
		}
	}
}

func gridLines(rng *rand.Rand, n int) []float64 {
	out := []float64{0}
	for range n {
		out = append(out, out[len(out)-1]+float64(4+rng.IntN(60))/4)
	}
	return out
}

func pinched(p geom.Poly) bool {
	seen := map[geom.Pt]bool{}
	for _, r := range p.Rings() {
		for _, v := range r {
			if seen[v] {
				return true
			}
			seen[v] = true
		}
	}
	return false
}

// star is a random outline with walls at any angle.
func star(rng *rand.Rand) geom.Poly {
	var r geom.Ring
	n := 5 + rng.IntN(9)
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n)
		d := 15 + 35*rng.Float64()
		r = append(r, geom.Pt{X: d * math.Cos(a), Y: d * math.Sin(a)})
	}
	return geom.Poly{Outer: r.CCW()}
}

// inside is a random place in p, off its walls.
func inside(rng *rand.Rand, p geom.Poly) geom.Pt {
	box := p.Outer.Box()
	w, h := box.Size()
	for {
		q := geom.Pt{X: box.Min.X + w*rng.Float64(), Y: box.Min.Y + h*rng.Float64()}
		if p.Has(q) && p.Dist(q) > 0.01 {
			return q
		}
	}
}

// fieldCase is one random roof with its input and what its field is made from.
type fieldCase struct {
	s      *survey.Site
	in     FieldInput
	g      gauge
	drains []geom.Pt
	lines  []source
}

// randomCase gives roofs of upright blocks, every third with walls at any angle
// instead; every fourth has a sloped deck, every fifth gutters, which may stand
// off the axes; of these some slope one way. Half have a curb.
func randomCase(seed uint64) fieldCase {
	rng := rand.New(rand.NewPCG(seed, 7))
	poly := blocks(rng)
	if seed%3 == 0 {
		poly = star(rng)
	}
	a := roofArea(poly.Outer)
	a.Courts = poly.Holes
	for i := range 1 + rng.IntN(4) {
		a.Outlets = append(a.Outlets, survey.Outlet{ID: fmt.Sprint(i), Kind: survey.Drain, At: inside(rng, poly), Edge: -1})
	}
	c := fieldCase{in: quarterIn(survey.FourWay), g: evenGauge(0.25)}
	var gutters []int
	if seed%5 == 2 {
		gutters = addGutters(rng, a)
	}
	switch {
	case len(gutters) > 0 && seed%3 == 0: // gutters off the axes, alone
		a.Outlets = a.Outlets[len(a.Outlets)-len(gutters):]
	case len(gutters) > 0 && seed%2 == 0:
		c.in.Scheme = survey.OneWay
	}
	if seed%2 == 1 {
		a.Curbs = []survey.Curb{{At: inside(rng, poly), W: 3, D: 2, Turn: 20}}
	}
	zero := 0.0
	c.s = survey.SiteOf(a, &zero)
	if seed%4 == 1 {
		d := survey.Plane{CIn: 100, GX: 0.2 * (rng.Float64() - 0.5), GY: 0.5 * (rng.Float64() - 0.5)}
		c.in.Deck, c.g = d, gauge{0.25 - d.GX, 0.25 + d.GX, 0.25 - d.GY, 0.25 + d.GY, 0}
	}
	for _, o := range c.s.Outlets {
		if o.Kind == survey.Drain && c.in.Scheme == survey.FourWay {
			c.drains = append(c.drains, o.P)
		}
	}
	for _, n := range gutters {
		e := c.s.Edges[n]
		d := e.B.Sub(e.A)
		inward := geom.Pt{X: -d.Y, Y: d.X}.Mul(1 / d.Norm())
		need := 0.25 - c.in.Deck.GX*inward.X - c.in.Deck.GY*inward.Y
		c.lines = append(c.lines, source{a: e.A, b: e.B, slopeInPer: math.Max(need, c.g.riseIn(inward))})
	}
	return c
}

// addGutters makes one or two edges of an area gutters and gives their numbers.
func addGutters(rng *rand.Rand, a *survey.Area) []int {
	var out []int
	for range 1 + rng.IntN(2) {
		n := rng.IntN(len(a.Outline))
		if a.Edges[n].Kind == survey.GutterEdge {
			continue
		}
		a.Edges[n].Kind = survey.GutterEdge
		a.Outlets = append(a.Outlets, survey.Outlet{ID: fmt.Sprint("gutter ", n), Kind: survey.GutterOutlet, Edge: n})
		out = append(out, n)
	}
	return out
}

// TestFieldOf_RandomRoofs compares the facets of random roofs, some with
// courts, skew walls or a sloped deck, with the definition evaluated by hand,
// and holds them to the laws of a field.
func TestFieldOf_RandomRoofs(t *testing.T) {
	t.Logf("-fieldseed=%d", *fieldSeed)
	for n := range uint64(60) {
		seed := *fieldSeed*1000 + n
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			c := randomCase(seed)
			s := c.s
			facets, lines, _ := mustField(t, s, c.in)
			wantPartition(t, s, facets, seed)
			wantContinuous(t, facets, lines)
			h := newByHand(c)
			rng := rand.New(rand.NewPCG(seed, 8))
			for range 60 {
				p := inside(rng, s.Poly())
				if !s.OnRoof(p) {
					continue
				}
				got, ok := ThicknessAt(facets, p)
				if want := h.thickness(p); !ok || math.Abs(got-want) > 1e-6 {
					t.Fatalf("at %v: %.9g, by hand %.9g", p, got, want)
				}
			}
		})
	}
}

// wantPartition holds facets to cover the roof once.
func wantPartition(t *testing.T, s *survey.Site, facets []Facet, seed uint64) {
	t.Helper()
	sum := 0.0
	for i, f := range facets {
		sum += f.Poly.Area()
		if f.ID != i+1 || f.Poly.Outer.SignedArea() <= 0 {
			t.Errorf("facet %d: ID %d, area %g", i, f.ID, f.Poly.Outer.SignedArea())
		}
		if a, b, bad := geom.Crossing(f.Poly.Rings()...); bad {
			t.Errorf("facet %d crosses itself: %v %v", f.ID, a, b)
		}
	}
	want := s.Poly().Area()
	for _, c := range s.Curbs {
		in, err := geom.Intersect(geom.Poly{Outer: c}, s.Poly())
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range in {
			want -= p.Area() // a curb may stand across a wall
		}
	}
	if math.Abs(sum-want) > 1e-6*want {
		t.Errorf("facets cover %.9g of %.9g sq ft", sum, want)
	}
	rng := rand.New(rand.NewPCG(seed, 9))
	for range 100 {
		p := inside(rng, s.Poly())
		if !s.OnRoof(p) {
			continue
		}
		in, near := 0, false
		for _, f := range facets {
			near = near || f.Poly.Dist(p) < 1e-6
			if f.Poly.Has(p) {
				in++
			}
		}
		if in != 1 && !near {
			t.Errorf("%v lies in %d facets", p, in)
		}
	}
}

// wantContinuous holds all facets that touch a line to one thickness there,
// and the Lipschitz law: no facet is steeper than its steepest board.
func wantContinuous(t *testing.T, facets []Facet, lines []Line) {
	t.Helper()
	for _, l := range lines {
		for _, p := range []geom.Pt{l.A, l.A.Lerp(l.B, 0.5), l.B} {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, f := range facets {
				if f.Poly.Dist(p) < 1e-9 {
					lo, hi = math.Min(lo, f.Plane.At(p)), math.Max(hi, f.Plane.At(p))
				}
			}
			if hi-lo > 1e-7 {
				t.Errorf("%s at %v: thickness %.9g to %.9g", l.Kind, p, lo, hi)
			}
		}
	}
}

// TestFieldOf_RandomLaws turns, mirrors and shifts random areas: the facets
// are as many, their volume the same.
func TestFieldOf_RandomLaws(t *testing.T) {
	t.Logf("-fieldseed=%d", *fieldSeed)
	ways := map[string]func(geom.Pt) geom.Pt{
		"turned":   func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} },
		"mirrored": func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} },
		"shifted":  func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + 1234.5, Y: p.Y - 777.25} },
	}
	for n := range uint64(12) {
		rng := rand.New(rand.NewPCG(*fieldSeed*1000+n, 7))
		poly := blocks(rng)
		drains := []geom.Pt{inside(rng, poly), inside(rng, poly)}
		design := func(f func(geom.Pt) geom.Pt) ([]Facet, []Line) {
			a := roofArea(poly.Outer.Map(f))
			for _, h := range poly.Holes {
				a.Courts = append(a.Courts, h.Map(f))
			}
			for i, d := range drains {
				a.Outlets = append(a.Outlets, survey.Outlet{ID: fmt.Sprint(i), Kind: survey.Drain, At: f(d), Edge: -1})
			}
			facets, lines, _ := mustField(t, survey.SiteOf(a, nil), quarterIn(survey.FourWay))
			return facets, lines
		}
		facets, lines := design(func(p geom.Pt) geom.Pt { return p })
		want := MeasureInsulation(facets)
		for name, f := range ways {
			other, otherLines := design(f)
			got := MeasureInsulation(other)
			if len(other) != len(facets) || len(otherLines) != len(lines) || math.Abs(got.CuFt-want.CuFt) > 1e-6 {
				t.Errorf("seed %d %s: %d facets %d lines %.9g cu ft, not %d, %d, %.9g", n, name,
					len(other), len(otherLines), got.CuFt, len(facets), len(lines), want.CuFt)
			}
		}
	}
}

// TestFieldOf_NoLowPlaces fills upright roofs from their drains: no cell holds
// water.
func TestFieldOf_NoLowPlaces(t *testing.T) {
	t.Logf("-fieldseed=%d", *fieldSeed)
	for n := range uint64(30) {
		seed := *fieldSeed*1000 + n
		c := randomCase(seed)
		if seed%3 == 0 || len(c.lines) > 0 {
			continue // walls off the axes are steps in a raster
		}
		s := c.s
		c.in.Deck, s.Curbs = survey.Plane{}, nil
		facets, _, _ := mustField(t, s, c.in)
		l := survey.LatticeOf(s, 0.5)
		onRoof := survey.RoofCells(s, l)
		z := ThicknessIn(facets, l, onRoof)
		for k, level := range filled(l, onRoof, z, c.drains) {
			if onRoof[k] && level > z[k]+1e-9 {
				t.Fatalf("seed %d: %.4f in of water at %v", seed, level-z[k], l.Centre(k%l.NX, k/l.NX))
			}
		}
	}
}

// filled raises every roof cell to where water from it reaches a drain, by
// lowering levels from above until nothing changes.
func filled(l survey.Lattice, onRoof []bool, z []float64, drains []geom.Pt) []float64 {
	out := make([]float64, len(z))
	for k := range out {
		out[k] = math.Inf(1)
		if nearAny(drains, l.Centre(k%l.NX, k/l.NX)) {
			out[k] = z[k]
		}
	}
	for again := true; again; {
		again = false
		for n := range 2 * len(out) {
			k := n
			if n >= len(out) {
				k = 2*len(out) - 1 - n
			}
			for d := range 9 {
				i, j := k%l.NX+d%3-1, k/l.NX+d/3-1
				if !onRoof[k] || !l.Holds(i, j) || !onRoof[j*l.NX+i] {
					continue
				}
				if level := math.Max(z[k], out[j*l.NX+i]); level < out[k]-1e-12 {
					out[k], again = level, true
				}
			}
		}
	}
	return out
}

func nearAny(ps []geom.Pt, q geom.Pt) bool {
	for _, p := range ps {
		if p.Dist(q) < 1 {
			return true
		}
	}
	return false
}

// BenchmarkFieldOf designs rows of drains on rectangles, and a roof of many
// corners.
func BenchmarkFieldOf(b *testing.B) {
	for _, n := range []int{2, 10, 30} {
		b.Run(fmt.Sprintf("%d drains", n), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, uint64(n)))
			w := float64(40 * n / 2)
			var drains []geom.Pt
			for range n {
				drains = append(drains, geom.Pt{X: w * rng.Float64(), Y: 80 * rng.Float64()})
			}
			s := roof(rect(w, 80), drains...)
			for b.Loop() {
				mustField(b, s, quarterIn(survey.FourWay))
			}
		})
	}
	for _, teeth := range []int{8, 30, 120} {
		b.Run(fmt.Sprintf("30 drains, comb of %d corners", 4*teeth), func(b *testing.B) {
			s := comb(teeth, 30)
			for b.Loop() {
				mustField(b, s, quarterIn(survey.FourWay))
			}
		})
	}
}

// comb is a long roof with teeth along one wall and drains in its back.
func comb(teeth, drains int) *survey.Site {
	r := geom.Ring{{X: 0, Y: 0}, {X: float64(10 * teeth), Y: 0}}
	for i := teeth - 1; i >= 0; i-- {
		x := float64(10 * i)
		r = append(r, geom.Pt{X: x + 10, Y: 40}, geom.Pt{X: x + 5, Y: 40}, geom.Pt{X: x + 5, Y: 30}, geom.Pt{X: x, Y: 30})
	}
	var at []geom.Pt
	for i := range drains {
		at = append(at, geom.Pt{X: float64(10*teeth) * (float64(i) + 0.4) / float64(drains), Y: 8 + float64(i%7)})
	}
	return roof(r, at...)
}
