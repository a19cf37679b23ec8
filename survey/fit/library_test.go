package fit

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"runnel/survey/geom"
)

// library reads what a public library made of the same shots: columns of
// testdata/scipy.csv after the roof, the shots and the noise. Its first line
// names the library and its version; testdata/scipy_compare.py made it.
func library(t *testing.T) (name string, rows [][]string) {
	t.Helper()
	data, err := os.ReadFile("testdata/scipy.csv")
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(data), "\n")
	rows, err = csv.NewReader(strings.NewReader(rest)).ReadAll()
	if err != nil || len(rows) != 19 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	return strings.TrimPrefix(head, "# "), rows[1:]
}

// TestCompare_PublicLibrary: on Franke's surface and on two sagging roofs, shot
// at 50, 200 and 1,000 places with and without an error of 0.12 in, the surface
// is on average at least as near to the truth as linear and thin-plate
// interpolation of a public library, the latter also smoothed as strongly as
// suits these roofs best. Ours is taken over the whole roof, linear only where it
// gives anything.
func TestCompare_PublicLibrary(t *testing.T) {
	t.Parallel()
	name, rows := library(t)
	t.Log(name)
	t.Logf("%-13s %5s %5s %8s %8s %10s %8s", "roof", "shots", "noise", "ours", "linear", "thin plate", "smoothed")
	byName := map[string]truth{}
	for _, r := range truths() {
		byName[r.name] = r
	}
	var mean [4]float64
	for _, row := range rows {
		var v [5]float64
		for i := range v {
			x, err := strconv.ParseFloat(row[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			v[i] = x
		}
		ours := byName[row[0]].offOf(t, int(v[0]), v[1])
		t.Logf("%-13s %5s %5s %8.4f %8.4f %10.4f %8.4f", row[0], row[1], row[2], ours, v[2], v[3], v[4])
		for i, x := range []float64{ours, v[2], v[3], v[4]} {
			mean[i] += x / float64(len(rows))
		}
	}
	t.Logf("%-25s %8.4f %8.4f %10.4f %8.4f", "mean", mean[0], mean[1], mean[2], mean[3])
	for i, m := range mean[1:] {
		if mean[0] > m {
			t.Errorf("ours is off by %.4f in on average, method %d of the library by %.4f", mean[0], i+1, m)
		}
	}
}

// offOf is the root mean square by which the surface of so many shots is off
// the truth, at the middles of cells of 2 ft.
func (r truth) offOf(t *testing.T, shots int, noiseIn float64) float64 {
	t.Helper()
	a := r.survey(shots, noiseIn, 1)
	s, f := fitOf(t, &a, 1)
	sum, n := 0.0, 0.0
	for y := 1.0; y < r.h; y += 2 {
		for x := 1.0; x < r.w; x += 2 {
			p := geom.Pt{X: x, Y: y}
			z, ok := f.Surface.Elevation(s.Frame.ToLocal(p))
			if !ok {
				t.Fatalf("no surface at %v", p)
			}
			sum += (z - r.heightIn(p)) * (z - r.heightIn(p))
			n++
		}
	}
	return math.Sqrt(sum / n)
}
