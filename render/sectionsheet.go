package render

import (
	"fmt"
	"math"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// cutSheet is a section in the making: stations to the right, elevations up.
type cutSheet struct {
	*sheet
	*cut
	lo, hi  scene.Pt // of the plot
	lowIn   float64  // elevation at the lower border
	perInch float64  // sheet inches an inch of elevation
	times   float64  // vertical scale over horizontal
	zeroIn  float64
}

// sectionSheet draws one cut.
func sectionSheet(r *Result, i int, c *cut) scene.Scene {
	d := &cutSheet{sheet: newSheetOn(r, i, letters()[1:2]), cut: c}
	zeroWords := d.layOut()
	d.axes()
	d.layerParts()
	d.deckLine()
	water := d.water()
	d.surfaces()
	d.standing()
	d.ends()
	d.pondNames(water)
	d.cutOutlets()
	if d.a.Design != nil {
		d.slopesOf("finished", d.newIn, 1)
	}
	d.slopesOf("existing", d.oldIn, -1)
	facts := []string{
		"Cut " + d.say.whereCut(survey.Section{From: d.site.Frame.ToJob(c.from), To: d.site.Frame.ToJob(c.to)}) +
			", " + d.say.run(c.length()),
		fmt.Sprintf("Heights are drawn %s times as large as lengths: slopes look that much steeper", figure2(d.times)),
		zeroWords,
	}
	d.title("Section "+c.name+" - "+c.name+"'", facts...)
	return d.finish(d.waterTable(water)...)
}

// layOut chooses the two scales and says what elevations count from.
func (d *cutSheet) layOut() string {
	d.noNorth = true
	d.lo = d.paper.lo.Add(scene.Pt{X: 0.75, Y: 0.45})
	d.hi = d.paper.hi.Sub(scene.Pt{X: 0.6, Y: 0.75})
	if d.of.Fit == nil {
		d.hi.Y -= bannerIn
	}
	d.scale = scaleFor(d.say.sys, d.length(), 0, d.hi.X-d.lo.X, 1)
	d.perFt = d.scale.perFt
	mid := (d.lo.X + d.hi.X) / 2
	d.lo.X, d.hi.X = mid-d.length()*d.perFt/2, mid+d.length()*d.perFt/2
	lowIn, highIn := d.bounds()
	room := d.hi.Y - d.lo.Y - 0.9 // for names above and slopes below
	for _, times := range []float64{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 120, 150, 200} {
		if d.times == 0 || (highIn-lowIn)*d.perFt/12*times <= room {
			d.times = times
		}
	}
	d.perInch = d.perFt / 12 * d.times
	if (highIn-lowIn)*d.perInch > room {
		d.perInch = room / (highIn - lowIn)
		d.times = d.perInch * 12 / d.perFt
	}
	slack := (d.hi.Y-d.lo.Y)/d.perInch - (highIn - lowIn)
	d.lowIn = lowIn - slack*0.45
	zero, words := d.zero(d.of.Existing.Surface)
	d.zeroIn = zero
	return words
}

func (d *cutSheet) pt(ft, elevIn float64) scene.Pt {
	return scene.Pt{X: d.lo.X + ft*d.perFt, Y: d.lo.Y + (elevIn-d.lowIn)*d.perInch}
}

// axes draws the elevation scale and the distances.
func (d *cutSheet) axes() {
	grey := scene.Pen{WidthPt: 0.3, Ink: scene.Grey(0.75)}
	black := scene.Pen{WidthPt: 0.8, Ink: scene.Black()}
	style := scene.Text{SizePt: 7.5, Ink: scene.Black()}
	high := d.lowIn + (d.hi.Y-d.lo.Y)/d.perInch
	step := d.say.contourStep(high-d.lowIn, 9)
	for _, v := range levelsBetween(d.lowIn, high, d.zeroIn, step) {
		y := d.pt(0, v).Y
		d.line("elevation "+d.say.fine(v-d.zeroIn), []scene.Pt{{X: d.lo.X - 0.06, Y: y}, {X: d.hi.X, Y: y}}, grey)
		d.sheet.place(lines{name: "elevation", words: []string{d.say.fine(v - d.zeroIn)}, text: style},
			[]spot{{scene.Pt{X: d.lo.X - 0.14, Y: y}, 1, 0.5, 0}})
	}
	oneFt, name := 1.0, "ft"
	if d.say.metric() {
		oneFt, name = unit.Metres(1).Feet(), "m"
	}
	gap := 1.0
	for _, n := range []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 1e4, 2e4, 5e4, 1e5} {
		if gap = n; n*oneFt*d.perFt >= 0.7 {
			break
		}
	}
	for n := 0; float64(n)*gap*oneFt <= d.length()+1e-9; n++ {
		x := d.pt(float64(n)*gap*oneFt, 0).X
		d.line("distance", []scene.Pt{{X: x, Y: d.lo.Y - 0.05}, {X: x, Y: d.lo.Y + 0.03}}, black)
		d.sheet.place(lines{name: "distance", words: []string{fmt.Sprintf("%g %s", float64(n)*gap, name)}, text: style},
			[]spot{{scene.Pt{X: x, Y: d.lo.Y - 0.09}, 0.5, 1, 0}})
	}
	d.line("distance", []scene.Pt{d.lo, {X: d.hi.X, Y: d.lo.Y}}, black)
	d.line("elevation", []scene.Pt{d.lo, {X: d.lo.X, Y: d.hi.Y}}, black)
	unitWord := "elevation, " + d.say.small()
	d.sheet.place(lines{name: "elevation", words: []string{unitWord}, text: style},
		[]spot{{scene.Pt{X: d.lo.X - 0.55, Y: (d.lo.Y + d.hi.Y) / 2}, 0.5, 0.5, 90}, {scene.Pt{X: d.lo.X + 0.05, Y: d.hi.Y}, 0, 1, 0}})
}

