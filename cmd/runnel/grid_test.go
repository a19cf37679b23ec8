package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read/bare"
)

func readGridFile(t *testing.T, data []byte) []bare.Place {
	t.Helper()
	f, err := bare.Read("existing.asc", bytes.NewReader(data), bare.Options{})
	if err != nil || len(f.Problems.Faults()) > 0 || len(f.Surfaces) != 1 {
		t.Fatalf("%v, %v, %d surfaces", err, f.Problems, len(f.Surfaces))
	}
	return f.Surfaces[0].Places
}

// TestGridReadsBack: a plane over an L of 1,200 sq ft is written as a grid and
// read again; each cell's middle has the plane's elevation to half the last
// digit written.
func TestGridReadsBack(t *testing.T) {
	plane := func(p geom.Pt) float64 { return 7 + 0.02*(p.X-5000) - 0.01*(p.Y-2000) } // feet
	area := &survey.Area{Name: "L", Outline: geom.Ring{{X: 5000, Y: 2000}, {X: 5040, Y: 2000}, {X: 5040, Y: 2020},
		{X: 5020, Y: 2020}, {X: 5020, Y: 2040}, {X: 5000, Y: 2040}}}
	s := survey.SiteOf(area, nil)
	l := survey.LatticeOf(s, 0)
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	roof := 0
	for j := range l.NY {
		for i := range l.NX {
			k := j*l.NX + i
			surf.ElevIn[k] = 12 * plane(s.Frame.ToJob(l.Centre(i, j)))
			if surf.Roof[k] {
				roof++
			}
		}
	}
	var text bytes.Buffer
	if err := render.WriteASC(&text, s, surf, nil); err != nil {
		t.Fatal(err)
	}
	places := readGridFile(t, text.Bytes())
	read := 0
	for _, p := range places {
		at := geom.Pt{X: p.X, Y: p.Y}
		if !area.Outline.Has(at) {
			continue // the wall that the writer lays round the roof
		}
		read++
		if math.Abs(p.Z-plane(at)) > 0.51e-6 {
			t.Fatalf("place %+v, the plane has %.7f there", p, plane(at))
		}
	}
	if read != roof || math.Abs(float64(roof)*l.CellFt*l.CellFt-1200) > 1e-6 {
		t.Errorf("%d places and %d cells of %g ft on the roof", read, roof, l.CellFt)
	}
}

// TestGridOfARunReadsBack: the places of a written grid are the words of its
// text that are not the value of cells without data, in the same order.
func TestGridOfARunReadsBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if code, _, errOut := runnel(t, "run", jobsDir+"heron-wharf", "-o", dir); code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	data, err := os.ReadFile(filepath.Join(dir, "existing.asc"))
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields(string(data))
	var want []float64
	for _, w := range words[12:] {
		if w != words[11] {
			z, err := strconv.ParseFloat(w, 64)
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, z)
		}
	}
	places := readGridFile(t, data)
	if len(places) != len(want) || len(want) == 0 {
		t.Fatalf("%d places, want %d", len(places), len(want))
	}
	for i, p := range places {
		if p.Z != want[i] {
			t.Fatalf("place %d is %+v, want %g", i, p, want[i])
		}
	}
}
