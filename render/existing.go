package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// ExistingSheet draws area i as surveyed: contours of the surface, edges,
// curbs, outlets, shots with their elevations, cores. An area without a surface
// gets its plan alone. Cost: cells x contours.
func ExistingSheet(r *Result, i int) scene.Scene {
	s := newSheet(r, i)
	g := s.ground(false)
	s.furniture()
	dense := s.denseShots()
	var drawn []survey.SiteShot
	if !dense {
		drawn = s.shots(dense)
	}
	s.cores()
	s.names()
	left := 0
	if !dense {
		left = s.shotWords(drawn, g.zero)
	}
	s.contourWords(g.contours, g.zero, g.step)
	if dense {
		drawn = s.shots(dense)
		left = s.shotWords(drawn, g.zero)
	}
	s.title(s.existingTitle(), append(s.fitFacts(), g.zeroWords)...)
	return s.finish(s.shotCounts(len(drawn), left)...)
}

// ground is the surface as surveyed and how its elevations are told.
type ground struct {
	surface   *survey.Surface // nil: none
	contours  []ContourLine
	step      float64 // between contours, inches
	zero      float64 // the elevation that the sheet counts from, inches
	zeroWords string
}

// ground draws the surface as surveyed: bands, where it cannot be told or, with
// thin, where it is told badly, and contours.
func (s *sheet) ground(thin bool) ground {
	g := ground{surface: s.existing()}
	g.zero, g.zeroWords = s.zero(g.surface)
	if g.surface != nil {
		g.contours, g.step = s.relief(g.surface, g.zero)
		s.unknownCells(g.surface)
	}
	if thin {
		s.thinCells(g.surface)
	}
	s.mask()
	s.contours(g.contours, g.zero, g.step)
	return g
}

// onDeck says whether the shots stand on the bare deck.
func onDeck(r *Result) bool { return r.Job != nil && r.Job.Survey.Surface == survey.Deck }

func (s *sheet) existingTitle() string {
	if onDeck(s.res) {
		return "The bare deck as it is: contours and shots (shots stand on the deck)"
	}
	return "Existing surface: contours and shots"
}

// existing is the surface as surveyed, nil where there is none.
func (s *sheet) existing() *survey.Surface {
	switch {
	case s.a.Fit != nil && s.a.Fit.Surface != nil:
		return s.a.Fit.Surface
	case s.a.Existing != nil:
		return s.a.Existing.Surface
	}
	return nil
}

// fitFacts says how the surface was found and how far it can be trusted.
func (s *sheet) fitFacts() []string {
	f := s.a.Fit
	if f == nil {
		return nil
	}
	out := []string{"Surface: " + f.Method}
	if f.RMSEIn > 0 || f.SpacingFt > 0 {
		out = append(out, fmt.Sprintf("%s, shots %s apart", s.say.leaveOneOut(f), s.say.run(f.SpacingFt)))
	}
	if s.a.fitNote() != "" {
		out = append(out, strings.TrimSpace(sentence(s.a.fitNote())))
	}
	return out
}

// zero is the elevation that the sheet counts from: the surface at the lowest
// primary outlet that is not blocked, else at the lowest one, else the lowest place. Heights relative to the lowest drain
// are common practice, no source.
func (s *sheet) zero(surface *survey.Surface) (zeroIn float64, words string) {
	if surface == nil {
		return 0, ""
	}
	best, id := math.Inf(1), ""
	for _, closed := range []bool{false, true} { // a blocked one where there is no other
		for _, o := range s.site.Outlets {
			v, ok := surface.Elevation(o.P)
			if ok && !o.Overflow && (o.State == survey.Blocked) == closed && v < best {
				best, id = v, "the surface at "+o.ID
			}
		}
		if id != "" {
			break
		}
	}
	if id == "" {
		lo, _, ok := gridOf(surface, 1).span()
		if !ok {
			return 0, ""
		}
		best, id = lo, "the lowest place"
	}
	return best, fmt.Sprintf("Elevations in %s; 0 is %s, job elevation %s",
		s.say.small(), id, s.say.run(unit.Inches(best).Feet()))
}

// relief tints the surface by elevation and gives its contours.
func (s *sheet) relief(surface *survey.Surface, zero float64) ([]ContourLine, float64) {
	g := gridOf(surface, s.stride(surface.Lattice))
	lo, hi, ok := g.span()
	if !ok {
		return nil, 0
	}
	step := s.say.contourStep(hi-lo, 14)
	levels := levelsBetween(lo, hi, zero, step)
	g = g.padded(2).extended(2)
	low := scene.Shape{Name: "lowest band", Fill: elevationRamp().at(1)}
	if r := s.path(s.a.Area.Outline, s.at); len(r) > 2 {
		low.Rings = [][]scene.Pt{r}
		s.shape(low)
	}
	for n, level := range levels {
		s.shape(scene.Shape{Name: "band above " + s.say.fine(level-zero), Rings: s.ringsOf(g.above(level)),
			Fill: elevationRamp().at(1 - float64(n+1)/float64(len(levels)))})
	}
	if len(levels) > 0 {
		s.fillSwatch("lowest areas", scene.Shape{Fill: elevationRamp().at(1)})
	}
	return g.lines(levels), step
}

// heavyEvery says which contours are heavy: every fourth.
func heavyEvery(level, zero, step float64) bool {
	return step > 0 && int(math.Abs(math.Round((level-zero)/step)))%4 == 0
}