// runs are the stretches of places that ok holds for, as first and last place.
func (c *cut) runs(ok func(k int) bool) [][2]int {
	var out [][2]int
	for k := range c.ft {
		switch {
		case !ok(k):
		case len(out) > 0 && out[len(out)-1][1] == k-1:
			out[len(out)-1][1] = k
		default:
			out = append(out, [2]int{k, k})
		}
	}
	return out
}

// course maps elevations of a stretch to the sheet.
func (d *cutSheet) course(run [2]int, elev func(k int) float64) []scene.Pt {
	var out []scene.Pt
	for k := run[0]; k <= run[1]; k++ {
		out = append(out, d.pt(d.ft[k], elev(k)))
	}
	return thinned(out, 0.003)
}

// band is the region between two courses.
func (d *cutSheet) band(look scene.Shape, run [2]int, low, high func(k int) float64) {
	ring := d.course(run, low)
	top := d.course(run, high)
	for k := len(top) - 1; k >= 0; k-- {
		ring = append(ring, top[k])
	}
	if len(ring) > 3 {
		look.Rings = [][]scene.Pt{ring}
		d.shape(look)
	}
}

// partOf is where a board stands in the cut: base, fill, tapered, cover.
func partOf(t taper.BoardType) int {
	switch t {
	case taper.BaseType:
		return 0
	case taper.FillType:
		return 1
	case taper.TaperedType, taper.CricketType:
		return 2
	case taper.CoverType:
		return 3
	case taper.UnsetType:
	}
	panic("render: unset BoardType")
}

func partLooks() [4]scene.Shape {
	pen := scene.Pen{WidthPt: 0.3, Ink: scene.Grey(0.4)}
	hatch := func(gap, turn float64) scene.Hatch {
		return scene.Hatch{GapPt: gap, TurnDeg: turn, Pen: scene.Pen{WidthPt: 0.3, Ink: scene.Grey(0.45)}}
	}
	return [4]scene.Shape{
		{Fill: scene.Grey(0.86), Hatch: hatch(6, 0), Pen: pen}, {Fill: scene.Grey(0.93), Hatch: hatch(5, 45), Pen: pen},
		{Fill: thicknessRamp().at(0.25), Pen: pen}, {Fill: scene.Grey(0.6), Pen: pen},
	}
}

// layerParts draws what the design lays on the base.
func (d *cutSheet) layerParts() {
	if d.of.Design == nil {
		return
	}
	looks, met := partLooks(), [4]bool{}
	for n := range looks {
		look := looks[n]
		look.Name = "layer part"
		for _, run := range d.runs(func(k int) bool { return d.parts[k] != nil && d.parts[k][n+1] > d.parts[k][n]+1e-6 }) {
			met[n] = true
			d.band(look, run, func(k int) float64 { return d.parts[k][n] }, func(k int) float64 { return d.parts[k][n+1] })
		}
	}
	for n, words := range []string{"base: full flat layers", "fill: stepped flats", "tapered boards", "cover board"} {
		if met[n] {
			d.fillSwatch(words, looks[n])
		}
	}
}

