package render

import (
	"fmt"
	"math"
	"strings"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey/unit"
)

// say puts measures into the words of one unit system.
type say struct{ sys unit.System }

// inches prints a thickness, depth or height: 1 1/2", 38 mm.
func (s say) inches(in float64) string { return unit.Inches(in).FormatThin(s.sys) }

// bare prints in as inches does, without its unit.
func (s say) bare(in float64) string {
	return strings.TrimSuffix(strings.TrimSuffix(s.inches(in), `"`), " mm")
}

// small names the unit of bare.
func (s say) small() string {
	if s.sys == unit.Metric {
		return "mm"
	}
	return "inches"
}

// fine prints an elevation difference of a contour, without unit: inches in
// sixteenths, to a hundredth where it is none, or whole millimetres.
func (s say) fine(in float64) string {
	if s.metric() || math.Abs(in*16-math.Round(in*16)) < 1e-6 {
		return s.bare(in)
	}
	return figure2(in)
}

// figure2 prints a number to at most two decimals.
func figure2(x float64) string {
	out := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", x), "0"), ".")
	if out == "-0" {
		return "0"
	}
	return out
}

// hundredths prints an error of the survey: 0.13 in, 3.2 mm.
func (s say) hundredths(in float64) string { return unit.Inches(in).FormatError(s.sys) }

// coarse prints an elevation difference beside a shot, without unit: inches to
// a tenth, or whole millimetres.
func (s say) coarse(in float64) string {
	if s.sys == unit.Metric {
		return s.bare(in)
	}
	if out := fmt.Sprintf("%.1f", in); out != "-0.0" {
		return out
	}
	return "0.0"
}

// run prints a plan length: 12'-3 1/2", 3.747 m.
func (s say) run(ft float64) string { return unit.Feet(ft).Format(s.sys) }

// wide prints the width of a thing on the roof, to a whole inch or millimetre:
// 10", 8'-6", 864 mm, 2.591 m.
func (s say) wide(l unit.Length) string {
	if s.metric() {
		if l.Metres() < 1 {
			return s.inches(l.Inches())
		}
		return l.Format(s.sys)
	}
	l = unit.Inches(math.Round(l.Inches()))
	if l < unit.Foot {
		return l.FormatThin(s.sys)
	}
	return l.Format(s.sys)
}

// area prints a plan area with commas.
func (s say) area(sqft float64) string {
	return withCommas(unit.SquareFeet(sqft).Format(s.sys))
}

// volume prints cubic feet or cubic metres with commas.
func (s say) volume(cuft float64) string {
	return withCommas(unit.CubicFeet(cuft).Format(s.sys))
}

// water prints standing water: 22 cu ft (165 gal), 623 L.
func (s say) water(cuft float64) string {
	v := unit.CubicFeet(cuft)
	words := v.FormatWater(s.sys)
	if !s.metric() {
		words = v.Format(s.sys) + " (" + words + ")"
	}
	return withCommas(words)
}

func (s say) metric() bool { return s.sys == unit.Metric }

// thousands prints a whole number with commas.
func thousands(n int) string {
	if n < 0 {
		return "-" + grouped(strings.TrimPrefix(fmt.Sprint(n), "-"))
	}
	return grouped(fmt.Sprint(n))
}

// slope prints a slope: 1/4 in/ft, 1:48.
func (s say) slope(v unit.Slope) string { return v.Format(s.sys) }

// verdict prints v for people.
func (s say) verdict(v drainage.Verdict) string {
	switch v {
	case drainage.Meets:
		return "meets"
	case drainage.FallsShort:
		return "falls short"
	case drainage.TooClose:
		return "too close to call"
	case drainage.Unknown:
		return "unknown"
	}
	panic("render: unknown Verdict")
}

// count prints n and its noun: 1 pond, 2 ponds.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return thousands(n) + " " + noun + "s"
}

// spot is one way to stand a label: where, which place of the words stands
// there, and their turn.
type spot struct {
	at         scene.Pt
	across, up float64
	turnDeg    float64
}

// around gives the places beside a symbol of the given radius, best first.
func around(c scene.Pt, radiusIn float64) []spot {
	r, d := radiusIn+0.03, radiusIn*0.75+0.02
	at := func(x, y, across, up float64) spot {
		return spot{c.Add(scene.Pt{X: x, Y: y}), across, up, 0}
	}
	return []spot{
		at(r, 0, 0, 0.5), at(-r, 0, 1, 0.5), at(0, r+0.02, 0.5, 0), at(0, -r, 0.5, 1),
		at(d, d, 0, 0), at(-d, d, 1, 0), at(d, -d, 0, 1), at(-d, -d, 1, 1),
	}
}

// rings gives places on growing circles round c, for labels with a leader.
func rings(c scene.Pt, fromIn, toIn float64) []spot {
	var out []spot
	for r := fromIn; r <= toIn; r += 0.15 {
		for k := range 16 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
			across := 0.5 - 0.5*math.Max(-1, math.Min(1, 1.6*cos))
			out = append(out, spot{c.Add(scene.Pt{X: r * cos, Y: r * sin}), across, 0.5, 0})
		}
	}
	return out
}

// labelGap keeps labels this far apart, in sheet inches.
const labelGap = 0.012

// lines is a label of one or more lines in one style.
type lines struct {
	name  string
	words []string
	text  scene.Text // the style: size, ink, bold, halo
	plate bool       // on a pale plate, for words over many lines
	ok    func(scene.Quad) bool
}

// place stands l at the first free spot and takes the room; false where there
// is none.
func (s *sheet) place(l lines, spots []spot) (scene.Pt, bool) {
	for _, sp := range spots {
		texts, block := l.stand(sp)
		if !s.inPlan(block) || (l.ok != nil && !l.ok(block)) || !s.room.Free(block.Grown(labelGap)) {
			continue
		}
		s.room.Take(block)
		s.words.Take(block)
		if l.plate {
			q := block.Grown(0.025)
			s.top = append(s.top, scene.Shape{Name: "plate " + l.name, Rings: [][]scene.Pt{q[:]},
				Fill: colour{R: 255, G: 255, B: 255, A: 130}})
		}
		for _, t := range texts {
			s.top = append(s.top, t)
		}
		return sp.at, true
	}
	return scene.Pt{}, false
}

// stand lays the lines of l at sp, the first on top, and gives their block.
func (l lines) stand(sp spot) ([]scene.Text, scene.Quad) {
	lead := l.text.SizePt * 1.17 / 72
	sin, cos := math.Sincos(sp.turnDeg * math.Pi / 180)
	down := scene.Pt{X: sin, Y: -cos}
	tall := lead * float64(len(l.words)-1)
	first := sp.at.Sub(down.Mul(tall * (1 - sp.up)))
	var out []scene.Text
	var widest scene.Quad
	best := -1.0
	for i, w := range l.words {
		t := l.text
		t.Name, t.Words, t.TurnDeg = l.name, scene.Printable(w), sp.turnDeg
		t.At, t.Across, t.Up = first.Add(down.Mul(lead*float64(i))), sp.across, sp.up
		if q := t.Box(); q[1].Sub(q[0]).Norm() > best {
			best, widest = q[1].Sub(q[0]).Norm(), q.Moved(down.Mul(-lead*float64(i)))
		}
		out = append(out, t)
	}
	widest[0] = widest[0].Add(down.Mul(tall))
	widest[1] = widest[1].Add(down.Mul(tall))
	return out, widest
}
