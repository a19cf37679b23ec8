package fit

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// Shots beside a cloud. Common practice, no source.
const (
	leastChecks  = 3    // that a cloud is shifted by
	checkCells   = 2.5  // cells: from how far the cloud speaks for a shot
	checkLeastIn = 1.0  // no shot disagrees by less
	checkScales  = 4.0  // times the scatter of the checks
	checkMost    = 0.25 // share of shots that may disagree where the cloud is shifted
)

// check compares the shots of a with the cells of its cloud: each with the
// robust plane through the cells about it. The median difference is the offset;
// where at least three shots are compared and three of four agree about it, the
// cells are shifted by it, for shots are read to the job's own benchmark.
// Otherwise the cells stay where they are. Shots that then disagree by more than
// an inch and four scatters are left out, with a note each.
//
// The shots returned are those of a.
func (r *CloudReport) check(a survey.Area, site *survey.Site, c *cloudCells, cells []survey.Shot,
	sys unit.System) []survey.Shot {
	shots := slices.Clone(a.Shots)
	var which []int
	var offs []float64
	cloud := places{}
	for _, f := range c.found {
		cloud.at, cloud.zIn = append(cloud.at, f.at), append(cloud.zIn, f.zIn)
	}
	near := newNear(cloud.at)
	for i, s := range shots {
		if s.Left != "" {
			continue
		}
		if zIn, ok := cloud.levelAt(near, site.Frame.ToLocal(s.At), checkCells*c.l.CellFt); ok {
			if off := s.Elev.Inches() - zIn; !math.IsNaN(off) && !math.IsInf(off, 0) {
				which, offs = append(which, i), append(offs, off)
			}
		}
	}
	k := &r.Checks
	k.Compared = len(offs)
	if k.Compared == 0 {
		return shots
	}
	k.OffsetIn = median(slices.Clone(offs))
	var spread []float64
	for _, o := range offs {
		spread = append(spread, math.Abs(o-k.OffsetIn))
	}
	k.ScatterIn = usual(spread)
	limit := math.Max(checkLeastIn, checkScales*k.ScatterIn)
	k.Shifted = k.Compared >= leastChecks && k.agreeing(offs, limit)
	base := 0.0
	if k.Shifted {
		base = k.OffsetIn
		for i := range cells {
			cells[i].Elev += unit.Inches(base)
		}
	}
	for n, i := range which {
		if d := offs[n] - base; math.Abs(d) > limit {
			k.LeftOut++
			shots[i].Left = "disagrees with the point cloud"
			r.Notes.Add(checkNote(&shots[i], d, sys))
		}
	}
	return shots
}

// agreeing says whether enough of the differences agree.
func (k *CloudChecks) agreeing(offs []float64, limitIn float64) bool {
	out := 0
	for _, o := range offs {
		if math.Abs(o-k.OffsetIn) > limitIn {
			out++
		}
	}
	return limitIn <= aboveIn && float64(out) <= checkMost*float64(len(offs))
}

func checkNote(s *survey.Shot, offIn float64, sys unit.System) problem.Problem {
	word := "above"
	if offIn < 0 {
		word = "below"
	}
	return problem.Problem{File: s.File, Line: s.Line, Field: "shot", Value: s.ID, Grade: problem.Note,
		Why: fmt.Sprintf("stands %s %s the point cloud about it; left out",
			unit.Inches(math.Abs(offIn)).FormatThin(sys), word),
		Mend: "read it again, or look for what stood there when the cloud was taken"}
}

// levelAt is the elevation at p of the robust plane through the places within
// ft of it; false for fewer than four.
func (p places) levelAt(near *near, at geom.Pt, ft float64) (zIn float64, ok bool) {
	var pts []geom.Pt
	var z []float64
	near.within(at, ft, func(n int) { pts, z = append(pts, p.at[n]), append(z, p.zIn[n]) })
	if len(pts) < 4 {
		return 0, false
	}
	return robustPlane(pts, z).At(at), true
}

// within visits the places within ft of c.
func (n *near) within(c geom.Pt, ft float64, f func(i int)) {
	if len(n.pts) == 0 {
		return
	}
	for j := n.row(c.Y - ft); j <= n.row(c.Y+ft); j++ {
		for i := n.col(c.X - ft); i <= n.col(c.X+ft); i++ {
			for _, m := range n.bucket[j*n.nx+i] {
				if n.pts[m].Dist(c) <= ft {
					f(int(m))
				}
			}
		}
	}
}