// deckLine draws the deck; where it is inferred, dashed in a band of its doubt.
func (d *cutSheet) deckLine() {
	pen := scene.Pen{WidthPt: 1, Ink: scene.Black()}
	words := "deck as shot"
	switch {
	case d.of.Fit == nil:
		words = "deck, ASSUMED level"
	case d.of.Deck.Inferred:
		pen.DashPt = []float64{5, 3}
		words = "deck, INFERRED through cores"
	}
	look := scene.Shape{Name: "deck doubt", Fill: scene.Grey(0.82)}
	some, doubt := false, false
	for _, run := range d.runs(func(k int) bool { return d.roof[k] && !math.IsNaN(d.deck[k]) }) {
		some = true
		if d.deckSig[run[0]] > 0 {
			doubt = true
			d.band(look, run, func(k int) float64 { return d.deck[k] - d.deckSig[k] }, func(k int) float64 { return d.deck[k] + d.deckSig[k] })
		}
		d.line("deck", d.course(run, func(k int) float64 { return d.deck[k] }), pen)
	}
	if !some {
		return
	}
	d.lineSwatch(words, pen)
	if doubt {
		d.fillSwatch("one standard error of the deck to either hand", look)
	}
}

// pondCutLook is standing water in a cut; under new layers it is what stood there
// before, and hides nothing.
func pondCutLook(before bool) scene.Shape {
	m := scene.Shape{Fill: waterRamp().at(0.3), Hatch: scene.Hatch{GapPt: 3, Pen: scene.Pen{WidthPt: 0.35, Ink: waterInk()}}}
	if before {
		m.Fill = colour{}
	}
	return m
}

// waterOf draws the ponds of a surface that are cut.
func (d *cutSheet) waterOf(all []sounding, elev []float64, before bool) {
	pen := scene.Pen{WidthPt: 1, Ink: waterInk()}
	if before {
		pen.DashPt = []float64{4, 2}
	}
	for _, s := range all {
		look := pondCutLook(before)
		look.Name = "water " + s.pond.ID
		in := map[int]bool{}
		for _, k := range s.k {
			in[k] = true
		}
		for _, run := range d.runs(func(k int) bool { return in[k] }) {
			d.band(look, run, func(k int) float64 { return elev[k] }, func(int) float64 { return s.pond.SpillIn })
			a, b := d.pt(d.ft[run[0]], s.pond.SpillIn), d.pt(d.ft[run[1]], s.pond.SpillIn)
			d.line("water level "+s.pond.ID, []scene.Pt{a, b}, pen)
		}
	}
}

// water draws the ponds of the existing and of the finished surface, and gives
// those of the existing one.
func (d *cutSheet) water() []sounding {
	all := d.soundings(d.of.Existing, d.oldIn)
	before := d.of.Design != nil
	d.waterOf(all, d.oldIn, before)
	if len(all) > 0 {
		words := "standing water"
		if before {
			words = "water that stood before the work"
		}
		d.fillSwatch(words, pondCutLook(before))
	}
	if p := d.of.Proof; p != nil && p.Report != nil {
		after := d.soundings(p.Report, d.newIn)
		d.waterOf(after, d.newIn, false)
		if len(after) > 0 {
			d.fillSwatch("water on the finished roof", pondCutLook(false))
		}
	}
	return all
}

func existingPen() scene.Pen { return scene.Pen{WidthPt: 1.3, Ink: scene.Black()} }
func finishedPen() scene.Pen { return scene.Pen{WidthPt: 2.2, Ink: thickInk()} }

// surfaces draws the existing and the finished top.
func (d *cutSheet) surfaces() {
	name := "existing membrane"
	switch {
	case d.of.Fit == nil:
		name = "level deck, assumed"
	case onDeck(d.res):
		name = "deck as surveyed"
	}
	draw := func(what string, elev []float64, pen scene.Pen) {
		some := false
		for _, run := range d.runs(func(k int) bool { return d.roof[k] && !math.IsNaN(elev[k]) }) {
			some = true
			d.line(what, d.course(run, func(k int) float64 { return elev[k] }), pen)
		}
		if some {
			d.lineSwatch(what, pen)
		}
	}
	draw(name, d.oldIn, existingPen())
	draw("finished top", d.newIn, finishedPen())
}

