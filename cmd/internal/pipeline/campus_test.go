package pipeline

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read"
)

// TestCampus: the six real outlines of a university campus (national building
// register, source and counts in the data folder's README) with drains on a
// lattice of 80 ft, at least 5 ft inside, laid four ways on a level deck: the laws
// of the zoo hold.
func TestCampus(t *testing.T) {
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is unset: the public outlines are not there")
	}
	if testing.Short() {
		t.Skip("long: run without -short")
	}
	text := "job: {name: Campus, units: metric}\nsurvey: none\nrules: us-reroof\n" +
		"taper: {scheme: four-way, slope: 1:48, start: 20 mm, base: none}\nareas:\n"
	fsys := fstest.MapFS{}
	for _, name := range []string{"campus_roof_outlines.geojson", "campus_roof_four_courtyards.wkt"} {
		data, err := os.ReadFile(dir + "/outlines/" + name)
		if err != nil {
			t.Fatal(err)
		}
		fsys[name] = &fstest.MapFile{Data: data}
	}
	for n := range 5 {
		text += fmt.Sprintf("  - {name: B%d, outline: 'campus_roof_outlines.geojson#%d', edges: [{edge: 0, kind: open}]}\n", n+1, n+1)
	}
	text += "  - {name: W, outline: campus_roof_four_courtyards.wkt, edges: [{edge: 0, kind: open}]}\n"
	fsys["job.yaml"] = &fstest.MapFile{Data: []byte(text)}
	job, found := read.Job(fsys, "job.yaml", nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	for _, area := range job.Areas {
		t.Run(area.Name, func(t *testing.T) {
			t.Parallel()
			area.Edges, area.Outlets = make([]survey.Edge, len(area.Outline)), latticeDrains(area)
			j := *job
			j.Areas = []survey.Area{area}
			a, err := designOf(&j)
			if err != nil {
				t.Fatal(err)
			}
			zooFacets(t, area.Name, a)
			for _, p := range a.Proof.Report.Ponds {
				if p.DepthIn > 1./16 {
					t.Errorf("a pond of %.3f in over %.1f sq ft stays", p.DepthIn, p.SqFt)
				}
			}
			if strings.Contains(a.Proof.Why, "reach no outlet") {
				t.Error(a.Proof.Why)
			}
		})
	}
}

// latticeDrains puts drains on a lattice of 80 ft, where they lie 5 ft inside.
func latticeDrains(a survey.Area) []survey.Outlet {
	const stepFt, insideFt = 80, 5
	poly := geom.Poly{Outer: a.Outline, Holes: a.Courts}
	box := a.Outline.Box()
	var out []survey.Outlet
	for y := box.Min.Y + stepFt/2; y < box.Max.Y; y += stepFt {
		for x := box.Min.X + stepFt/2; x < box.Max.X; x += stepFt {
			if p := (geom.Pt{X: x, Y: y}); poly.Has(p) && poly.Dist(p) > insideFt {
				out = append(out, survey.Outlet{ID: fmt.Sprintf("D%d", len(out)+1), Kind: survey.Drain, At: p, Edge: -1})
			}
		}
	}
	if len(out) == 0 {
		c := poly.Centroid()
		out = append(out, survey.Outlet{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: math.Round(c.X), Y: math.Round(c.Y)}, Edge: -1})
	}
	return out
}