func (s *sheet) contours(cs []ContourLine, zero, step float64) {
	for _, c := range cs {
		pen := scene.Pen{WidthPt: 0.45, Ink: scene.Grey(0.3)}
		if heavyEvery(c.LevelIn, zero, step) {
			pen.WidthPt = 1.1
		}
		s.line("contour "+s.say.fine(c.LevelIn-zero), s.contourPath(c), pen)
	}
	// The mask comes again, over the ends of the contours.
	s.mask()
	if len(cs) > 0 {
		s.lineSwatch(fmt.Sprintf("contour every %s, each fourth heavy", s.say.inches(step)),
			scene.Pen{WidthPt: 0.45, Ink: scene.Grey(0.3)})
	}
}

func (s *sheet) contourPath(c ContourLine) []scene.Pt {
	pts := c.Pts
	if c.Closed {
		pts = append(slices.Clone(pts), pts[0])
	}
	return thinned(s.path(pts, s.loc), 0.004)
}

// thinned drops the places that lie nearer than tolIn to the line without
// them.
//
// Source: Douglas and Peucker 1973, "Algorithms for the reduction of the number
// of points required to represent a digitized line or its caricature".
func thinned(pts []scene.Pt, tolIn float64) []scene.Pt {
	if len(pts) < 3 {
		return pts
	}
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	work := [][2]int{{0, len(pts) - 1}}
	for len(work) > 0 {
		a, b := work[len(work)-1][0], work[len(work)-1][1]
		work = work[:len(work)-1]
		far, at := tolIn, -1
		for k := a + 1; k < b; k++ {
			if d := offLine(pts[k], pts[a], pts[b]); d > far {
				far, at = d, k
			}
		}
		if at > 0 {
			keep[at] = true
			work = append(work, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []scene.Pt
	for k, p := range pts {
		if keep[k] {
			out = append(out, p)
		}
	}
	return out
}

func offLine(p, a, b scene.Pt) float64 {
	return geom.SegDist(geom.Pt(p), geom.Pt(a), geom.Pt(b))
}

// contourGap is how far the elevation of a contour keeps off other words, so that
// two figures never read as one, in sheet inches.
const contourGap = 0.09

// contour prints the elevation of a contour as shots are told: 2.5, 0.25.
func (s say) contour(in float64) string {
	if s.metric() {
		return s.bare(in)
	}
	return strconv.FormatFloat(math.Round(in*1000)/1000+0, 'f', -1, 64)
}

// contourWords stands elevations on the contours, heavy ones first.
func (s *sheet) contourWords(cs []ContourLine, zero, step float64) {
	for _, heavy := range []bool{true, false} {
		for _, c := range cs {
			if heavyEvery(c.LevelIn, zero, step) != heavy {
				continue
			}
			path := s.contourPath(c)
			if length(path) < 0.7 {
				continue
			}
			w := s.say.contour(c.LevelIn - zero)
			clear := func(q scene.Quad) bool { return s.onRoof(q) && s.room.Free(q.Grown(contourGap)) }
			s.place(lines{name: "contour " + w, words: []string{w}, ok: clear,
				text: scene.Text{SizePt: 7.5, Bold: heavy, Ink: scene.Grey(0.15), Halo: true}}, along(path))
		}
	}
}

func length(pts []scene.Pt) float64 {
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += pts[i].Sub(pts[i-1]).Norm()
	}
	return sum
}

// along gives places on a line, the middle first, with words turned along it
// so that they read from the bottom or the right.
func along(pts []scene.Pt) []spot {
	total := length(pts)
	var out []spot
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.27, 0.73} {
		rest := share * total
		for i := 1; i < len(pts); i++ {
			d := pts[i].Sub(pts[i-1])
			if n := d.Norm(); rest > n {
				rest -= n
				continue
			}
			out = append(out, spot{pts[i-1].Lerp(pts[i], rest/d.Norm()), 0.5, 0.5, readable(d)})
			break
		}
	}
	return out
}

// readable is the turn of words along d, in degrees from -90 (not included)
// to 90, to a tenth.
func readable(d scene.Pt) float64 {
	deg := math.Round(math.Atan2(d.Y, d.X)*1800/math.Pi) / 10
	if deg > 90 {
		deg -= 180
	}
	if deg <= -90 {
		deg += 180
	}
	return deg + 0
}

func unknownLook() scene.Shape {
	return scene.Shape{Fill: scene.Grey(0.93),
		Hatch: scene.Hatch{GapPt: 4.5, TurnDeg: 135, Pen: scene.Pen{WidthPt: 0.6, Ink: scene.Grey(0.5)}}}
}

// unknownCells hatches what lies too far from a shot to be told.
func (s *sheet) unknownCells(surface *survey.Surface) {
	if surface.Known == nil {
		return
	}
	look := unknownLook()
	look.Name = "unknown"
	s.hatchCells(surface, func(k int) bool { return !surface.Known[k] }, look, "too far from a shot to tell")
}

// hatchCells draws the roof cells that are in, with a swatch; nothing where
// none is.
func (s *sheet) hatchCells(surface *survey.Surface, in func(k int) bool, look scene.Shape, legend string) {
	some := false
	g := gridBy(surface.Lattice, s.stride(surface.Lattice), func(k int) (float64, bool) {
		if surface.Roof[k] && in(k) {
			some = true
			return 1, true
		}
		return 0, surface.Roof[k]
	})
	if !some {
		return
	}
	m := look
	m.Rings = s.ringsOf(g.padded(1).extended(1).above(0.5))
	s.shape(m)
	s.fillSwatch(legend, look)
}