// standing draws the curbs that are cut, up to the border of the plot at most.
func (d *cutSheet) standing() {
	some := false
	for n := range d.site.Curbs {
		for _, run := range d.runs(func(k int) bool { return d.cut.curb[k] == n }) {
			low, ok := d.besideRun(run)
			if !ok {
				continue
			}
			some = true
			words, high := short(d.curbID(n)), d.pt(0, low).Y+0.45
			if n < len(d.of.Area.Curbs) && d.of.Area.Curbs[n].Height.Stated() {
				h := d.of.Area.Curbs[n].Height
				words += ", " + d.say.inches(h.Value.Inches()) + " high"
				high = d.pt(0, low+h.Value.Inches()).Y
			}
			q := scene.Rect(d.pt(d.ft[run[0]], low), scene.Pt{X: d.pt(d.ft[run[1]], 0).X, Y: math.Min(high, d.hi.Y-0.2)})
			m := curbLook()
			m.Name, m.Rings = "curb "+d.curbID(n), [][]scene.Pt{q[:]}
			d.shape(m)
			c := q[0].Lerp(q[2], 0.5)
			l := lines{name: "curb " + d.curbID(n), words: []string{words}, text: scene.Text{SizePt: 7.5, Ink: scene.Black()}}
			d.sheet.place(l, []spot{{c, 0.5, 0.5, 0}, {c, 0.5, 0.5, 90}, {scene.Pt{X: c.X, Y: q[2].Y + 0.04}, 0.5, 0, 0},
				{scene.Pt{X: q[1].X + 0.05, Y: q[2].Y - 0.05}, 0, 1, 0}})
			d.room.Take(q)
		}
	}
	if some {
		d.fillSwatch("curb", curbLook())
	}
}

// besideRun is the lower existing roof at the two ends of a stretch.
func (c *cut) besideRun(run [2]int) (float64, bool) {
	v, ok := math.Inf(1), false
	for _, k := range []int{run[0] - 1, run[1] + 1} {
		if k >= 0 && k < len(c.ft) && c.roof[k] {
			v, ok = math.Min(v, c.oldIn[k]), true
		}
	}
	return v, ok
}

// ends names both ends, and draws the parapet or wall there.
func (d *cutSheet) ends() {
	for _, e := range []struct {
		k    int
		side float64
		name string
	}{{0, -1, d.cut.name}, {len(d.ft) - 1, 1, d.cut.name + "'"}} {
		p := d.pt(d.ft[e.k], d.oldIn[e.k])
		kind, ok := d.edgeAt(d.pos(e.k))
		words := []string{e.name}
		if ok {
			words = append(words, edgeWords(kind))
			if kind == survey.Parapet || kind == survey.Wall {
				q := scene.Rect(scene.Pt{X: p.X, Y: p.Y - 0.25}, scene.Pt{X: p.X + 0.08*e.side, Y: d.hi.Y - 0.25})
				d.shape(scene.Shape{Name: "edge " + kind.String(), Rings: [][]scene.Pt{q[:]}, Fill: scene.Grey(0.8),
					Pen: scene.Pen{WidthPt: 0.9, Ink: scene.Black()}, Hatch: scene.Hatch{GapPt: 3, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.4)}}})
				d.breakMark(scene.Pt{X: p.X + 0.04*e.side, Y: d.hi.Y - 0.25})
				d.room.Take(scene.Rect(scene.Pt{X: math.Min(q[0].X, q[1].X), Y: q[0].Y}, scene.Pt{X: math.Max(q[0].X, q[1].X), Y: q[2].Y}))
			}
		}
		at := scene.Pt{X: p.X, Y: d.hi.Y + 0.06}
		d.sheet.place(lines{name: "end " + e.name, words: words[:1], text: scene.Text{SizePt: 12, Bold: true, Ink: scene.Black()}},
			[]spot{{at.Add(scene.Pt{Y: 0.2}), 0.5, 0, 0}})
		if len(words) > 1 {
			d.sheet.place(lines{name: "end " + e.name, words: words[1:], text: scene.Text{SizePt: 7.5, Ink: scene.Black()}},
				[]spot{{at, 0.5, 0, 0}, {at, 0.5 + 0.5*e.side, 0, 0}})
		}
	}
}

// edgeAt is the kind of the edge within a foot and a half of a place.
func (d *cutSheet) edgeAt(p geom.Pt) (survey.EdgeKind, bool) {
	best, kind := 1.5, survey.Parapet
	for _, e := range d.site.Edges {
		if far := geom.SegDist(p, e.A, e.B); far < best {
			best, kind = far, e.Kind
		}
	}
	return kind, best < 1.5
}

// breakMark says that what is drawn goes on.
func (d *cutSheet) breakMark(at scene.Pt) {
	for _, y := range []float64{-0.03, 0.03} {
		d.line("goes on", []scene.Pt{at.Add(scene.Pt{X: -0.1, Y: y - 0.04}), at.Add(scene.Pt{X: 0.1, Y: y + 0.04})},
			scene.Pen{WidthPt: 0.9, Ink: scene.Black()})
	}
}

