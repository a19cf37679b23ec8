package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/render/scene"
)

// paths draws flow paths, those that do not meet the rules first, each unless
// it runs where paths are drawn already; it gives how many are drawn.
func (s *sheet) paths(rep *drainage.Report) int {
	order := make([]int, len(rep.Paths))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := rep.Paths[a], rep.Paths[b]
		return cmp.Or(cmp.Compare(urgency(p.Verdict), urgency(q.Verdict)),
			cmp.Compare(math.Round(q.LengthFt*1e3), math.Round(p.LengthFt*1e3)))
	})
	taken := map[[2]int]bool{}
	met := map[drainage.Verdict]bool{}
	drawn := 0
	for _, k := range order {
		p := rep.Paths[k]
		line := thinned(s.path(p.Points, s.loc), 0.006)
		if length(line) < 0.06 || crowded(line, taken) {
			continue
		}
		drawn++
		met[p.Verdict] = true
		s.line("path "+p.ID+" "+p.Verdict.String(), line, verdictPen(p.Verdict))
		if m, ok := pathArrow("path "+p.ID, line, verdictPen(p.Verdict).Ink); ok {
			s.shape(m)
		}
	}
	for _, v := range []drainage.Verdict{drainage.Meets, drainage.FallsShort, drainage.TooClose, drainage.Unknown} {
		if met[v] {
			s.lineSwatch("flow path: "+s.say.verdict(v), verdictPen(v))
		}
	}
	return drawn
}

func urgency(v drainage.Verdict) int {
	switch v {
	case drainage.FallsShort:
		return 0
	case drainage.TooClose:
		return 1
	case drainage.Unknown:
		return 2
	case drainage.Meets:
		return 3
	}
	panic("render: unknown Verdict")
}

// crowded says whether most of line runs where others are drawn, and if not
// takes its way.
func crowded(line []scene.Pt, taken map[[2]int]bool) bool {
	const cellIn = 0.11
	var cells [][2]int
	for i := 1; i < len(line); i++ {
		d := line[i].Sub(line[i-1])
		for t := 0.0; t < d.Norm(); t += cellIn / 2 {
			q := line[i-1].Add(d.Mul(t / d.Norm()))
			c := [2]int{int(math.Floor(q.X / cellIn)), int(math.Floor(q.Y / cellIn))}
			if n := len(cells); n == 0 || cells[n-1] != c {
				cells = append(cells, c)
			}
		}
	}
	old := 0
	for _, c := range cells {
		if taken[c] {
			old++
		}
	}
	if len(cells) == 0 || float64(old) > 0.55*float64(len(cells)) {
		return true
	}
	for _, c := range cells {
		taken[c] = true
	}
	return false
}

// pathArrow is an arrow head on line, the way the water runs.
func pathArrow(name string, line []scene.Pt, ink colour) (scene.Shape, bool) {
	total := length(line)
	if total < 0.16 {
		return scene.Shape{}, false
	}
	rest := total * 0.6
	for i := 1; i < len(line); i++ {
		d := line[i].Sub(line[i-1])
		if n := d.Norm(); rest > n {
			rest -= n
			continue
		}
		u := d.Mul(1 / d.Norm())
		tip := line[i-1].Add(u.Mul(rest)).Add(u.Mul(0.045))
		back, wing := tip.Sub(u.Mul(0.09)), u.Left().Mul(0.036)
		return scene.Shape{Name: name + " arrow", Fill: ink, Rings: [][]scene.Pt{{tip, back.Add(wing), back.Sub(wing)}}}, true
	}
	return scene.Shape{}, false
}

// pathCounts counts all paths by verdict and says how many are drawn.
func (s *sheet) pathCounts(rep *drainage.Report, drawn int) []item {
	if len(rep.Paths) == 0 {
		return nil
	}
	n := map[drainage.Verdict]int{}
	for _, p := range rep.Paths {
		n[p.Verdict]++
	}
	out := heading(count(len(rep.Paths), "flow path"))
	for _, v := range []drainage.Verdict{drainage.Meets, drainage.FallsShort, drainage.TooClose, drainage.Unknown} {
		if n[v] > 0 {
			out = append(out, row("paths", false, cell{words: s.say.verdict(v)}, cell{right: 1.5, words: thousands(n[v])}))
		}
	}
	if drawn < len(rep.Paths) {
		out = append(out, words("paths", fmt.Sprintf("%s drawn; the rest run beside them or are too short", thousands(drawn)), bodyPt, false, 2)...)
	}
	return out
}

// verdictPen is how a path of each verdict is drawn.
func verdictPen(v drainage.Verdict) scene.Pen {
	switch v {
	case drainage.Meets:
		return scene.Pen{WidthPt: 0.9, Ink: waterInk()}
	case drainage.FallsShort:
		return scene.Pen{WidthPt: 1.8, Ink: wrongInk(), DashPt: []float64{6, 3}}
	case drainage.TooClose:
		return scene.Pen{WidthPt: 1.2, Ink: unsureInk(), DashPt: []float64{7, 2.5, 1.5, 2.5}}
	case drainage.Unknown:
		return scene.Pen{WidthPt: 1, Ink: scene.Grey(0.35), DashPt: []float64{1.2, 2.2}}
	}
	panic("render: unknown Verdict")
}
