package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// TestCheck_AreasSumToTheRoof: what the outlets take sums to the roof, also
// where cells at walls are covered in part: a turned roof, sizes that are no
// whole cells, metres, a court, a curb. Areas by the formulas beside them.
func TestCheck_AreasSumToTheRoof(t *testing.T) {
	l := geom.Ring{{X: -50, Y: -40}, {X: 50, Y: -40}, {X: 50, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 40}, {X: -50, Y: 40}}
	court := geom.Box{Min: geom.Pt{X: 6.3, Y: -5.2}, Max: geom.Pt{X: 17.4, Y: 4.9}}.Ring()
	const m = 1 / 0.3048
	for _, c := range []struct {
		name          string
		outline       geom.Ring
		courts, curbs []geom.Ring
		deg, sqft     float64
	}{
		{"whole cells", box(60, 40), nil, nil, 0, 60 * 40},
		{"27.4 x 15.3 m", box(27.4*m, 15.3*m), nil, nil, 0, 27.4 * m * 15.3 * m},
		{"turned by 33 degrees", box(60, 40), nil, nil, 33, 60 * 40},
		{"L turned by 33 degrees", l, nil, nil, 33, 100*50 + 60*30},
		{"court", box(60.3, 40.7), []geom.Ring{court.Reversed()}, nil, 0, 60.3*40.7 - 11.1*10.1},
		{"curb, turned", box(60.3, 40.7), nil, []geom.Ring{court}, 12, 60.3*40.7 - 11.1*10.1},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := geom.Frame{Turn: c.deg * math.Pi / 180}
			at := []geom.Pt{f.ToJob(geom.Pt{X: -15}), f.ToJob(geom.Pt{X: 22, Y: -10})}
			s, _ := roofOf(t, c.outline.Map(f.ToJob), []survey.Outlet{drainAt("D1", at[0]), drainAt("D2", at[1])},
				0.5, func(geom.Pt) float64 { return 0 })
			for _, r := range c.courts {
				s.Courts = append(s.Courts, r.Map(f.ToJob))
			}
			for _, r := range c.curbs {
				s.Curbs = append(s.Curbs, r.Map(f.ToJob))
			}
			r := checked(t, s, surfaceOf(s, 0.5, func(p geom.Pt) float64 {
				return 0.25 * math.Min(p.Dist(at[0]), p.Dist(at[1]))
			}), usual(t))
			within(t, "roof", r.RoofSqft, c.sqft, 1e-6*c.sqft)
			within(t, "sum", r.Areas[0].SqFt+r.Areas[1].SqFt, c.sqft, 1e-6*c.sqft)
			for _, a := range r.Areas {
				if a.SqFt < c.sqft/5 {
					t.Errorf("%s takes %g of %g sq ft", a.Outlet, a.SqFt, c.sqft)
				}
			}
			if r.cellsSqft() == r.RoofSqft && fmt.Sprint(c.deg, c.sqft) != "0 2400" {
				t.Error("no cell is covered in part: the test shows nothing")
			}
		})
	}
}

// TestCheck_AreasWithoutARoofArea: a site without an outline of its own counts
// cells whole.
func TestCheck_AreasWithoutARoofArea(t *testing.T) {
	s, surf := roofOf(t, box(20, 20), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0))
	s.Outline = nil
	r := checked(t, s, surf, usual(t))
	within(t, "roof", r.RoofSqft, 400, 1e-9)
	within(t, "D1", r.Areas[0].SqFt, 400, 1e-9)
}

// TestDownFacet_Shares: Tarboton 1997 splits the water that runs at 30 degrees
// between the neighbours at 0 and 45 by the angles, 1/3 and 2/3. Ours splits it
// by where it passes between their middles, tan 30 = 0.577: so much of two steps
// leads on at 30 degrees, where 2/3 leads at atan(2/3), 3.7 degrees off.
func TestDownFacet_Shares(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	var z [9]float64
	for n := range z {
		z[n] = 10 - 0.25*(cos*float64(n%3-1)+sin*float64(1-n/3))
	}
	p, toB, _, ok := facetOf(t, z)
	if !ok {
		t.Fatal("no way down")
	}
	deg := math.Atan2(p.Y, p.X) * 180 / math.Pi
	within(t, "by angle to the one across the corner", deg/45, 2./3, 1e-6)
	within(t, "by place", toB, math.Tan(math.Pi/6), 1e-6)
	within(t, "led on by place", math.Atan(toB)*180/math.Pi, 30, 1e-5)
	within(t, "led on by angle", math.Atan(deg/45)*180/math.Pi, 33.690, 1e-3)
}
