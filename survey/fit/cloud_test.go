package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// cloudRoof is a roof of 120 x 90 ft that falls 1/8 in/ft, with two dishes of
// 1.5 in round drains, as a truth for point clouds.
func cloudRoof() (survey.Area, func(p geom.Pt) float64) {
	a := survey.Area{Name: "A", Outline: rect(0, 0, 120, 90)}
	return a, func(p geom.Pt) float64 {
		dish := func(x, y float64) float64 {
			d2 := (p.X-x)*(p.X-x) + (p.Y-y)*(p.Y-y)
			return -1.5 * math.Exp(-d2/(2*8*8))
		}
		return 1200 + p.X/8 + dish(30, 45) + dish(90, 40)
	}
}

// scanned scatters n points over the box of an area and 4 ft beyond, at z with
// noise, and gives them as a cloud about the box's middle.
func scanned(a survey.Area, rng *rand.Rand, n int, noiseIn float64, z func(p geom.Pt) float64) *survey.Cloud {
	b := grown(a.Outline.Box(), 4)
	w, h := b.Size()
	c := &survey.Cloud{File: "roof.las", Origin: b.Centre(), ZeroFt: 100, InFile: n}
	for range n {
		p := geom.Pt{X: b.Min.X + w*rng.Float64(), Y: b.Min.Y + h*rng.Float64()}
		d := p.Sub(c.Origin)
		c.Pts = append(c.Pts, survey.CloudPt{X: float32(d.X), Y: float32(d.Y),
			Z: float32((z(p)+noiseIn*rng.NormFloat64())/12 - c.ZeroFt)})
	}
	return c
}

