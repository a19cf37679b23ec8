package render

import (
	"math"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// sheet is one picture in the making: the plan on one part of the paper, the
// title block, legend and tables on the other.
type sheet struct {
	res  *Result
	a    *AreaResult
	site *survey.Site
	say  say

	paper sheetPaper
	scale scaleStep
	perFt float64 // sheet inches a foot
	mid   geom.Pt // job place at the middle of the plan
	ctr   scene.Pt

	marks   []scene.Mark // fills and lines
	top     []scene.Mark // symbols' words, over all lines
	room    *scene.Room
	words   *scene.Room // the part of room that words take
	panel   []item
	legend  []item
	noNorth bool // the sheet is no plan
	second  bool // the second of two plans is being drawn
	lacks   int  // lines that found no room in the panel; set by flow
	states  bool // the state of every outlet stands beside its name

	// of placement sheets
	shade    shadeScale
	bare     []boardRow // rows whose words stand in the panel's table
	wordless int        // rows with words nowhere
}

// sheetPaper is a way to part a sheet into plan and panel, in inches.
type sheetPaper struct {
	name     string
	w, h     unit.Length
	lo, hi   scene.Pt // of the plan
	columns  []float64
	panelTop float64
	panelLow float64
	next     scene.Pt // from this plan to a second one; 0: there is none
}

// columnIn is the width of a panel column.
const columnIn = 2.4

// letters are the partings: letter on its side with the panel to the right or
// below, letter upright with the panel to the right.
func letters() []sheetPaper {
	short, long := unit.Inches(8.5), unit.Inches(11)
	const name = "letter paper"
	return []sheetPaper{
		{name, long, short, scene.Pt{X: 0.3, Y: 0.35}, scene.Pt{X: 8.13, Y: 8.15},
			[]float64{8.25}, 8.15, 0.35, scene.Pt{}},
		{name, long, short, scene.Pt{X: 0.35, Y: 3.05}, scene.Pt{X: 10.65, Y: 8.15},
			[]float64{0.45, 3.05, 5.65, 8.25}, 2.9, 0.35, scene.Pt{}},
		{name, short, long, scene.Pt{X: 0.3, Y: 0.35}, scene.Pt{X: 5.63, Y: 10.65},
			[]float64{5.75}, 10.65, 0.35, scene.Pt{}},
	}
}

// boxAt is the square round c whose sides lie r from it.
func boxAt(c scene.Pt, r float64) scene.Quad {
	return scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r}))
}

// tabloids are the partings of the sheets that hold columns of words: 17 x 11
// with so many columns to the right, or all across below, 11 x 17 with them
// below. Below, each column over two takes the panel 1.8 in higher.
func tabloids(columns int) []sheetPaper {
	short, long := unit.Inches(11), unit.Inches(17)
	const name = "11 x 17 paper"
	across := []float64{0.4, 3.12, 5.84, 8.56}
	right, high := []float64{}, 1.8*float64(columns-2)
	for n := range columns {
		right = append(right, 14.36-2.48*float64(columns-1-n))
	}
	return []sheetPaper{
		{name, long, short, scene.Pt{X: 0.25, Y: 0.35}, scene.Pt{X: 11.8 - 2.48*float64(columns-2), Y: 10.65},
			right, 10.65, 0.35, scene.Pt{}},
		{name, long, short, scene.Pt{X: 0.35, Y: 5.05 + high}, scene.Pt{X: 16.65, Y: 10.65},
			append(across[:4:4], 11.28, 14), 4.9 + high, 0.35, scene.Pt{}},
		{name, short, long, scene.Pt{X: 0.35, Y: 6.35 + high}, scene.Pt{X: 10.65, Y: 16.65},
			across, 6.2 + high, 0.35, scene.Pt{}},
	}
}

// pairs are the partings for two plans of one roof: side by side or one above
// the other on 11 x 17 paper.
func pairs() []sheetPaper {
	short, long := unit.Inches(11), unit.Inches(17)
	const name = "11 x 17 paper"
	across := []float64{0.4, 3.12, 5.84, 8.56}
	return []sheetPaper{
		{name: name, w: long, h: short, lo: scene.Pt{X: 0.25, Y: 0.35}, hi: scene.Pt{X: 7.15, Y: 10.65},
			columns: []float64{14.36}, panelTop: 10.65, panelLow: 0.35, next: scene.Pt{X: 7}},
		{name: name, w: long, h: short, lo: scene.Pt{X: 0.25, Y: 5.55}, hi: scene.Pt{X: 14.2, Y: 10.65},
			columns: []float64{14.36}, panelTop: 10.65, panelLow: 0.35, next: scene.Pt{Y: -5.2}},
		{name: name, w: short, h: long, lo: scene.Pt{X: 0.35, Y: 10.1}, hi: scene.Pt{X: 10.65, Y: 16.65},
			columns: across, panelTop: 3.2, panelLow: 0.35, next: scene.Pt{Y: -6.65}},
	}
}

