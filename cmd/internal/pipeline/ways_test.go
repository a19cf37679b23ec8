package pipeline

import (
	"testing"

	"runnel/drainage"
	"runnel/survey/geom"
)

// TestPathsEndWhereAreasSay_Jobs: on every job each path, on the roof as it is
// and finished, ends at the outlet whose drainage area holds its start, if need
// be over ponds; starts within two feet of that outlet's area lie at a border,
// where the water of a cell is shared.
func TestPathsEndWhereAreasSay_Jobs(t *testing.T) {
	starts, other, off := 0, 0, 0
	for _, name := range jobNames {
		for _, a := range runJob(t, readJob(t, name)).Areas {
			reports := []*drainage.Report{a.Existing}
			if a.Proof != nil {
				reports = append(reports, a.Proof.Report)
			}
			for _, r := range reports {
				for _, p := range r.Paths {
					outlet := endOf(r, p.EndsAt)
					if starts++; takes(r, outlet, p.Points[0], 0) {
						continue
					}
					if other++; !takes(r, outlet, p.Points[0], 2) {
						off++
						t.Logf("%s: path %s from %v ends at %s", name, p.ID, p.Points[0], p.EndsAt)
					}
				}
			}
		}
	}
	t.Logf("%d paths, %d end elsewhere, %d of them off every border", starts, other, off)
	if starts < 500 || float64(other) > 0.01*float64(starts) || off > 0 {
		t.Errorf("%d paths, %d end elsewhere, %d of them off every border", starts, other, off)
	}
}

// endOf is the outlet that water ends at after the ponds it runs over.
func endOf(r *drainage.Report, id string) string {
	for range r.Ponds {
		for _, p := range r.Ponds {
			if p.ID == id {
				id = p.SpillsTo
			}
		}
	}
	return id
}

// takes says whether the area of an outlet holds a place or comes within nearFt
// of it; no outlet takes what is closed in.
func takes(r *drainage.Report, outlet string, at geom.Pt, nearFt float64) bool {
	for _, d := range r.Areas {
		if d.Outlet != outlet {
			continue
		}
		for _, poly := range d.Regions {
			for _, dx := range []float64{-nearFt, 0, nearFt} {
				for _, dy := range []float64{-nearFt, 0, nearFt} {
					if poly.Has(at.Add(geom.Pt{X: dx, Y: dy})) {
						return true
					}
				}
			}
		}
	}
	return outlet == "" && !anyTakes(r, at)
}

func anyTakes(r *drainage.Report, at geom.Pt) bool {
	for _, d := range r.Areas {
		for _, poly := range d.Regions {
			if poly.Has(at) {
				return true
			}
		}
	}
	return false
}
