package render

import (
	"fmt"
	"math"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
)

// SurveySheet is the survey of area i as evidence, on a sheet that stands by
// itself: who measured what, how, when and how well; every shot with its
// elevation, what was left out and why, contours, cores, outlets with their
// state, the deck, ponds people saw, photos at their places, where nothing is
// known, and what is still to be asked. An area without a survey gets its plan
// and the questions. Where the words need it they get a third column and a fourth
// beside the plan, down to half its scale. Cost: cells x contours.
func SurveySheet(r *Result, i int) scene.Scene {
	first, out, lacks := surveySheet(r, i, 2)
	for columns := 3; lacks > 0 && columns <= 4; columns++ {
		perFt, wider, left := surveySheet(r, i, columns)
		if left < lacks && perFt >= first/2*(1-1e-9) {
			out, lacks = wider, left
		}
	}
	return out
}

// surveySheet is the survey sheet with so many columns of words, its scale in
// sheet inches a foot, and how many lines found no room.
func surveySheet(r *Result, i, columns int) (perFt float64, out scene.Scene, lacks int) {
	s := newSheetOn(r, i, tabloids(columns))
	s.states = true
	g := s.ground(true)
	s.seen()
	s.furniture()
	s.partLine()
	dense := s.denseShots()
	var drawn []survey.SiteShot
	if !dense {
		drawn = s.shots(dense)
	}
	s.suspects()
	s.leftOutWords()
	for _, c := range s.site.Cores {
		s.room.Take(coreBox(s.loc(c.P)))
	}
	for _, sh := range s.a.Area.DeckShots {
		s.room.Take(boxAt(s.at(sh.At), deckShotIn))
	}
	s.names()
	s.cores()
	s.photos()
	s.seenWords()
	s.deckShots(g.zero)
	s.objects()
	s.span()
	left := 0
	if !dense {
		left = s.shotWords(drawn, g.zero)
	}
	s.contourWords(g.contours, g.zero, g.step)
	if dense {
		drawn = s.shots(dense)
		left = s.shotWords(drawn, g.zero)
	}
	s.title(s.surveyTitle(), s.scopeFacts()...)
	s.surveyHead(g.zeroWords)
	out = s.finish(s.surveyTables(len(drawn), left)...)
	return s.perFt, out, s.lacks
}

// scopeFacts say what of the old roof goes.
func (s *sheet) scopeFacts() []string {
	if s.res.Job == nil {
		return nil
	}
	return []string{"Scope: " + s.say.scope(s.res.Job)}
}

// scope says what of the old roof goes.
func (s say) scope(j *survey.Job) string {
	switch j.Scope {
	case survey.TearOff:
		return "tear-off"
	case survey.Recover:
		return "recover: the old roof stays"
	case survey.Partial:
		return "partial: tear-off within the line of " + s.area(geom.Poly{Outer: j.Part}.Area()) + ", the rest of the old roof stays"
	case survey.UnsetScope:
		return notStated
	}
	panic("render: unknown Scope")
}

// partLine draws the bound of a partial scope as far as it lies on the area.
func (s *sheet) partLine() {
	if s.res.Job == nil || s.res.Job.Scope != survey.Partial {
		return
	}
	pieces, err := geom.Intersect(geom.Poly{Outer: s.a.Area.Outline.CCW()}, geom.Poly{Outer: s.res.Job.Part.CCW()})
	if err != nil {
		return // the words tell the scope still
	}
	pen := scene.Pen{WidthPt: 2, Ink: scene.Black(), DashPt: []float64{10, 3, 2, 3}}
	for _, p := range pieces {
		s.line("partial scope", s.path(append(p.Outer[:len(p.Outer):len(p.Outer)], p.Outer[0]), s.at), pen)
	}
	if len(pieces) > 0 {
		s.lineSwatch("bound of the partial scope: tear-off within it", pen)
	}
}

func (s *sheet) surveyTitle() string {
	if s.a.Fit == nil {
		return "The roof from its plan, and what to ask"
	}
	on := ""
	if s.res.Job != nil && s.res.Job.Survey.Surface != survey.UnsetSurface {
		on = ": shots stand on the " + s.res.Job.Survey.Surface.String()
	}
	return "Survey of the roof as found" + on
}

func thinLook() scene.Shape {
	return scene.Shape{Hatch: scene.Hatch{GapPt: 6.5, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.5)}}}
}