// toNext goes on to the second plan of the sheet. What the first has put into
// the legend stays.
func (s *sheet) toNext() {
	d := s.paper.next
	s.paper.lo, s.paper.hi, s.ctr = s.paper.lo.Add(d), s.paper.hi.Add(d), s.ctr.Add(d)
	s.paper.next, s.second = d.Mul(-1), true
}

// margins is what is kept free beside the roof, in sheet inches.
type margins struct{ left, right, low, top float64 }

// marginsOf keeps room for arrows and names where outlets at the edges let
// water go.
func marginsOf(site *survey.Site) margins {
	const bare, named = 0.13, 0.4
	m := margins{bare, bare, bare, bare}
	for _, o := range site.Outlets {
		if o.Edge < 0 || o.Edge >= len(site.Edges) {
			continue
		}
		along := site.Edges[o.Edge].B.Sub(site.Edges[o.Edge].A) // the area lies to the left
		out := site.Frame.DirToJob(geom.Pt{X: along.Y, Y: -along.X})
		switch {
		case math.Abs(out.X) > math.Abs(out.Y) && out.X < 0:
			m.left = named
		case math.Abs(out.X) > math.Abs(out.Y):
			m.right = named
		case out.Y < 0:
			m.low = named
		default:
			m.top = named
		}
	}
	return m
}

// newSheet is a letter sheet of area i.
func newSheet(r *Result, i int) *sheet { return newSheetOn(r, i, letters()) }

// newSheetOn chooses the paper on which the area stands at the largest usual
// scale; among equals the first.
func newSheetOn(r *Result, i int, papers []sheetPaper) *sheet {
	a := &r.Areas[i]
	s := &sheet{res: r, a: a, site: a.Site, say: say{unit.US}}
	if r.Job != nil {
		s.say.sys = r.Job.Units
	}
	if s.site == nil {
		s.site = survey.SiteOf(&a.Area, nil)
	}
	box := a.Area.Outline.Box()
	w, h := box.Size()
	s.mid = box.Centre()
	m := marginsOf(s.site)
	for _, p := range papers {
		if a.Fit == nil {
			p.hi.Y -= bannerIn
		}
		step := scaleFor(s.say.sys, w, h,
			p.hi.X-p.lo.X-m.left-m.right, p.hi.Y-p.lo.Y-m.low-m.top)
		if s.perFt == 0 || step.perFt > s.perFt*(1+1e-9) {
			s.paper, s.scale, s.perFt = p, step, step.perFt
		}
	}
	s.ctr = s.paper.lo.Lerp(s.paper.hi, 0.5).Add(scene.Pt{X: (m.left - m.right) / 2, Y: (m.low - m.top) / 2})
	s.clear()
	return s
}

// clear takes everything off the plan.
func (s *sheet) clear() {
	s.room = scene.NewRoom(s.paper.w.Inches(), s.paper.h.Inches())
	s.words = scene.NewRoom(s.paper.w.Inches(), s.paper.h.Inches())
}

// at is the sheet place of a place in job feet.
func (s *sheet) at(p geom.Pt) scene.Pt {
	return scene.Pt{
		X: s.ctr.X + float64((p.X-s.mid.X)*s.perFt),
		Y: s.ctr.Y + float64((p.Y-s.mid.Y)*s.perFt),
	}
}

// loc is the sheet place of a place in the building frame.
func (s *sheet) loc(p geom.Pt) scene.Pt { return s.at(s.site.Frame.ToJob(p)) }

// dir is the sheet direction of a direction in the building frame.
func (s *sheet) dir(v geom.Pt) scene.Pt {
	j := s.site.Frame.DirToJob(v)
	if n := j.Norm(); n > 0 {
		return scene.Pt{X: j.X / n, Y: j.Y / n}
	}
	return scene.Pt{}
}

// finestIn is the least distance between two corners of a drawn line: a third
// of a dot at 150 dots an inch.
const finestIn = 0.002

// path maps places to the sheet, without those that cannot be told apart.
func (s *sheet) path(pts []geom.Pt, to func(geom.Pt) scene.Pt) []scene.Pt {
	var out []scene.Pt
	for k, p := range pts {
		q := to(p)
		if n := len(out); n > 0 && q.Sub(out[n-1]).Norm() < finestIn {
			if k == len(pts)-1 && n > 1 {
				out[n-1] = q
			}
			continue
		}
		out = append(out, q)
	}
	return out
}

// poly maps a region in the frame to the sheet.
func (s *sheet) poly(p geom.Poly) [][]scene.Pt {
	var out [][]scene.Pt
	for _, r := range p.Rings() {
		if q := s.path(r, s.loc); len(q) > 2 {
			out = append(out, q)
		}
	}
	return out
}

