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
		slope.fault("the slope to build is not stated", "write slope: 1/4 in/ft")
	} else {
		t.Slope, _ = slope.slope()
	}
	if start := f.get("start"); start.absent {
		start.fault("the thickness at the low point is not stated",
			"write start: 1/2 in, the tapered insulation there, above the base")
	} else {
		t.Start, _ = start.positive(0, true)
	}
	t.Base = r.base(f.get("base"))
	t.Cover, _ = orNone(f.get("cover"))
	t.Thickest, _ = orNone(f.get("thickest"))
	if least := t.Start + unit.Inches(float64(t.Base.Layers)*t.Base.Thickness.Inches()); t.Thickest > 0 && least > t.Thickest {
		f.get("thickest").fault(fmt.Sprintf("base and start alone are %g in", least.Inches()),
			"allow more, or take a thinner base")
	}
	if deg, ok := f.get("axes").degrees(); ok {
		t.AxesDeg = &deg
	}
	t.TurnBoard = f.get("turn_boards").yes()
	t.Sump = sump(f.get("sump"))
	j.Taper = t
}

// sump reads the side of the sumps that drains may be set in.
func sump(v item) unit.Length {
	f, ok := v.fields("sump")
	if !ok {
		return 0
	}
	size := f.get("size")
	if size.absent {
		size.fault("the sump has no size", "write size: 4 ft, a side of its square")
	}
	side, ok := size.positive(0, false)
	if ok && side > mostSump {
		size.fault("no sump is so large", "write a side of 16 ft or less, such as 4 ft")
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

// scheme reads how to lay the taper. compare and nothing choose by the
// outlets: one-way where water leaves by edges and scuppers alone.
func (r *jobReader) scheme(v item) survey.Scheme {
	built := "four-way and one-way are what is built so far"
	switch w := v.word("four-way", "one-way", "compare",
		"two-way-crickets", "crickets-only", "fill-lows"); w {
	case "four-way":
		return survey.FourWay
	case "one-way":
		return survey.OneWay
	case "compare":
		s := r.byOutlets()
		v.note(built+"; "+s.String()+" is laid out", "write scheme: four-way or scheme: one-way to choose")
		return s
	case "":
		if v.absent {
			s := r.byOutlets()
			v.note("no scheme is stated; "+s.String()+" is laid out", "write scheme: "+s.String())
			return s
		}
	default:
		v.fault("this scheme is not built yet", "write four-way or one-way: "+built)
	}
	return survey.UnsetScheme
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
		thick.fault("the thickness of a base layer is not stated", "write thickness: 2 in, of each layer")
	}
	b.Thickness, _ = thick.positive(0, b.Layers == 0)
	return b
}