// thinCells hatches lightly where shots are too thin to tell a shallow pond.
func (s *sheet) thinCells(surface *survey.Surface) {
	if surface == nil || len(surface.SigmaIn) != surface.Len() {
		return
	}
	look := thinLook()
	look.Name = "thin"
	s.hatchCells(surface, func(k int) bool { return surface.IsKnown(k) && surface.IsThin(k) }, look,
		"too few or too rough shots: one standard error is "+s.say.inches(survey.TooThinIn)+" or more")
}

// leftOutWords names the shots that were left out, as far as there is room; the
// list in the panel has their reasons.
func (s *sheet) leftOutWords() {
	style := scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: wrongInk(), Halo: true}
	for _, sh := range leftOut(s.a.Area.Shots) {
		c := s.at(sh.At)
		if !s.inPlan(boxAt(c, crossIn)) {
			continue
		}
		s.place(lines{name: "left-out shot " + sh.ID, words: []string{short(sh.ID)}, text: style}, around(c, 0.035))
	}
}

// short cuts the middle out of a name that is too long to stand in a plan: long
// names often differ at their ends.
func short(name string) string {
	const head, tail = 12, 9
	r := []rune(name)
	if len(r) <= head+3+tail {
		return name
	}
	return string(r[:head]) + "..." + string(r[len(r)-tail:])
}

const deckShotIn = 0.035 // half the width of the diamond of a deck shot

// deckShots draws shots on the bare deck as open diamonds with their
// elevations.
func (s *sheet) deckShots(zeroIn float64) {
	const r = deckShotIn
	look := func(name string, c scene.Pt) scene.Shape {
		return scene.Shape{Name: name, Fill: scene.White(), Pen: scene.Pen{WidthPt: 0.8, Ink: scene.Black()},
			Rings: [][]scene.Pt{scene.Circle(c, r, 4)}}
	}
	n := 0
	for _, sh := range s.a.Area.DeckShots {
		c := s.at(sh.At)
		q := scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r}))
		if sh.Left != "" || !s.inPlan(q) {
			continue
		}
		n++
		s.shape(look("deck shot "+sh.ID, c))
		s.room.Take(q)
		s.place(lines{name: "deck shot " + sh.ID, words: []string{s.say.coarse(sh.Elev.Inches() - zeroIn)}, ok: s.onRoof,
			text: scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Grey(0.1), Halo: true}}, around(c, r)[:6])
	}
	if n > 0 {
		s.swatch("shot on the bare deck, with its elevation", func(lo, hi scene.Pt) []scene.Mark {
			return []scene.Mark{look("legend", lo.Lerp(hi, 0.5))}
		})
	}
}

// mostObjects is how many things of a point cloud are drawn.
const mostObjects = 60

// objects draws what the point cloud shows on the roof that is not roof, as
// circles of its area with its height.
func (s *sheet) objects() {
	if s.a.Cloud == nil {
		return
	}
	pen := scene.Pen{WidthPt: 0.8, Ink: scene.Grey(0.35), DashPt: []float64{3, 2}}
	for n, o := range s.a.Cloud.Objects[:min(mostObjects, len(s.a.Cloud.Objects))] {
		c := s.at(o.At)
		r := math.Max(0.05, math.Sqrt(math.Max(0, o.Sqft)/math.Pi)*s.perFt)
		q := scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r}))
		if !s.inPlan(q) {
			continue
		}
		name := fmt.Sprintf("object %d", n+1)
		s.shape(scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, r, 24)}, Pen: pen})
		s.place(lines{name: name, words: []string{s.say.place(o.HighIn / 12)},
			text: scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Grey(0.2), Halo: true}}, append([]spot{{c, 0.5, 0.5, 0}}, around(c, r)...))
	}
	if len(s.a.Cloud.Objects) > 0 {
		s.lineSwatch("object on the roof, with its height above it: no roof", pen)
	}
}

// photos draws a mark and the file name of each photo taken on the area; a mark
// gives way to what is drawn at its place.
func (s *sheet) photos() {
	style := scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Black(), Halo: true}
	here := s.photosHere()
	places := make([]scene.Pt, len(here))
	for n, p := range here {
		at := s.at(p.At)
		c := at
		for _, sp := range append([]spot{{at: at}}, rings(at, 0.18, 0.5)...) {
			if q := photoBox(sp.at); s.inPlan(q) && s.room.Free(q) {
				c = sp.at
				break
			}
		}
		if c != at {
			s.line("photo "+p.File, []scene.Pt{at, c}, scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.3)})
		}
		s.marks = append(s.marks, photoMarks("photo "+p.File, c)...)
		s.room.Take(photoBox(c))
		places[n] = c
	}
	for n, p := range here {
		c := places[n]
		s.named(lines{name: "photo " + p.File, words: []string{short(p.File)}, text: style}, c, around(c, 0.055))
	}
	if len(here) > 0 {
		s.swatch("photo by its file name", func(lo, hi scene.Pt) []scene.Mark { return photoMarks("legend", lo.Lerp(hi, 0.5)) })
	}
}

