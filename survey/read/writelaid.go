package read

import (
	"bytes"
	"strconv"
	"strings"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// laid writes what lies on the roof, where something does.
func (w *jobWriter) laid(root group) error {
	var b bytes.Buffer
	row(&b, "area", "layer", "type", "mark", "facet", "row", "boards", "stock_ft", "thick_deg", "thin_edge", "outline")
	some := false
	for _, a := range w.job.Areas {
		for _, r := range a.Laid {
			some = true
			name, deg := "", ""
			if r.Row > 0 {
				name = strconv.Itoa(r.Row)
			}
			if r.Tapered() {
				deg = plainText(r.ThickDeg)
			}
			row(&b, a.Name, strconv.Itoa(r.Layer), r.Type, r.Mark, r.Facet, name, strconv.Itoa(r.Boards), w.size(r.Along, r.Depth),
				deg, w.orNone(r.ThinEdge), wktText(r.Outline))
		}
		for _, h := range a.OnHand {
			some = true
			row(&b, a.Name, "", h.Type, h.Mark, "", "", strconv.Itoa(h.Boards), w.size(h.Along, h.Depth), "", "", "")
		}
	}
	if !some {
		return nil
	}
	root.put("laid", w.free("laid.csv"))
	return w.write(w.free("laid.csv"), b.Bytes())
}

// size writes the size of a stock board where it is told.
func (w *jobWriter) size(along, depth unit.Length) string {
	if along == 0 {
		return ""
	}
	return lengthText(along, w.job.Units) + " x " + lengthText(depth, w.job.Units)
}

// wktText writes regions as well-known text, each ring back to its first place.
func wktText(ps []geom.Poly) string {
	ring := func(r geom.Ring) string {
		var at []string
		for i := range len(r) + 1 {
			p := r.At(i)
			at = append(at, plainText(p.X)+" "+plainText(p.Y))
		}
		return "(" + strings.Join(at, ", ") + ")"
	}
	var out []string
	for _, p := range ps {
		var rings []string
		for _, r := range p.Rings() {
			rings = append(rings, ring(r))
		}
		out = append(out, "("+strings.Join(rings, ", ")+")")
	}
	return "MULTIPOLYGON (" + strings.Join(out, ", ") + ")"
}
