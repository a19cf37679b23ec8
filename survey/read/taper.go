package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/unit"
)

// taper reads what the job wants built; absent makes no design. The areas
// must have been read, since compare looks at their outlets.
func (r *jobReader) taper(j *survey.Job, v item) {
	f, ok := v.fields("taper")
	if !ok {
		return
	}
	t := &survey.TaperChoice{Scheme: r.scheme(f.get("scheme"))}
	if slope := f.get("slope"); slope.absent {
		slope.fault("the slope to build is not stated", "write slope: "+r.say("1/4 in/ft", "1:40"))
	} else {
		t.Slope, _ = slope.slope()
	}
	if start := f.get("start"); start.absent {
		start.fault("the thickness at the low point is not stated",
			"write start: "+r.say("1/2 in", "20 mm")+", the tapered insulation there, above the base")
	} else {
		t.Start, _ = start.positive(0, true)
	}
	t.Base = r.base(f.get("base"))
	t.Cover, _ = orNone(f.get("cover"))
	t.Thickest, _ = orNone(f.get("thickest"))
	if least := t.Start + unit.Inches(float64(t.Base.Layers)*t.Base.Thickness.Inches()); t.Thickest > 0 && least > t.Thickest {
		f.get("thickest").fault("base and start alone are "+least.FormatThin(r.units),
			"allow more, or take a thinner base")
	}
	if deg, ok := f.get("axes").degrees(); ok {
		t.AxesDeg = &deg
	}
	t.TurnBoard = f.get("turn_boards").yes()
	t.EqualEdges = f.get("edges").word("equal-slopes", "equal-heights") == "equal-heights"
	t.TightCut = f.get("cutting").word("crew", "tight") == "tight"
	t.Kerf = kerf(f.get("kerf"))
	t.Sliver = r.sliver(f.get("sliver"))
	t.MostLayers, _ = f.get("most_layers").whole(1, 40)
	t.LooseBoards = f.get("bundles").word("full", "loose") == "loose"
	t.Cricket = r.cricket(f.get("cricket"))
	r.sump(t, f.get("sump"))
	j.Taper = t
}

// mostKerf is more than any saw takes; common practice, no source.
const mostKerf = unit.Inch

// kerf reads the width of a cut; none is a knife's.
func kerf(v item) unit.Length {
	k, ok := orNone(v)
	if ok && k > mostKerf {
		v.fault("no saw cuts so wide", "write "+v.r.say("1 in or less, such as 1/8 in", "25 mm or less, such as 3 mm"))
	}
	return k
}

// The narrowest piece that may be asked for; common practice, no source.
const (
	leastSliver = unit.Inch
	mostSliver  = unit.Foot
)

// sliver reads the narrowest piece that is laid where a shift can avoid it.
func (r *jobReader) sliver(v item) unit.Length {
	if v.absent {
		if r.units == unit.Metric {
			return unit.Millimetres(75)
		}
		return 3 * unit.Inch
	}
	w, ok := v.positive(0, false)
	if ok && (w < leastSliver || w > mostSliver) {
		v.fault("no piece so wide is asked for: "+r.say("1 in to 1 ft", "26 to 300 mm"),
			"write "+r.say("1 in or more, such as 3 in", "26 mm or more, such as 75 mm"))
	}
	return w
}

// cricket reads how crickets are to be made.
func (r *jobReader) cricket(v item) survey.CricketChoice {
	var c survey.CricketChoice
	if !v.absent && v.n.Value == "none" {
		c.None = true
		return c
	}
	f, ok := v.fields("cricket")
	if !ok {
		return c
	}
	valley := f.get("valley")
	c.Board, c.Valley = ruleSlope(f.get("board")), ruleSlope(valley)
	if c.Board > 0 && c.Valley >= c.Board {
		valley.fault("a valley slopes less than the boards beside it, and this one does not",
			"write a flatter valley, or steeper boards")
	}
	return c
}

// defaultSumpBoard is the slope of a sump's boards where none is stated.
const defaultSumpBoard = 0.5 * unit.InchPerFoot

// sump reads the sumps that drains are to be set in: the side of the square and
// the slope of its boards. The slope of the field must have been read.
func (r *jobReader) sump(t *survey.TaperChoice, v item) {
	f, ok := v.fields("sump")
	if !ok {
		return
	}
	t.Sump = sumpSize(f)
	board := f.get("board")
	slope := defaultSumpBoard
	if !board.absent {
		t.SumpBoard = ruleSlope(board)
		slope = t.SumpBoard
	}
	if slope > 0 && slope <= t.Slope {
		board.fault(fmt.Sprintf("a sump of %s is no steeper than the field round it, of %s",
			slope.Format(r.units), t.Slope.Format(r.units)), "write board: with a steeper slope, or leave the sump out")
	}
}

// sumpSize reads the side of a sump.
func sumpSize(f fields) unit.Length {
	size := f.get("size")
	if size.absent {
		size.fault("the sump has no size", "write size: "+f.r.say("4 ft", "1200 mm")+", a side of its square")
	}
	side, ok := size.positive(0, false)
	if ok && side > mostSump {
		size.fault("no sump is so large", "write a side of "+f.r.say("16 ft or less, such as 4 ft", "4800 mm or less, such as 1200 mm"))
	}
	return side
}

// mostSump is four boards; common practice, no source.
const mostSump = 16 * unit.Foot

// orNone reads a thickness; none is 0.
func orNone(v item) (unit.Length, bool) {
	if !v.absent && v.n.Value == "none" {
		return 0, true
	}
	return v.positive(0, true)
}

// schemes are the ways to lay taper, by the words of the job file.
var schemes = map[string]survey.Scheme{
	"four-way": survey.FourWay, "one-way": survey.OneWay, "two-way-crickets": survey.TwoWayCrickets,
	"crickets-only": survey.CricketsOnly, "eight-way": survey.EightWay, "compare": survey.Compare,
}

// scheme reads how to lay the taper. Nothing chooses by the outlets: one-way
// where water leaves by edges and scuppers alone.
func (r *jobReader) scheme(v item) survey.Scheme {
	if v.absent {
		s := r.byOutlets()
		v.note("no scheme is stated; "+s.String()+" is laid out", "write scheme: "+s.String()+", or scheme: compare")
		return s
	}
	w := v.word("four-way", "one-way", "two-way-crickets", "crickets-only", "eight-way", "compare", "fill-lows")
	if w == "fill-lows" {
		v.fault("fill-lows is a rung of the ladder, which every run tries", "leave taper out and read the ladder")
	}
	return schemes[w]
}

func (r *jobReader) byOutlets() survey.Scheme {
	for _, a := range r.areas {
		for _, o := range a.Outlets {
			if o.Kind == survey.Drain && !o.Overflow {
				return survey.FourWay
			}
		}
	}
	return survey.OneWay
}

func (r *jobReader) base(v item) survey.BaseChoice {
	var b survey.BaseChoice
	if !v.absent && v.n.Value == "none" {
		return b
	}
	f, ok := v.fields("base")
	if !ok {
		return b
	}
	layers, thick := f.get("layers"), f.get("thickness")
	if layers.absent {
		layers.fault("the number of base layers is not stated", "write layers: 1")
	}
	b.Layers, _ = layers.whole(0, 20)
	if thick.absent && b.Layers > 0 {
		thick.fault("the thickness of a base layer is not stated", "write thickness: "+r.say("2 in", "50 mm")+", of each layer")
	}
	b.Thickness, _ = thick.positive(0, b.Layers == 0)
	return b
}