func photoBox(c scene.Pt) scene.Quad {
	return scene.Rect(c.Sub(scene.Pt{X: 0.06, Y: 0.045}), c.Add(scene.Pt{X: 0.06, Y: 0.045}))
}

// photosHere are the photos whose places lie on the area or within 3 ft of it.
func (s *sheet) photosHere() []survey.Photo {
	if s.res.Job == nil {
		return nil
	}
	var out []survey.Photo
	const most, beside = 200, 3
	for _, p := range s.res.Job.Survey.Photos {
		c := s.at(p.At)
		on := s.a.Area.Outline.Has(p.At) || geom.Poly{Outer: s.a.Area.Outline}.Dist(p.At) < beside
		if len(out) < most && on && s.inPlan(boxAt(c, 0.06)) {
			out = append(out, p)
		}
	}
	return out
}

// photoMarks is a box with a lens.
func photoMarks(name string, c scene.Pt) []scene.Mark {
	q := scene.Rect(c.Sub(scene.Pt{X: 0.055, Y: 0.038}), c.Add(scene.Pt{X: 0.055, Y: 0.038}))
	pen := scene.Pen{WidthPt: 0.8, Ink: scene.Black()}
	return []scene.Mark{
		scene.Shape{Name: name, Rings: [][]scene.Pt{q[:]}, Fill: scene.White(), Pen: pen},
		scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, 0.02, 12)}, Fill: scene.Black()},
	}
}

// span draws the way the deck spans as a double line between two bars, where
// the roof has room for it; it is no arrow, since arrows are for water.
func (s *sheet) span() {
	deg := s.a.Area.Deck.SpanDeg
	if deg == nil || math.IsNaN(*deg) || math.IsInf(*deg, 0) {
		return
	}
	u := unitOf(*deg)
	l := lines{name: "deck span", words: []string{"deck spans"}, text: scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true}}
	s.swatch("the deck spans this way", func(lo, hi scene.Pt) []scene.Mark {
		return spanMarks("legend", lo.Lerp(hi, 0.5), u, 0.05+0.11*math.Abs(u.X))
	})
	for _, half := range []float64{0.45, 0.3, 0.2} {
		for _, p := range middles(s.site.Poly()) {
			c := s.loc(p)
			q := scene.Strip(c.Sub(u.Mul(half)), c.Add(u.Mul(half)), 0.06)
			if !s.inPlan(q) || !s.onRoof(q) || !s.room.Free(q) {
				continue
			}
			off := u.Left().Mul(0.14)
			if _, ok := s.place(l, []spot{{c.Add(off), 0.5, 0.5, readable(u)}, {c.Sub(off), 0.5, 0.5, readable(u)}}); ok {
				s.room.Take(q)
				s.top = append(s.top, spanMarks("deck span", c, u, half)...)
				return
			}
		}
	}
}

// unitOf is the direction deg counter-clockwise from +x.
func unitOf(deg float64) scene.Pt {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return scene.Pt{X: cos, Y: sin}
}

func spanMarks(name string, c, u scene.Pt, half float64) []scene.Mark {
	pen := scene.Pen{WidthPt: 0.6, Ink: scene.Black()}
	n := u.Left()
	var out []scene.Mark
	for _, hand := range []float64{-0.018, 0.018} {
		m := c.Add(n.Mul(hand))
		out = append(out, scene.Line{Name: name, Pen: pen, Pts: []scene.Pt{m.Sub(u.Mul(half)), m.Add(u.Mul(half))}})
	}
	for _, end := range []float64{-half, half} {
		m := c.Add(u.Mul(end))
		out = append(out, scene.Line{Name: name, Pen: scene.Pen{WidthPt: 1.2, Ink: scene.Black()},
			Pts: []scene.Pt{m.Sub(n.Mul(0.045)), m.Add(n.Mul(0.045))}})
	}
	return out
}
