package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// fromThinFt is how far a place of a board lies from its thin edge; of a flat one, from the low
// edge of the piece.
func (h *held) fromThinFt(p geom.Pt) float64 {
	if s := h.board.Plane.Slope().InchesPerFoot(); s > 1e-9 {
		return (h.board.Plane.At(p) - h.board.ThinIn) / s
	}
	low := math.Inf(1)
	for _, q := range h.board.Poly.Outer {
		low = math.Min(low, q.Dot(h.board.Uphill))
	}
	return p.Dot(h.board.Uphill) - low
}

// anywhere is the least and the greatest thickness of the part: its planes have them at corners.
func (h *held) anywhere() (thin, thick unit.Length) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, part := range h.parts {
		for _, p := range part.Outer {
			lo, hi = math.Min(lo, h.under.At(p)), math.Max(hi, h.under.At(p))
		}
	}
	return unit.Inches(lo), unit.Inches(hi)
}

// along is the line of plates at a distance from the thin edge; false where it does not cross the
// part. A line on the very edge of a piece is in it.
func (h *held) along(at unit.Length) (plate, bool) {
	const hairFt = 1e-6
	v, lo, hi := at.Feet(), math.Inf(1), math.Inf(-1)
	for _, part := range h.parts {
		for _, ring := range part.Rings() {
			for i := range ring {
				p, q := ring[i], ring.At(i+1)
				a, b := h.fromThinFt(p)-v, h.fromThinFt(q)-v
				if math.Min(a, b) > hairFt || math.Max(a, b) < -hairFt {
					continue
				}
				t := 0.0
				if math.Abs(a-b) > hairFt {
					t = math.Max(0, math.Min(1, a/(a-b)))
				} else {
					lo, hi = math.Min(lo, h.under.At(q)), math.Max(hi, h.under.At(q))
				}
				x := h.under.At(p.Lerp(q, t))
				lo, hi = math.Min(lo, x), math.Max(hi, x)
			}
		}
	}
	return plate{held: h, at: at, thin: unit.Inches(lo), thick: unit.Inches(hi)}, hi >= lo
}

// middle is a piece that no line crosses: plates along the middle of it, told with the line that is nearest.
func (h *held) middle(lines []unit.Length) plate {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, part := range h.parts {
		for _, p := range part.Outer {
			v := h.fromThinFt(p)
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	mid := unit.Feet((lo + hi) / 2)
	p, _ := h.along(mid)
	p.at = slices.MinFunc(lines, func(a, b unit.Length) int {
		return cmp.Compare(math.Abs((a - mid).Feet()), math.Abs((b - mid).Feet()))
	})
	return p
}

func (p plate) row() rowOf { return p.board.ofRow() }

// plateLine is a line of plates in a row.
type plateLine struct {
	rowOf
	at unit.Length
}

// lines sums plates by row, line and zone, and chooses their lengths in each way.
func (f *Fastening) lines(plates []plate) {
	type key struct {
		plateLine
		zone int
	}
	known := f.Choice.Embed > 0
	at := map[key]int{}
	for _, p := range plates {
		k := key{plateLine{p.row(), p.at}, int(p.zone)}
		i, ok := at[k]
		if !ok {
			i = len(f.Screws)
			at[k] = i
			b := p.board
			f.Screws = append(f.Screws, ScrewLine{Layer: b.Layer, Type: b.Type, Mark: b.Mark, Facet: b.Facet, Row: b.Row,
				Zone: p.zone, Plate: p.at, Thin: p.thin, Thick: p.thick})
		}
		l := &f.Screws[i]
		l.Pieces++
		l.Screws += p.screws
		l.Thin, l.Thick = min(l.Thin, p.thin), max(l.Thick, p.thick)
	}
	if !known || len(plates) == 0 {
		return
	}
	byLine := lengthsBy(f, plates, func(p plate) plateLine { return plateLine{p.row(), p.at} })
	byRow := lengthsBy(f, plates, plate.row)
	for i := range f.Screws {
		l := &f.Screws[i]
		row := rowOf{regionKey{layer: l.Layer, facet: l.Facet, row: l.Row}, l.Type, l.Mark}
		l.RowLength = byRow[row]
		if l.Length = byLine[plateLine{row, l.Plate}]; l.Length > 0 {
			l.Through = l.Length - l.Thin
		}
	}
	if f.TooLong > 0 {
		return
	}
	one := lengthsBy(f, plates, func(plate) int { return 0 })
	f.way("one", plates, func(p plate) unit.Length { return one[0] })
	f.way("row", plates, func(p plate) unit.Length { return byRow[p.row()] })
	if len(f.Choice.Plates) > 1 {
		f.way("line", plates, func(p plate) unit.Length { return byLine[plateLine{p.row(), p.at}] })
	}
	f.way("plate", plates, func(p plate) unit.Length {
		l, _ := stockLength(f.Choice, p.thick+f.Choice.Embed)
		return l
	})
}

// lengthsBy is the length that the thickest place of each group of plates takes; a group that
// no screw is long enough for has none.
func lengthsBy[K comparable](f *Fastening, plates []plate, of func(plate) K) map[K]unit.Length {
	out := map[K]unit.Length{}
	for _, p := range plates {
		out[of(p)] = max(out[of(p)], p.thick+f.Choice.Embed)
	}
	for k, need := range out {
		var ok bool
		if out[k], ok = stockLength(f.Choice, need); !ok {
			f.TooLong = max(f.TooLong, need)
		}
	}
	return out
}

// way counts the screws by length in one way of choosing them. Spares are as those of boards.
func (f *Fastening) way(name string, plates []plate, length func(plate) unit.Length) {
	w := ScrewWay{Name: name}
	count := map[unit.Length]int{}
	for _, p := range plates {
		l := length(p)
		count[l] += p.screws
		w.Through = max(w.Through, l-p.thin)
	}
	for l, n := range count {
		w.Lengths = append(w.Lengths, ScrewCount{Length: l, Screws: n, Spares: (n*sparesPct + 99) / 100})
	}
	slices.SortFunc(w.Lengths, func(a, b ScrewCount) int { return cmp.Compare(a.Length, b.Length) })
	f.Ways = append(f.Ways, w)
}

// Total is the screws of all lines; 0: not stated.
func (f *Fastening) Total() (n int) {
	for _, l := range f.Screws {
		n += l.Screws
	}
	return n
}
