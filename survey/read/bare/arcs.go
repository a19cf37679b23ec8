package bare

import (
	"math"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// ChordError is the most by which a chord of a flattened arc may miss it.
const ChordError = unit.Inch / 16

// arcAngle is the angle about the centre that a bulge stands for, positive
// counter-clockwise: a bulge is the tangent of a quarter of it.
func arcAngle(bulge float64) float64 { return 4 * math.Atan(bulge) }

// arcRadius is signed as its bulge, which is not 0.
func arcRadius(chord, bulge float64) float64 {
	return chord * (1 + bulge*bulge) / (4 * bulge)
}

// arcLength is the length along the arc over a chord.
func arcLength(chord, bulge float64) float64 {
	if math.Abs(bulge) < 1e-8 {
		return chord
	}
	return arcRadius(chord, bulge) * arcAngle(bulge)
}

// arcArea is the area between a chord and its arc, signed as the bulge: r^2/2
// (angle - sin angle), by the first term of its series, chord^2 bulge/3, where
// the arc is so flat that the difference would be lost.
func arcArea(chord, bulge float64) float64 {
	if math.Abs(bulge) < 1e-4 {
		return chord * chord * bulge / 3
	}
	r, angle := arcRadius(chord, bulge), arcAngle(bulge)
	return r * r / 2 * (angle - math.Sin(angle))
}

// bulge is that of the edge from vertex i of the outer ring, 0 where straight.
func (o Outline) bulge(i int) float64 {
	if i < len(o.Bulges) {
		return o.Bulges[i]
	}
	return 0
}

// Flat is the outer ring with its arcs as chords, none further from its arc
// than [ChordError], but no more than 1,000 chords an arc. A unit that is not
// stated is taken for the metre: the finest chords of all.
func (o Outline) Flat(u Unit) geom.Ring {
	within := ChordError.Inches() / u.Length().Inches()
	var out geom.Ring
	for i, a := range o.Outer {
		out = append(out, a)
		if b := o.bulge(i); b != 0 {
			out = append(out, arcPlaces(a, o.Outer.At(i+1), b, within)...)
		}
	}
	return out
}

// arcPlaces are the places along an arc between its ends a and b. In the chord's
// own directions, an arc of signed radius r and half angle h has the place
// (r sin f, r (cos f - cos h)) at the angle f from its middle, -h < f < h.
func arcPlaces(a, b geom.Pt, bulge, within float64) []geom.Pt {
	const most = 1000
	chord := a.Dist(b)
	if chord == 0 || math.Abs(bulge) < 1e-8 {
		return nil
	}
	r, h := arcRadius(chord, bulge), arcAngle(bulge)/2
	step := 2 * math.Acos(max(0, 1-within/math.Abs(r)))
	n := most
	if k := math.Ceil(2 * math.Abs(h) / step); k < most {
		n = int(k)
	}
	along := b.Sub(a).Mul(1 / chord)
	right := geom.Pt{X: along.Y, Y: -along.X}
	var out []geom.Pt
	for i := 1; i < n; i++ {
		f := h * (2*float64(i)/float64(n) - 1)
		off := 2 * r * math.Sin((h+f)/2) * math.Sin((h-f)/2)
		out = append(out, a.Lerp(b, 0.5).Add(along.Mul(r*math.Sin(f))).Add(right.Mul(off)))
	}
	return out
}

// arcEnds are the places where an arc from a to b reaches furthest to the right,
// left, up and down, as far as they lie on it: on its side of the chord. An arc
// that leaves its chord by less than a millionth of it has none.
func arcEnds(a, b geom.Pt, bulge float64) []geom.Pt {
	chord := a.Dist(b)
	if chord == 0 || math.Abs(bulge) < 1e-6 {
		return nil
	}
	left := geom.Pt{X: a.Y - b.Y, Y: b.X - a.X}
	centre := a.Lerp(b, 0.5).Add(left.Mul((1 - bulge*bulge) / (4 * bulge)))
	r := arcRadius(chord, bulge)
	var out []geom.Pt
	for _, v := range []geom.Pt{{X: r}, {X: -r}, {Y: r}, {Y: -r}} {
		if p := centre.Add(v); b.Sub(a).Cross(p.Sub(a))*bulge < 0 {
			out = append(out, p)
		}
	}
	return out
}

// Length is one of u; see [Outline.Flat] for none.
func (u Unit) Length() unit.Length {
	switch u {
	case Feet:
		return unit.Foot
	case SurveyFeet:
		return unit.SurveyFoot
	case Inches:
		return unit.Inch
	case Millimetres:
		return unit.Millimetre
	}
	return unit.Metre
}
