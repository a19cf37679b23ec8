package drainage

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"runnel/survey/geom"
)

// TestPublished_Slope: the 3 x 3 rule of third-order finite differences (Horn
// 1981) is the mean of the planes through the four squares of cells round the
// middle one. 15 values on a 10 m grid, to 0.002 degree.
func TestPublished_Slope(t *testing.T) {
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the published raster problems are not tried")
	}
	text, err := os.ReadFile(filepath.Join(dir, "terrain", "slope_7x6_degrees.json"))
	if err != nil {
		t.Skipf("%v: the published raster problem is not tried", err)
	}
	var p struct {
		CellM     float64      `json:"cell_m"`
		Z         [][]*float64 `json:"z_m"`
		Slope     [][]float64  `json:"slope_degrees_rows_1_to_5_cols_1_to_3"`
		Tolerance float64      `json:"tolerance_degrees"`
	}
	if err := json.Unmarshal(text, &p); err != nil {
		t.Fatal(err)
	}
	const cols = 5 // the last column has no data
	s, surf := roofOf(t, box(cols, float64(len(p.Z))), nil, 1, func(geom.Pt) float64 { return 0 })
	for k := range surf.ElevIn {
		surf.ElevIn[k] = *p.Z[k/cols][k%cols]
	}
	c := &check{site: s, surf: surf}
	for j, row := range p.Slope {
		for i, want := range row {
			var gx, gy float64
			for q := range 4 {
				f := c.planeOverFull((j+q/2)*cols+i+q%2, 2, 2)
				gx, gy = gx+f.gx/4, gy+f.gy/4
			}
			got := math.Atan(math.Hypot(gx, gy)/p.CellM) * 180 / math.Pi
			within(t, "slope", got, want, p.Tolerance)
		}
	}
}
