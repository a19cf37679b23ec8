package render

import (
	"encoding/json"
	"math"
	"strconv"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// design writes facets, lines, thicknesses at corners and boards.
func (p *planWriter) design(site *survey.Site, d *taper.Design) {
	names := map[int]string{}
	for _, c := range d.Crickets {
		names[c.ID] = c.Name
	}
	for i := range d.Facets {
		f := &d.Facets[i]
		more := props{{"role", f.Role.String()}, {"board_in_per_ft", figure(f.Plane.Slope().InchesPerFoot())},
			{"uphill_deg", p.uphill(f.Plane)}}
		more = append(more, planeProps(f.Plane.ToJob(p.frame))...)
		if f.Role == taper.CricketRole && f.Under != 0 {
			more = append(more, prop{"under", "F" + strconv.Itoa(f.Under)})
		}
		if f.Cricket != 0 {
			more = append(more, prop{"cricket", cricketTag(f.Cricket)}, prop{"name", names[f.Cricket]})
		}
		p.feature("facet", "F"+strconv.Itoa(f.ID), polygonOf(f.Poly.Map(p.frame.ToJob)), more...)
	}
	p.lines(d)
	for n, t := range spotsOf(site, d) {
		p.feature("spot", "T"+strconv.Itoa(n+1), pointOf(p.frame.ToJob(t.p)),
			prop{"what", t.kind.String()}, prop{"thickness_in", figure(t.tIn)})
	}
	for i := range d.Boards {
		p.board(&d.Boards[i])
	}
	if d.Laid != nil {
		p.laid(d.Laid.Rows)
	}
}

// laid writes rows that are down: what they are, where, and their own thickness.
func (p *planWriter) laid(rows []taper.LaidRow) {
	for n, r := range rows {
		more := props{{"layer", r.Layer}, {"type", r.Type}, {"mark", r.Mark}, {"pieces", r.Boards}, {"as_designed", r.Differs == nil}}
		p.feature("laid", "laid-"+strconv.Itoa(n+1), p.regions(r.Polys), append(more, planeProps(r.Plane.ToJob(p.frame))...)...)
	}
}

// lines writes the valleys, ridges and hips of the finished surface.
func (p *planWriter) lines(d *taper.Design) {
	count := map[taper.LineKind]int{}
	for _, l := range d.Lines {
		count[l.Kind]++
		p.feature(l.Kind.String(), l.Kind.String()+"-"+strconv.Itoa(count[l.Kind]),
			lineOf(p.frame.ToJob(l.A), p.frame.ToJob(l.B)),
			prop{"slope_in_per_ft", figure(l.Slope.InchesPerFoot())})
	}
}

// proposals writes the places of sumps, fills, crickets, outlets and parts that
// the ladder tested, whether it kept their rung or not.
func (p *planWriter) proposals(a *AreaResult) {
	n := 0
	for _, step := range a.Ladder {
		for _, place := range step.Places {
			n++
			g := pointOf(p.frame.ToJob(place.At))
			if len(place.Shape) > 0 {
				g = p.regions(place.Shape)
			}
			p.feature("proposal", "proposal-"+strconv.Itoa(n), g, prop{"rung", step.Rung.String()},
				prop{"what", place.Rung.String()}, prop{"outcome", step.Outcome.String()},
				prop{"words", place.Words}, prop{"clears", append([]string{}, place.Clears...)})
		}
	}
}

// uphill is the direction of steepest ascent of a plane in the frame, in
// degrees; null for a level plane.
func (p *planWriter) uphill(plane survey.Plane) any {
	up, ok := plane.Uphill()
	if !ok {
		return nil
	}
	return degreesOf(p.frame.DirToJob(up))
}

func (p *planWriter) board(b *taper.Board) {
	w := boardInWorld(p.frame, b)
	more := props{{"layer", b.Layer}, {"type", b.Type.String()}, {"mark", b.Mark},
		{"row", b.Row}, {"seq", b.Seq}, {"thin_in", figure(b.ThinIn)}, {"thick_in", figure(b.ThickIn)},
		{"uphill_deg", degreesOf(w.Uphill)}}
	more = append(more, planeProps(w.Plane)...)
	more = append(more, props{{"stock_ft", [2]float64{sizeFt(b.Along), sizeFt(b.Depth)}}, {"cut", b.Cut},
		{"piece", b.Piece}, {"stock_no", b.Stock.No}}...)
	if b.Facet != 0 {
		more = append(more, prop{"facet", "F" + strconv.Itoa(b.Facet)})
	}
	p.feature("board", b.Piece, polygonOf(w.Poly), more...)
}

func sizeFt(l unit.Length) float64 { return figure(l.Feet()) }

// planeProps gives a plane of thickness for x, y in job feet, all digits.
func planeProps(p survey.Plane) props {
	return props{{"t0_in", plain(p.CIn)}, {"tx_in_per_ft", plain(p.GX)}, {"ty_in_per_ft", plain(p.GY)}}
}

// figure rounds x to nine digits, so that a roof that is turned or shifted
// shows the same figures.
func figure(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return plain(x)
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	if err != nil {
		return x
	}
	return r
}

// prop is one property of a feature; they are written in the order given.
type prop struct {
	key   string
	value any
}

type props []prop

// MarshalJSON writes an object with its keys in order.
func (ps props) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i, p := range ps {
		if i > 0 {
			out = append(out, ',')
		}
		value, err := json.Marshal(p.value)
		if err != nil {
			return nil, err
		}
		out = append(strconv.AppendQuote(out, p.key), ':')
		out = append(out, value...)
	}
	return append(out, '}'), nil
}

// shape is the geometry of a feature in job coordinates.
type shape struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// place is a place in job feet, written to 1e-9 ft.
type place geom.Pt

// MarshalJSON writes [x,y].
func (p place) MarshalJSON() ([]byte, error) {
	if d := p.X - p.X + p.Y - p.Y; d != 0 {
		return nil, &json.UnsupportedValueError{Str: "a place that is no number"}
	}
	return []byte("[" + decimal(p.X) + "," + decimal(p.Y) + "]"), nil
}

func pointOf(p geom.Pt) shape { return shape{"Point", place(p)} }

func lineOf(pts ...geom.Pt) shape { return shape{"LineString", places(pts)} }

func places(pts []geom.Pt) []place {
	out := make([]place, len(pts))
	for i, p := range pts {
		out[i] = place(p)
	}
	return out
}

func polygonOf(p geom.Poly) shape { return shape{"Polygon", ringsOf(p)} }

// ringsOf closes the rings of p and gives them the hand that RFC 7946, section
// 3.1.6, asks for.
func ringsOf(p geom.Poly) [][]place {
	var rings [][]place
	for _, r := range p.LeftRings() {
		rings = append(rings, closed(r))
	}
	return rings
}

func closed(r geom.Ring) []place {
	if len(r) == 0 {
		return []place{}
	}
	return append(places(r), place(r[0]))
}

// regions gives polygons of the frame as one shape in job coordinates.
func (p *planWriter) regions(ps []geom.Poly) shape {
	if len(ps) == 1 {
		return polygonOf(ps[0].Map(p.frame.ToJob))
	}
	parts := make([][][]place, len(ps))
	for i, q := range ps {
		parts[i] = ringsOf(q.Map(p.frame.ToJob))
	}
	return shape{"MultiPolygon", parts}
}