// pondNames stands the name and the depth of each pond over its water.
func (d *cutSheet) pondNames(water []sounding) {
	for _, s := range water {
		k := s.k[len(s.k)/2]
		c := d.pt(d.ft[k], s.pond.SpillIn)
		l := lines{name: "pond " + s.pond.ID, words: []string{s.pond.ID + ", " + d.say.inches(s.deep) + " here"},
			text: scene.Text{SizePt: 8, Bold: true, Ink: waterInk(), Halo: true}}
		d.named(l, c, []spot{{c.Add(scene.Pt{Y: 0.08}), 0.5, 0, 0}, {c.Add(scene.Pt{Y: 0.2}), 0.5, 0, 0},
			{c.Add(scene.Pt{Y: 0.34}), 0.5, 0, 0}, {c.Sub(scene.Pt{Y: 0.3}), 0.5, 1, 0}})
	}
}

// cutOutlets draws the outlets that the cut meets within two feet, at their
// inlets.
func (d *cutSheet) cutOutlets() {
	const reachFt = 2
	for n, o := range d.site.Outlets {
		far := geom.SegDist(o.P, d.from, d.to)
		if o.Edge >= 0 {
			far = math.Min(far, math.Min(geom.SegDist(d.from, o.A, o.B), geom.SegDist(d.to, o.A, o.B)))
		}
		if far > reachFt {
			continue
		}
		ft, off := d.station(o.P)
		line := o.Edge >= 0 && o.Kind != survey.Scupper
		if line {
			off = 0
		}
		ft = math.Max(0, math.Min(d.length(), ft))
		inlet, ok := d.of.Existing.Surface.Elevation(o.P)
		if n < len(d.of.InletIn) {
			inlet, ok = d.of.InletIn[n], true
		}
		if !ok {
			continue
		}
		if !line {
			d.inlet("outlet "+o.ID, d.pt(ft, inlet), scene.Black())
		}
		words := short(o.ID)
		if n < len(d.of.FinishedInletIn) && d.of.Design != nil {
			inlet = d.of.FinishedInletIn[n]
			if !line {
				d.inlet("finished outlet "+o.ID, d.pt(ft, inlet), thickInk())
			}
		}
		if off > 0.5 {
			words += ", " + d.say.long(off) + " off the line"
		}
		c := d.pt(ft, inlet)
		d.named(lines{name: "outlet " + o.ID, words: []string{words}, text: scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}},
			c, []spot{{c.Add(scene.Pt{Y: 0.1}), 0.5, 0, 0}, {c.Add(scene.Pt{Y: 0.24}), 0.5, 0, 0}, {c.Add(scene.Pt{X: 0.1, Y: 0.1}), 0, 0, 0},
				{c.Add(scene.Pt{X: -0.1, Y: 0.1}), 1, 0, 0}})
	}
}

// inlet is a rim with a pipe under it.
func (d *cutSheet) inlet(name string, c scene.Pt, ink colour) {
	pen := scene.Pen{WidthPt: 1.2, Ink: ink}
	d.line(name, []scene.Pt{c.Sub(scene.Pt{X: 0.08}), c.Add(scene.Pt{X: 0.08})}, scene.Pen{WidthPt: 2.4, Ink: ink})
	for _, x := range []float64{-0.035, 0.035} {
		d.line(name, []scene.Pt{c.Add(scene.Pt{X: x}), c.Add(scene.Pt{X: x, Y: -0.3})}, pen)
	}
	d.room.Take(scene.Rect(c.Sub(scene.Pt{X: 0.09, Y: 0.3}), c.Add(scene.Pt{X: 0.09, Y: 0.03})))
}

// waterTable lists the ponds that are cut.
func (d *cutSheet) waterTable(water []sounding) []item {
	if d.of.Fit == nil {
		return nil
	}
	if len(water) == 0 {
		return append(heading("Ponds cut"), words("ponds", "none on the existing surface", bodyPt, false, 1)...)
	}
	out := heading("Ponds cut")
	out = append(out, row("ponds", true, cell{words: "name"}, cell{right: 0.95, words: "here"}, cell{right: 1.6, words: "deepest"}, cell{right: 2.3, words: "level"}))
	out[len(out)-1].with = true
	for _, s := range water {
		out = append(out, row("ponds", false, cell{words: s.pond.ID}, cell{right: 0.95, words: d.say.inches(s.deep)},
			cell{right: 1.6, words: d.say.inches(s.pond.DepthIn)}, cell{right: 2.3, words: d.say.inches(s.pond.SpillIn - d.zeroIn)}))
	}
	return out
}
