package taper

import (
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Two base layers of 8 x 4 ft lie 2 ft and 2 ft off one another. Of cover over two rows
// of 24 ft no joint lies near one below; moved back by 2 ft, its joints at 4, 12 and
// 20 ft in each of three strips lie on those of the taper.
func TestJointsOf_SeesJointsOverJoints(t *testing.T) {
	s, facets := oneWay(24, 8, 4.5, 0.25)
	choice := choiceOf(0.5)
	choice.Base, choice.Cover = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}, unit.Inch/2
	stock := withCover(quarterStock(2, 2))
	stock.Flats = append(stock.Flats, survey.FlatBoard{Thickness: 2 * unit.Inch, Along: 8 * unit.Foot, Depth: 4 * unit.Foot})
	d := laid(t, s, facets, choice, stock)
	got := JointsOf(d)
	wantEqual(t, "base along", got.BaseAlong, 2*unit.Foot)
	wantEqual(t, "base up", got.BaseDepth, 2*unit.Foot)
	wantEqual(t, "close joints of cover", got.Cover, 0)
	for i := range d.Boards {
		if b := &d.Boards[i]; b.Type == CoverType {
			b.Poly = b.Poly.Map(func(p geom.Pt) geom.Pt { return p.Add(geom.Pt{X: -2}) })
		}
	}
	wantEqual(t, "close joints of cover moved by half a board", JointsOf(d).Cover, 9)
}
