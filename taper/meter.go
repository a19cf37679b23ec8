package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// DeckPart is a part of the deck with a plane of its own: between ridges and
// valleys that are in the deck already.
type DeckPart struct {
	Poly  geom.Poly
	Plane survey.Plane
}

// meter gives the measure away from any place of one site.
type meter struct {
	in    FieldInput
	frame geom.Frame
	known map[geom.Pt]gauge
	notes []string
	err   error // the first; the measure means nothing after it
}

func newMeter(in FieldInput, f geom.Frame) *meter {
	return &meter{in: in, frame: f, known: map[geom.Pt]gauge{}}
}

// at is the gauge away from q. On a deck of one plane it is the same everywhere;
// else each direction takes the planes into account that lie that way.
func (m *meter) at(q geom.Pt) gauge {
	if len(m.in.Decks) < 2 {
		q = geom.Pt{}
	}
	g, ok := m.known[q]
	if ok || m.err != nil {
		return g
	}
	g, notes, err := deckGauge(m.in, m.frame, m.in.ahead(q))
	for _, n := range notes {
		if !slices.Contains(m.notes, n) {
			m.notes = append(m.notes, n)
		}
	}
	m.err = err
	m.known[q] = g
	return g
}

// riseIn is the measure of the stretch v away from q, in inches.
func (m *meter) riseIn(q, v geom.Pt) float64 { return m.at(q).riseIn(v) }

// ahead gives the planes of deck that lie ahead of q.
func (in FieldInput) ahead(q geom.Pt) toward {
	return func(ups ...geom.Pt) []survey.Plane {
		var all, there []survey.Plane
		for _, d := range in.Decks {
			all = append(all, d.Plane)
			if liesAhead(d.Poly.Outer, q, ups) && !(in.narrow && len(ups) == 1 && !inWedge(d.Poly.Outer, q, ups[0])) {
				there = append(there, d.Plane)
			}
		}
		switch {
		case len(all) == 0:
			return []survey.Plane{in.Deck}
		case len(there) == 0:
			return all
		}
		return there
	}
}

// liesAhead says whether a ring reaches more than a touch beyond q in every one of
// the directions.
func liesAhead(r geom.Ring, q geom.Pt, ups []geom.Pt) bool {
	for _, up := range ups {
		most := math.Inf(-1)
		for _, p := range r {
			most = math.Max(most, p.Sub(q).Dot(up))
		}
		if most < touchFt {
			return false
		}
	}
	return true
}

// inWedge says whether a ring has more than a scrap within 45 degrees of a direction
// from q: where boards of one slope all round rise that way.
func inWedge(r geom.Ring, q, up geom.Pt) bool {
	const scrapSqft = 8
	left := geom.Pt{X: -up.Y, Y: up.X}
	for _, n := range []geom.Pt{up.Add(left), up.Sub(left)} {
		r = clipHalf(r, n, q.Dot(n))
	}
	return r.Area() > scrapSqft
}

// touchFt is how far a part of the deck may reach beyond an outlet on its border,
// as surveyed, without being ahead of it: half a board. Common practice, no source.
const touchFt = 2
