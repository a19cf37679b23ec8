package render

import (
	"io"
	"strconv"
)

// WriteOutletsCSV writes one line for each outlet and surface of each area: how
// much roof it drains, what it has to take and does. An overflow's line is that
// of the primary outlets blocked, at the overflow rate. What is not known is
// empty; inlets are above job elevation zero.
func WriteOutletsCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "outlet", "kind", "state", "primary", "inlet_ft", "drainage_sqft", "wall_sqft", "other_sqft",
		"flow_gpm", "head_in", "capacity_gpm", "verdict", "surface", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		inlets := [2][]float64{a.InletIn, a.FinishedInletIn}
		for n, rain := range a.Rain {
			if rain == nil {
				continue
			}
			for k, f := range rain.Outlets {
				o := a.Site.Outlets[k]
				inlet := ""
				if k < len(inlets[n]) {
					inlet = decimal(inlets[n][k] / 12)
				}
				rows = append(rows, []string{a.Area.Name, f.Outlet, o.Kind.String(), o.StateWords(), strconv.FormatBool(!o.Overflow),
					inlet, orEmpty(f.SqFt), decimal(f.WallSqFt), decimal(f.OtherSqFt), orEmpty(f.Gpm), orEmpty(f.HeadIn),
					orEmpty(f.CapacityGpm), f.Verdict.String(), surfaceNames[n], a.assumed()})
			}
		}
	}
	return writeRows(w, rows)
}

// orEmpty prints a figure, nothing where it is not known.
func orEmpty(x float64) string {
	if x < 0 {
		return ""
	}
	return decimal(x)
}