func shotsOf(t testing.TB, a survey.Area) (survey.Area, *CloudReport) {
	t.Helper()
	out, r, err := CloudShots(t.Context(), a, CloudOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Check(); err != nil {
		t.Fatal(err)
	}
	return out, r
}

// shotMiss is the root mean square and the worst of the cells' medians off f.
func shotMiss(a survey.Area, f func(p geom.Pt) float64) (rms, worst float64) {
	n := 0.0
	for _, s := range a.Shots {
		if s.FromCloud && s.Left == "" {
			d := math.Abs(s.Elev.Inches() - f(s.At))
			rms, worst, n = rms+d*d, math.Max(worst, d), n+1
		}
	}
	return math.Sqrt(rms / n), worst
}

// things is what stands on the roof of a story: boxes with their height in
// inches.
type things []struct {
	box  geom.Ring
	high float64
}

func (t things) on(z func(p geom.Pt) float64) func(p geom.Pt) float64 {
	return func(p geom.Pt) float64 {
		for _, b := range t {
			if b.box.Has(p) {
				return z(p) + b.high
			}
		}
		return z(p)
	}
}

// The surface comes out of a cloud with everything that a roof carries on it:
// the medians are off the truth by little more than noise allows.
func TestCloudShots_Stories(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	base, roof := cloudRoof()
	units := things{{rect(20, 20, 30, 32), 50}, {rect(60, 60, 64, 64), 18}, {rect(100, 70, 112, 82), 96},
		{rect(50, 10, 52, 12), 30}}
	parapet := func(p geom.Pt) bool { return p.X < 1 || p.Y < 1 || p.X > 119 || p.Y > 89 }
	for _, c := range []struct {
		name           string
		points         int
		noiseIn        float64
		z              func(p geom.Pt) float64
		objects, edges int // -1: not asked
		mostRMS, worst float64
	}{
		{"a bare roof, 120,000 points", 120000, 0.5, roof, 0, 0, 0.24, 1.2},
		{"units on it", 120000, 0.5, units.on(roof), 4, 0, 0.24, 1.2},
		{"units, parapets of 30 in all round within the outline, ground 20 ft down outside", 120000, 0.5,
			func(p geom.Pt) float64 {
				switch {
				case !base.Outline.Has(p):
					return roof(p) - 240
				case parapet(p):
					return roof(p) + 30
				}
				return units.on(roof)(p)
			}, 4, -1, 0.24, 1.4},
		{"2 % strays from 20 ft under to 20 ft over", 120000, 0.5, func(p geom.Pt) float64 {
			if rng.Float64() < 0.02 {
				return roof(p) + 480*(rng.Float64()-0.5)
			}
			return units.on(roof)(p)
		}, 4, 0, 0.24, 1.2},
		{"a person walks along, a third of the points there on them", 120000, 0.5, func(p geom.Pt) float64 {
			if math.Abs(p.Y-45-10*math.Sin(p.X/15)) < 1 && rng.Float64() < 0.33 {
				return roof(p) + 68*rng.Float64()
			}
			return roof(p)
		}, -1, 0, 0.24, 1.4},
		{"a railing and a pipe across, 6 in wide", 120000, 0.5, func(p geom.Pt) float64 {
			if math.Abs(p.X-70) < 0.25 || math.Abs(p.Y-30) < 0.25 {
				return roof(p) + 14
			}
			return roof(p)
		}, -1, -1, 0.26, 1.4},
		{"a thin cloud, one point in 2 sq ft", 6300, 0.5, roof, 0, 0, 0.26, 1.2},
	} {
		a := base
		a.Cloud = scanned(a, rng, c.points, c.noiseIn, c.z)
		out, r := shotsOf(t, a)
		rms, worst := shotMiss(out, roof)
		objects, edges := 0, 0
		for _, o := range r.Objects {
			if o.AtEdge {
				edges++
			} else {
				objects++
			}
		}
		t.Logf("%s: %d cells of %.2f ft, rms %.3f in, worst %.2f; noise %.3f in; %d objects, %d at edges; "+
			"%d of %d used: above %d, below %d, edge %d, loose %d; empty %.0f sq ft", c.name, r.Cells, r.CellFt, rms, worst,
			r.NoiseIn, objects, edges, r.Used, r.OnArea, r.Above, r.Below, r.NearEdge, r.Loose, r.EmptySqft)
		if rms > c.mostRMS || worst > c.worst {
			t.Errorf("%s: rms %.3f in, want %.2f; worst %.2f, want %.2f", c.name, rms, c.mostRMS, worst, c.worst)
		}
		if c.objects >= 0 && objects != c.objects || c.edges >= 0 && edges != c.edges {
			t.Errorf("%s: objects %+v, want %d and %d at edges", c.name, r.Objects[:min(8, len(r.Objects))], c.objects, c.edges)
		}
		if math.Abs(r.NoiseIn-c.noiseIn) > 0.1*c.noiseIn {
			t.Errorf("%s: noise %.3f in, made with %.3f", c.name, r.NoiseIn, c.noiseIn)
		}
	}
}

// Objects have their place, size and height.
func TestCloudShots_Objects(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a, roof := cloudRoof()
	boxes := things{{rect(20, 20, 30, 32), 50}, {rect(60, 60, 66, 66), 18}, {rect(100, 70, 112, 82), 96}}
	a.Cloud = scanned(a, rng, 120000, 0.5, boxes.on(roof))
	_, r := shotsOf(t, a)
	if len(r.Objects) != len(boxes) {
		t.Fatalf("objects %+v", r.Objects)
	}
	for _, b := range boxes {
		at, sqft := b.box.Box().Centre(), b.box.Area()
		ok := slices.ContainsFunc(r.Objects, func(o CloudObject) bool {
			return o.At.Dist(at) < 0.5 && math.Abs(o.Sqft-sqft) < 0.2*sqft && math.Abs(o.HighIn-b.high) < 1.5
		})
		if !ok {
			t.Errorf("no object of %.0f sq ft, %.0f in high at %v among %+v", sqft, b.high, at, r.Objects)
		}
	}
}

// No points, no roof: half a roof stays without shots, and the fit says unknown
// there.
func TestCloudShots_HalfMissing(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a, roof := cloudRoof()
	whole := scanned(a, rng, 120000, 0.5, roof)
	half := *whole
	half.Pts = slices.DeleteFunc(slices.Clone(whole.Pts), func(p survey.CloudPt) bool { return p.X > 0 })
	a.Cloud = &half
	out, r := shotsOf(t, a)
	if math.Abs(r.EmptySqft-60*90) > 300 {
		t.Errorf("%.0f sq ft without points, want about 5,400", r.EmptySqft)
	}
	_, f := fitOf(t, &out, 1)
	unknown := 0
	for k, on := range f.Surface.Roof {
		if on && !f.Surface.IsKnown(k) {
			unknown++
		}
	}
	if unknown < 4800 || unknown > 5500 {
		t.Errorf("%d sq ft unknown, want 4,800 to 5,500", unknown)
	}
}

// What is not enough for a roof is refused plainly.
func TestCloudShots_Refused(t *testing.T) {
	nan := float32(math.NaN())
	inf := float32(math.Inf(1))
	many := func(p survey.CloudPt) []survey.CloudPt { return slices.Repeat([]survey.CloudPt{p}, 1000) }
	for _, c := range []struct {
		name string
		pts  []survey.CloudPt
	}{
		{"no points", nil},
		{"all points one", many(survey.CloudPt{X: 1, Y: 2, Z: 3})},
		{"not a number", many(survey.CloudPt{X: nan, Y: 2, Z: 3})},
		{"infinite elevations", many(survey.CloudPt{X: 1, Y: 2, Z: inf})},
		{"far away", many(survey.CloudPt{X: 1e30, Y: 2, Z: 3})},
		{"two places", append(many(survey.CloudPt{X: 1}), many(survey.CloudPt{X: 40})...)},
	} {
		a, _ := cloudRoof()
		a.Cloud = &survey.Cloud{File: "roof.las", Origin: geom.Pt{X: 60, Y: 45}, Pts: c.pts, InFile: len(c.pts)}
		if _, _, err := CloudShots(t.Context(), a, CloudOptions{}); err == nil || !strings.Contains(err.Error(), "roof.las") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	a, roof := cloudRoof()
	a.Cloud = scanned(a, seeded(t), 1000, 0.5, roof)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, _, err := CloudShots(ctx, a, CloudOptions{}); err != context.Canceled {
		t.Errorf("called off: %v", err)
	}
}

// Points that are no numbers are counted and change nothing.
func TestCloudShots_NaN(t *testing.T) {
	t.Parallel()
	a, roof := cloudRoof()
	a.Cloud = scanned(a, seeded(t), 50000, 0.5, roof)
	want, _ := shotsOf(t, a)
	with := *a.Cloud
	with.Pts = append(slices.Clone(with.Pts), survey.CloudPt{X: float32(math.NaN())}, survey.CloudPt{Z: float32(math.Inf(-1))})
	a.Cloud = &with
	got, r := shotsOf(t, a)
	if r.NoNumber != 2 || !slices.Equal(got.Shots, want.Shots) {
		t.Errorf("%d no numbers; shots the same: %v", r.NoNumber, slices.Equal(got.Shots, want.Shots))
	}
}

// sameShots compares shots after put, each with the nearest.
func sameShots(t *testing.T, name string, got, want []survey.Shot, put func(p geom.Pt) geom.Pt, raiseIn float64) {
	t.Helper()
	var at []geom.Pt
	for _, s := range got {
		at = append(at, s.At)
	}
	near := newNear(at)
	bad := 0
	for _, s := range want {
		one := near.nearest(put(s.At), 1, func(int) bool { return true })[0]
		if one.ft > 1e-4 || math.Abs(got[one.n].Elev.Inches()-s.Elev.Inches()-raiseIn) > 1e-3 {
			bad++
		}
	}
	if len(got) != len(want) || bad > 0 {
		t.Errorf("%s: %d shots for %d, %d differ", name, len(got), len(want), bad)
	}
}

// A roof that is turned by a quarter, mirrored, shifted or raised, or whose
// points come in another order, has the same cells.
func TestCloudShots_Laws(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a, roof := cloudRoof()
	boxes := things{{rect(20, 20, 30, 32), 50}, {rect(60, 60, 66, 66), 18}}
	a.Cloud = scanned(a, rng, 60000, 0.5, boxes.on(roof))
	want, rep := shotsOf(t, a)
	for _, c := range []struct {
		name  string
		turn  func(p geom.Pt) geom.Pt // of plan directions
		shift geom.Pt
		rise  float64 // ft
	}{
		{"turned", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} }, geom.Pt{}, 0},
		{"mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }, geom.Pt{}, 0},
		{"exchanged", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.Y, Y: p.X} }, geom.Pt{}, 0},
		{"shifted and raised", func(p geom.Pt) geom.Pt { return p }, geom.Pt{X: 4096, Y: -512}, 8},
	} {
		put := func(p geom.Pt) geom.Pt { return c.turn(p).Add(c.shift) }
		b := survey.Area{Name: "A", Outline: a.Outline.Map(put)}
		cloud := *a.Cloud
		cloud.Origin, cloud.ZeroFt, cloud.Pts = put(cloud.Origin), cloud.ZeroFt+c.rise, nil
		for _, p := range a.Cloud.Pts {
			q := c.turn(geom.Pt{X: float64(p.X), Y: float64(p.Y)})
			cloud.Pts = append(cloud.Pts, survey.CloudPt{X: float32(q.X), Y: float32(q.Y), Z: p.Z})
		}
		rng.Shuffle(len(cloud.Pts), func(i, j int) { cloud.Pts[i], cloud.Pts[j] = cloud.Pts[j], cloud.Pts[i] })
		b.Cloud = &cloud
		got, r := shotsOf(t, b)
		sameShots(t, c.name, got.Shots, want.Shots, put, 12*c.rise)
		if r.Used != rep.Used || r.Above != rep.Above || len(r.Objects) != len(rep.Objects) ||
			math.Abs(r.NoiseIn-rep.NoiseIn) > 1e-4 {
			t.Errorf("%s: %+v, want %+v", c.name, r, rep)
		}
	}
}

