package pipeline

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// opened is a job run with open edges and no drains, and without a design.
func opened(job *survey.Job) *survey.Job {
	out := *job
	out.Taper = nil
	out.Areas = append([]survey.Area(nil), job.Areas...)
	for i := range out.Areas {
		a := &out.Areas[i]
		a.Edges, a.Outlets = make([]survey.Edge, len(a.Outline)), nil
		for n := range a.Edges {
			a.Edges[n] = survey.Edge{Kind: survey.OpenEdge}
			a.Outlets = append(a.Outlets, survey.Outlet{
				ID: a.Name + "-" + string(rune('0'+n)), Kind: survey.OpenOutlet, Edge: n})
		}
	}
	return &out
}

// basinsL are the three low spots of the real L roof, measured apart from this
// project on a 0.5 m median grid of the full laser points filled over open
// edges, rewritten into the frame of the shots: area in sq m, depth in m,
// deepest place in EPSG:2154.
var basinsL = []struct {
	areaSqM, depthM, x, y float64
}{
	{138, 0.07, 770533.9, 6277529.2},
	{123, 0.09, 770524.9, 6277513.8},
	{93, 0.06, 770520.9, 6277542.8},
}

// placeL puts a place of EPSG:2154 into the frame of the L roof's shots.
func placeL(x, y float64) geom.Pt {
	return geom.Pt{X: 2000 + (x-770508.608)/0.3048, Y: 5000 + (y-6277500)/0.3048}
}

// TestBasinsOfTheLRoof: drained over open edges, each low spot that was
// measured on the full laser points is met by a pond of the 84 shots whose
// deepest place lies within 25 ft: two shot spacings and noise.
func TestBasinsOfTheLRoof(t *testing.T) {
	r := runJob(t, opened(readJob(t, "apartment-l")))
	for _, b := range basinsL {
		want := placeL(b.x, b.y)
		p, far := nearestPond(&r.Areas[0], want)
		t.Logf("low spot at %.0f, %.0f: measured %.0f sq ft, %.2f in; ours %.0f ft away, %.0f sq ft, %.2f in",
			want.X, want.Y, b.areaSqM*10.7639, b.depthM*39.3701, far, p.sqft, p.depthIn)
		if far > 25 {
			t.Errorf("no pond within 25 ft of %.1f, %.1f: the nearest lies %.1f ft off", want.X, want.Y, far)
		}
	}
}

type pondFigures struct{ sqft, depthIn float64 }

func nearestPond(a *render.AreaResult, want geom.Pt) (pondFigures, float64) {
	best, far := pondFigures{}, math.Inf(1)
	for _, p := range a.Existing.Ponds {
		if d := a.Site.Frame.ToJob(p.Deepest).Dist(want); d < far {
			best, far = pondFigures{p.SqFt, p.DepthIn}, d
		}
	}
	return best, far
}

// TestBasinsOfTheLRoofFromAllPoints: from the full laser points the same low
// spots come out within 5 ft, their areas within 15 % and their depths within
// 1/4 in of what was measured apart from this project.
func TestBasinsOfTheLRoofFromAllPoints(t *testing.T) {
	data := os.Getenv("RUNNEL_DATA")
	if data == "" {
		t.Skip("RUNNEL_DATA is not set: the full laser points are not in the repository")
	}
	job := opened(readJob(t, "apartment-l"))
	job.Areas[0].Shots = pointsL(t, filepath.Join(data, "roofs", "apartment_L_roof_points.csv"))
	r := runJob(t, job)
	for _, b := range basinsL {
		want := placeL(b.x, b.y)
		p, far := nearestPond(&r.Areas[0], want)
		sqft, depthIn := b.areaSqM*10.7639, b.depthM*39.3701
		t.Logf("low spot at %.0f, %.0f: measured %.0f sq ft, %.2f in; ours %.1f ft away, %.0f sq ft, %.2f in",
			want.X, want.Y, sqft, depthIn, far, p.sqft, p.depthIn)
		if far > 5 {
			t.Errorf("the nearest pond lies %.1f ft off, want 5", far)
		}
		if math.Abs(p.sqft-sqft) > 0.15*sqft {
			t.Errorf("area %.0f sq ft, want %.0f within 15 %%", p.sqft, sqft)
		}
		if math.Abs(p.depthIn-depthIn) > 0.25 {
			t.Errorf("depth %.2f in, want %.2f within 1/4", p.depthIn, depthIn)
		}
	}
}

// pointsL reads the laser points of the roof surface alone: those between
// 36.88 and 37.16 m, since vents and housings stand above.
func pointsL(t *testing.T, path string) []survey.Shot {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var shots []survey.Shot
	for i, row := range rows[1:] {
		var v [3]float64
		for k := range v {
			if v[k], err = strconv.ParseFloat(row[k], 64); err != nil {
				t.Fatal(err)
			}
		}
		if v[2] > 36.88 && v[2] < 37.16 {
			shots = append(shots, survey.Shot{ID: strconv.Itoa(i + 1), At: placeL(v[0], v[1]),
				Elev: 100*unit.Foot + unit.Metres(v[2]-36.97), File: path, Line: i + 2})
		}
	}
	return shots
}
