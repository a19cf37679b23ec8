package read

import (
	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// rateText is a rate of rain so that it reads back as the very same; nothing
// where it is not stated.
func rateText(r unit.RainRate) string {
	if r == 0 {
		return ""
	}
	return plainText(r.InchesPerHour()) + " in/h"
}

// capacity writes what an outlet takes and where it discharges.
func (w *jobWriter) capacity(g group, o survey.Outlet) {
	if len(o.Capacity) > 0 {
		rows := &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle}
		for _, c := range o.Capacity {
			rows.Content = append(rows.Content, &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle, Content: []*yaml.Node{
				scalar(w.length(c.Head)), scalar(plainText(c.Flow.GallonsPerMinute()) + " gpm")}})
		}
		g.node("capacity", rows)
	}
	g.put("onto", o.Onto)
}

// bays writes the bays of a deck and the deflection to be tried.
func (w *jobWriter) bays(deck group, d survey.DeckKind) {
	if b := d.Bays; b != nil {
		bays := flow()
		bays.node("size", pairNode(geom.Pt{X: b.W, Y: b.D}, w.plan))
		bays.node("from", pairNode(b.From, w.plan))
		deck.node("bays", bays.n)
	}
	if d.SagOf > 0 {
		deck.put("sag", "L/"+plainText(d.SagOf))
	}
	deck.put("camber", w.orNone(d.Camber))
}