// A list of so many shots that it is a point cloud is taken up like one.
func TestCloudShots_FromAList(t *testing.T) {
	t.Parallel()
	a, roof := cloudRoof()
	a.Cloud = scanned(a, seeded(t), 50000, 0.5, roof)
	want, _ := shotsOf(t, a)
	list := a
	list.Cloud = nil
	for i, p := range a.Cloud.Pts {
		list.Shots = append(list.Shots, survey.Shot{ID: strconv.Itoa(i), File: "shots.csv", Line: i + 1,
			At:   a.Cloud.Origin.Add(geom.Pt{X: float64(p.X), Y: float64(p.Y)}),
			Elev: unit.Feet(a.Cloud.ZeroFt + float64(p.Z))})
	}
	if IsCloud(survey.Area{Outline: a.Outline, Shots: list.Shots[:4000]}) || !IsCloud(list) {
		t.Error("4,000 shots are no cloud, 50,000 are")
	}
	got, r := shotsOf(t, list)
	sameShots(t, "list", got.Shots, want.Shots, func(p geom.Pt) geom.Pt { return p }, 0)
	if r.File != "shots.csv" || r.InFile != 50000 {
		t.Errorf("report %+v", r)
	}
}

// Shots beside a cloud tell where it stands.
func TestCloudShots_Checks(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		shots   int
		offIn   float64
		wrong   int // shots 8 in off
		shifted bool
		left    int
	}{
		{"none", 0, 3, 0, false, 0},
		{"two, 3 in off", 2, 3, 0, false, 2},
		{"two that agree", 2, 0.2, 0, false, 0},
		{"five, 3 in off", 5, 3, 0, true, 0},
		{"five, a whole datum off", 5, 1200, 0, true, 0},
		{"ten, one of them wrong", 10, -2, 1, true, 1},
		{"nine, four of them wrong", 9, 0, 4, false, 4},
	} {
		rng := seeded(t)
		a, roof := cloudRoof()
		a.Cloud = scanned(a, rng, 60000, 0.5, roof)
		for n := range c.shots {
			p := geom.Pt{X: 8 + 100*rng.Float64(), Y: 8 + 70*rng.Float64()}
			off := c.offIn + 0.1*rng.NormFloat64()
			if n < c.wrong {
				off += 8
			}
			addShot(&a, p, roof(p)+off)
		}
		out, r := shotsOf(t, a)
		left := 0
		for _, s := range out.Shots {
			if s.Left != "" {
				left++
			}
		}
		k := r.Checks
		t.Logf("%s: %+v; %s", c.name, k, k.words(unit.US))
		if k.Compared != c.shots || k.Shifted != c.shifted || left != c.left || k.LeftOut != c.left ||
			len(r.Notes) != c.left || c.shots > 0 && c.wrong < 4 && math.Abs(k.OffsetIn-c.offIn) > 0.3 {
			t.Errorf("%s: %+v, %d left out, notes %v", c.name, k, left, r.Notes)
		}
		raise := 0.0
		if c.shifted {
			raise = c.offIn
		}
		rms, _ := shotMiss(out, func(p geom.Pt) float64 { return roof(p) + raise })
		if rms > 0.35 {
			t.Errorf("%s: cells are %.2f in off", c.name, rms)
		}
	}
}

