package fit

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// rect is a rectangle as an outline.
func rect(x0, y0, x1, y1 float64) geom.Ring {
	return geom.Box{Min: geom.Pt{X: x0, Y: y0}, Max: geom.Pt{X: x1, Y: y1}}.Ring()
}

// gridShots puts shots on a grid over an area, half a step in from the lower
// left corner of its box, at f inches.
func gridShots(a *survey.Area, stepFt float64, f func(p geom.Pt) float64) {
	b := a.Outline.Box()
	poly := geom.Poly{Outer: a.Outline, Holes: a.Courts}
	for y := b.Min.Y + stepFt/2; y < b.Max.Y; y += stepFt {
		for x := b.Min.X + stepFt/2; x < b.Max.X; x += stepFt {
			if p := (geom.Pt{X: x, Y: y}); poly.Has(p) {
				addShot(a, p, f(p))
			}
		}
	}
}

func addShot(a *survey.Area, p geom.Pt, zIn float64) {
	n := len(a.Shots) + 1
	a.Shots = append(a.Shots, survey.Shot{ID: strconv.Itoa(n), At: p, Elev: unit.Inches(zIn),
		File: "shots.csv", Line: n + 1})
}

// screenUS screens an area of a job in feet and inches without set-ups.
func screenUS(a survey.Area) (survey.Area, problem.List) {
	return Screen(&survey.Job{Units: unit.US}, a)
}

// fitOf fits an area on the cells asked for, in job axes where it can.
func fitOf(t testing.TB, a *survey.Area, cellFt float64) (*survey.Site, *Result) {
	t.Helper()
	s := survey.SiteOf(a, nil)
	r, err := Fit(t.Context(), s, survey.LatticeOf(s, cellFt), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Check(); err != nil {
		t.Fatal(err)
	}
	return s, r
}

// misfit gives the rms and the greatest difference of a surface to f, a height
// in inches over job places, on its known roof cells.
func misfit(s *survey.Site, surf *survey.Surface, f func(p geom.Pt) float64) (rms, worst float64) {
	n := 0.0
	for k, on := range surf.Roof {
		if on && surf.IsKnown(k) {
			d := surf.ElevIn[k] - f(s.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX)))
			rms += d * d
			worst = math.Max(worst, math.Abs(d))
			n++
		}
	}
	return math.Sqrt(rms / n), worst
}

// franke is the test surface of R. Franke, "A critical comparison of some
// methods for interpolation of scattered data", NPS-53-79-003, 1979, on the
// unit square.
func franke(x, y float64) float64 {
	sq := func(v float64) float64 { return v * v }
	return 0.75*math.Exp(-(sq(9*x-2)+sq(9*y-2))/4) +
		0.75*math.Exp(-sq(9*x+1)/49-(9*y+1)/10) +
		0.5*math.Exp(-(sq(9*x-7)+sq(9*y-3))/4) -
		0.2*math.Exp(-sq(9*x-4)-sq(9*y-7))
}

// peaks is the well-known test surface of numerical software.
func peaks(x, y float64) float64 {
	return 3*(1-x)*(1-x)*math.Exp(-x*x-(y+1)*(y+1)) -
		10*(x/5-x*x*x-math.Pow(y, 5))*math.Exp(-x*x-y*y) -
		math.Exp(-(x+1)*(x+1)-y*y)/3
}

// seeded gives a source of chance and prints its seed.
func seeded(t testing.TB) *rand.Rand {
	t.Helper()
	seed := uint64(1)
	if s := os.Getenv("RUNNEL_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatalf("RUNNEL_SEED: %v", err)
		}
		seed = v
	}
	t.Logf("RUNNEL_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 0))
}

// roofData is the folder of real roofs; the test is skipped where it is not.
func roofData(t testing.TB) string {
	t.Helper()
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the real roofs are not tried")
	}
	return filepath.Join(dir, "roofs")
}

// realRoof is a real roof with its grid shots and its whole point cloud, in
// local feet and inches.
type realRoof struct {
	area  survey.Area // with the grid shots
	cloud []survey.Shot
}

// readRoof reads one of the two real roofs; x0, y0, z0 are the origin of the
// local coordinates in metres, zLo to zHi the window of the roof surface.
func readRoof(t testing.TB, name string, x0, y0, z0, zLo, zHi float64) realRoof {
	t.Helper()
	dir := roofData(t)
	const ft = 0.3048
	var r realRoof
	var gj struct {
		Features []struct {
			Geometry struct{ Coordinates [][][2]float64 }
		}
	}
	raw, err := os.ReadFile(filepath.Join(dir, name+"_roof_outline.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &gj); err != nil {
		t.Fatal(err)
	}
	ring := gj.Features[0].Geometry.Coordinates[0]
	for _, c := range ring[:len(ring)-1] {
		r.area.Outline = append(r.area.Outline, geom.Pt{X: 2000 + (c[0]-x0)/ft, Y: 5000 + (c[1]-y0)/ft})
	}
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	f, err := os.Open(filepath.Join(dir, name+"_roof_shots_pnezd_ft.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		addShot(&r.area, geom.Pt{X: num(row[2]), Y: num(row[1])}, 12*num(row[3]))
	}
	matches, err := filepath.Glob(filepath.Join(dir, name+"_roof_points.*"))
	if err != nil || len(matches) != 1 {
		t.Fatalf("point cloud of %s: %v %v", name, matches, err)
	}
	raw, err = os.ReadFile(matches[0])
	if err != nil {
		t.Fatal(err)
	}
	var cloud survey.Area
	for line := range strings.Lines(string(raw)) {
		c := strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ' ' || r == '\n' || r == '\r' })
		if len(c) != 3 || c[0] == "x" {
			continue
		}
		if z := num(c[2]); z > zLo && z < zHi {
			p := geom.Pt{X: 2000 + (num(c[0])-x0)/ft, Y: 5000 + (num(c[1])-y0)/ft}
			addShot(&cloud, p, 12*(100+(z-z0)/ft))
		}
	}
	r.cloud = cloud.Shots
	return r
}

func apartment(t testing.TB) realRoof {
	return readRoof(t, "apartment_L", 770508.608, 6277500, 36.97, 36.88, 37.16)
}

func ridgeValley(t testing.TB) realRoof {
	return readRoof(t, "ridge_valley", 84808.3, 447412.8, 3.301, 3.22, 3.45)
}