// polys maps regions in the frame to the rings of one shape.
func (s *sheet) polys(ps []geom.Poly) [][]scene.Pt {
	var out [][]scene.Pt
	for _, p := range ps {
		out = append(out, s.poly(p)...)
	}
	return out
}

// ringsOf maps loose rings in the frame.
func (s *sheet) ringsOf(rs []geom.Ring) [][]scene.Pt {
	var out [][]scene.Pt
	for _, r := range rs {
		if q := s.path(r, s.loc); len(q) > 2 {
			out = append(out, q)
		}
	}
	return out
}

// shape draws a filled region; one that vanishes at this scale is left out.
func (s *sheet) shape(m scene.Shape) {
	if len(m.Rings) > 0 {
		s.marks = append(s.marks, m)
	}
}

// line draws a line; one that vanishes at this scale is left out.
func (s *sheet) line(name string, pts []scene.Pt, pen scene.Pen) {
	if len(pts) > 1 {
		s.marks = append(s.marks, scene.Line{Name: name, Pts: pts, Pen: pen})
	}
}

func (s *sheet) inPlan(q scene.Quad) bool {
	lo, hi := q.Bounds()
	return lo.X >= s.paper.lo.X && lo.Y >= s.paper.lo.Y && hi.X <= s.paper.hi.X && hi.Y <= s.paper.hi.Y
}

// job is the place in job feet that lies at a place of the sheet.
func (s *sheet) job(p scene.Pt) geom.Pt {
	return geom.Pt{X: s.mid.X + (p.X-s.ctr.X)/s.perFt, Y: s.mid.Y + (p.Y-s.ctr.Y)/s.perFt}
}

// offCourts says whether the middle of q lies in no court.
func (s *sheet) offCourts(q scene.Quad) bool {
	at := s.job(q[0].Lerp(q[2], 0.5))
	for _, c := range s.a.Area.Courts {
		if c.Has(at) {
			return false
		}
	}
	return true
}

// onRoof says whether the corners and the middle of q lie on the roof, by the
// cells of the existing surface where there is one: outlines may have 1e5
// corners.
func (s *sheet) onRoof(q scene.Quad) bool {
	surface := s.existing()
	for _, p := range append(q[:], q[0].Lerp(q[2], 0.5)) {
		at := s.site.Frame.ToLocal(s.job(p))
		if surface == nil {
			if !s.site.OnRoof(at) {
				return false
			}
			continue
		}
		i, j := surface.CellOf(at)
		if !surface.Holds(i, j) || !surface.Roof[j*surface.NX+i] {
			return false
		}
	}
	return true
}

// stride is how many cells of l are taken as one so that the squares of a
// contour stay no smaller than people can see.
func (s *sheet) stride(l survey.Lattice) int {
	const leastIn = 0.025
	return max(1, int(math.Ceil(leastIn/(l.CellFt*s.perFt)-1e-9)))
}

// scene puts the parts together: plan, words, panel.
func (s *sheet) scene() scene.Scene {
	out := scene.Scene{W: s.paper.w, H: s.paper.h}
	out.Marks = append(out.Marks, s.marks...)
	out.Marks = append(out.Marks, s.top...)
	out.Marks = append(out.Marks, s.frame()...)
	out.Marks = append(out.Marks, s.flow()...)
	return out
}

// frame is the border of the plan, or of both.
func (s *sheet) frame() []scene.Mark {
	lo, hi := s.paper.lo, s.paper.hi
	if s.a.Fit == nil {
		hi.Y += bannerIn
	}
	q := scene.Rect(lo, hi)
	pen := scene.Pen{WidthPt: 0.8, Ink: scene.Black()}
	marks := []scene.Mark{scene.Shape{Name: "frame", Rings: [][]scene.Pt{q[:]}, Pen: pen}}
	if s.paper.next != (scene.Pt{}) {
		other := q.Moved(s.paper.next)
		marks = append(marks, scene.Shape{Name: "frame", Rings: [][]scene.Pt{other[:]}, Pen: pen})
	}
	if s.a.Fit == nil {
		marks = append(marks, s.banner()...)
	}
	return marks
}

// bannerIn is the height of the strip that says that nothing was surveyed.
const bannerIn = 0.34

func (s *sheet) banner() []scene.Mark {
	lo, hi := s.paper.lo, s.paper.hi
	q := scene.Rect(scene.Pt{X: lo.X, Y: hi.Y}, scene.Pt{X: hi.X, Y: hi.Y + bannerIn})
	return []scene.Mark{
		scene.Shape{Name: "banner", Rings: [][]scene.Pt{q[:]}, Fill: scene.Grey(0.88),
			Pen: scene.Pen{WidthPt: 1.5, Ink: scene.Black()}},
		scene.Text{Name: "banner", Words: "NOT SURVEYED - LEVEL DECK ASSUMED", Bold: true,
			At: q[0].Lerp(q[2], 0.5), SizePt: 13, Across: 0.5, Up: 0.5, Ink: scene.Black()},
	}
}