// Nothing panics, and every law of the report holds, whatever the points.
func TestCloudShots_AnyPoints(t *testing.T) {
	rng := seeded(t)
	for n := range 60 {
		a := survey.Area{Name: "A", Outline: geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 5}, {X: 55, Y: 40}, {X: 20, Y: 44}},
			Courts: []geom.Ring{rect(20, 15, 28, 22)},
			Curbs:  []survey.Curb{{ID: "C", At: geom.Pt{X: 40, Y: 20}, W: 4, D: 3}}}
		a.Edges = make([]survey.Edge, 4)
		spread, high := math.Pow(10, 3*rng.Float64()-1), math.Pow(10, 6*rng.Float64()-3)
		a.Cloud = &survey.Cloud{File: "any.las", Origin: geom.Pt{X: 30, Y: 20}}
		for range rng.IntN(5000) {
			p := survey.CloudPt{X: float32(spread * rng.NormFloat64()), Y: float32(spread * rng.NormFloat64()),
				Z: float32(high * rng.NormFloat64())}
			if n%3 == 0 {
				p.Z = float32(math.Round(float64(p.Z)))
			}
			a.Cloud.Pts = append(a.Cloud.Pts, p)
		}
		out, r, err := CloudShots(t.Context(), a, CloudOptions{})
		if err != nil {
			continue
		}
		if err := r.Check(); err != nil {
			t.Fatalf("cloud %d: %v", n, err)
		}
		for _, s := range out.Shots {
			if v := s.Elev.Inches() + s.At.X + s.At.Y; math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("cloud %d: shot %+v", n, s)
			}
		}
		r.Words(unit.US)
		r.Words(unit.Metric)
	}
}

