package render

import (
	"fmt"
	"io"
	"testing"

	"runnel/render/png"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
)

// scaledRoof is the L stretched k times, with its surface and design.
func scaledRoof(k float64) *Result {
	j := lJob()
	a := &j.Areas[0]
	by := func(p geom.Pt) geom.Pt { return p.Mul(k) }
	a.Outline = a.Outline.Map(by)
	for i := range a.Courts {
		a.Courts[i] = a.Courts[i].Map(by)
	}
	for i := range a.Outlets {
		a.Outlets[i].At = by(a.Outlets[i].At)
	}
	for i := range a.Curbs {
		a.Curbs[i].At = by(a.Curbs[i].At)
	}
	return roofOf(j, 6*k)
}

// Sheets of an L of about 2,100, 8,300 and 75,000 sq ft, 260 to 7,000 pieces:
// from the result to the PNG's last byte.
func BenchmarkSheets(b *testing.B) {
	for _, k := range []float64{0.5, 1, 3} {
		r := scaledRoof(k)
		for name, draw := range map[string]func() []scene.Scene{
			"existing":  func() []scene.Scene { return []scene.Scene{ExistingSheet(r, 0)} },
			"ponding":   func() []scene.Scene { return []scene.Scene{PondingSheet(r, 0)} },
			"slopes":    func() []scene.Scene { return []scene.Scene{SlopesSheet(r, 0)} },
			"structure": func() []scene.Scene { return []scene.Scene{StructureSheet(r, 0)} },
			"section":   func() []scene.Scene { return []scene.Scene{SectionSheets(r, 0)[0].Scene} },
			"taper":     func() []scene.Scene { return []scene.Scene{TaperSheet(r, 0)} },
			"placement": func() []scene.Scene { return []scene.Scene{PlacementSheets(r, 0)[1].Scene} },
		} {
			b.Run(fmt.Sprintf("%s/%.0f_sqft", name, survey.SiteOf(&r.Areas[0].Area, nil).RoofArea().SquareFeet()), func(b *testing.B) {
				for b.Loop() {
					for _, s := range draw() {
						if err := png.Write(io.Discard, s, 0); err != nil {
							b.Fatal(err)
						}
					}
				}
			})
		}
	}
}

// The existing sheet of surfaces of 1e4, 1e5 and 1e6 cells.
func BenchmarkExistingCells(b *testing.B) {
	for _, n := range []int{100, 316, 1000} {
		j := rectangleJob()
		j.Areas[0].Outline = geom.Box{Max: geom.Pt{X: float64(n), Y: float64(n)}}.Ring()
		j.Areas[0].Outlets[0].At = geom.Pt{X: float64(n) / 2, Y: float64(n) / 2}
		r := cellsOnly(j, n)
		b.Run(fmt.Sprintf("%d_cells", n*n), func(b *testing.B) {
			for b.Loop() {
				if err := png.Write(io.Discard, ExistingSheet(r, 0), 0); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// cellsOnly is a roof with a rippled surface of n x n cells of 1 ft and
// nothing else computed.
func cellsOnly(j *survey.Job, n int) *Result {
	site := survey.SiteOf(&j.Areas[0], nil)
	s := hillOf(n, n, 1, func(p geom.Pt) float64 { return p.Norm()/20 + ripple(p) })
	s.Frame = site.Frame
	return &Result{Job: j, Areas: []AreaResult{{Area: j.Areas[0], Site: site,
		Existing: reportOf(site, s, []geom.Pt{{X: 20, Y: 20}})}}}
}

// ripple is a wave of half an inch every 30 ft.
func ripple(p geom.Pt) float64 {
	x := p.X/30 - float64(int(p.X/30))
	y := p.Y/30 - float64(int(p.Y/30))
	return 2 * (x*(1-x) + y*(1-y))
}

// A surface of a million cells is drawn in squares that people can see, not in
// cells.
func TestExistingSheet_MillionCells(t *testing.T) {
	j := rectangleJob()
	j.Areas[0].Outline = geom.Box{Max: geom.Pt{X: 1000, Y: 1000}}.Ring()
	j.Areas[0].Outlets[0].At = geom.Pt{X: 500, Y: 500}
	s := ExistingSheet(cellsOnly(j, 1000), 0)
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	places := 0
	for _, m := range s.Marks {
		if l, ok := m.(scene.Line); ok {
			places += len(l.Pts)
		}
	}
	if places < 1000 || places > 300000 {
		t.Errorf("%d places in lines", places)
	}
}
