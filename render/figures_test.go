package render

import (
	"math"
	"testing"

	"runnel/survey/geom"
)

// TestGeoJSON_Figures: curbs stand where the job puts them, and the least slope
// of a path is the lesser of its field's and its valleys'.
func TestGeoJSON_Figures(t *testing.T) {
	for _, way := range tblWays {
		r := tblResult(t, way)
		plan := tblPlan(t, r)
		for n, f := range tblOfKind(plan, "curb") {
			var rings [][][2]float64
			tblDecode(t, f.Geometry.Coordinates, &rings)
			c := r.Areas[0].Area.Curbs[n]
			for _, q := range rings[0] {
				d := geom.Pt{X: q[0], Y: q[1]}.Dist(c.At)
				if math.Abs(d-math.Hypot(c.W, c.D)/2) > 1e-6 {
					t.Errorf("a corner of curb %s lies %.6f ft from its middle", c.ID, d)
				}
			}
		}
		both := 0
		for _, f := range tblOfKind(plan, "path") {
			field, hasField := f.Properties["least_field_in_per_ft"].(float64)
			valley, hasValley := f.Properties["least_valley_in_per_ft"].(float64)
			if hasField && hasValley {
				both++
				if got := f.number(t, "least_in_per_ft"); got != math.Min(field, valley) {
					t.Errorf("path %s: least %g of %g and %g", f.text("id"), got, field, valley)
				}
			}
		}
		if both == 0 {
			t.Error("no path has a field and a valley")
		}
	}
}