// The two real roofs from their full point clouds, objects and curbs and all:
// noise as measured apart from this project (0.87 and 0.48 in), and the six
// objects of 2 x 4 m where they were seen.
func TestCloudShots_RealRoofs(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name       string
		x0, y0, z0 float64
		noiseIn    float64
		objects    [][2]float64 // metres
	}{
		{"apartment_L", 770508.608, 6277500, 36.97, 0.87, nil},
		{"ridge_valley", 84808.3, 447412.8, 3.301, 0.48, [][2]float64{{84811, 447441}, {84818, 447440},
			{84811, 447430}, {84815, 447425}, {84830, 447424}, {84818, 447415}}},
	} {
		whole := readRoof(t, c.name, c.x0, c.y0, c.z0, math.Inf(-1), math.Inf(1))
		a := whole.area
		a.Shots = whole.cloud
		out, r := shotsOf(t, a)
		t.Logf("%s:\n\t%s", c.name, strings.Join(r.Words(unit.US), "\n\t"))
		for _, o := range r.Objects {
			m := geom.Pt{X: c.x0 + 0.3048*(o.At.X-2000), Y: c.y0 + 0.3048*(o.At.Y-5000)}
			t.Logf("\tobject at %.1f, %.1f: %.0f sq ft, %.0f in, edge %v", m.X, m.Y, o.Sqft, o.HighIn, o.AtEdge)
		}
		if math.Abs(r.NoiseIn-c.noiseIn) > 0.15*c.noiseIn {
			t.Errorf("%s: noise %.3f in, measured %.2f", c.name, r.NoiseIn, c.noiseIn)
		}
		for _, at := range c.objects {
			p := geom.Pt{X: 2000 + (at[0]-c.x0)/0.3048, Y: 5000 + (at[1]-c.y0)/0.3048}
			ok := slices.ContainsFunc(r.Objects, func(o CloudObject) bool {
				return o.At.Dist(p) < 2/0.3048 && o.Sqft > 40 && o.Sqft < 130 && o.HighIn > 30 && o.HighIn < 65
			})
			if !ok {
				t.Errorf("%s: no object of 40 to 130 sq ft near %v", c.name, at)
			}
		}
		trimmed := apartment(t)
		if c.name == "ridge_valley" {
			trimmed = ridgeValley(t)
		}
		truth := cloudMedians(trimmed.cloud)
		var at []geom.Pt
		for _, m := range truth {
			at = append(at, m.At)
		}
		near := newNear(at)
		sum, n, worst := 0.0, 0.0, 0.0
		for _, s := range out.Shots {
			one := near.nearest(s.At, 1, func(int) bool { return true })[0]
			d := s.Elev.Inches() - truth[one.n].Elev.Inches()
			sum, n, worst = sum+d*d, n+1, math.Max(worst, math.Abs(d))
		}
		t.Logf("%s: %0.f cells, rms off the nearest median of the points trimmed by hand %.3f in, worst %.2f (%s)",
			c.name, n, math.Sqrt(sum/n), worst, filepath.Base(r.File))
	}
}
