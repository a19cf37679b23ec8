package taper

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

func fastened(t testing.TB, s *survey.Site, d *Design, c survey.Fastening) *Fastening {
	t.Helper()
	f, err := FasteningOf(FastenIn{Site: s, Design: d, Choice: c})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Zones of rectangles, sq ft, against closed forms: strips of width a leave (W-2a)(D-2a) inside, four corners of
// a x a; by height the corners are 4(2 x 0.6h x 0.2h - (0.2h)^2) = 0.8 h^2. Rules from memory of ASCE 7-10 and 7-16.
func TestZonesOf_Rectangles(t *testing.T) {
	for _, c := range []struct {
		w, d, h                     float64
		a, corner, perimeter, field float64
		three, two, one, inner      float64
	}{
		{100, 200, 20, 8, 256, 4288, 15456, 320, 6304, 5472, 7904},
		{40, 60, 15, 4, 64, 672, 1664, 180, 1296, 828, 96},
		{50, 100, 12, 4.8, 92.16, 1255.68, 3652.16, 115.2, 1837.44, 1537.92, 1509.44},
		{200, 500, 40, 16, 1024, 20352, 78624, 1280, 30016, 26688, 42016},
		{300, 400, 30, 12, 576, 15648, 103776, 720, 23184, 21312, 74784},
	} {
		s := siteOf(rectOf(0, 0, c.w, c.d))
		want := func(by survey.ZoneRule, stripFt float64, sqft map[survey.Zone]float64) {
			z, err := ZonesOf(s, survey.ZoneChoice{By: by, Height: unit.Feet(c.h)})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(z.Strip.Feet()-stripFt) > 1e-9 || len(z.Areas) != len(sqft) {
				t.Errorf("%v x %v %s: strip %v ft, want %v; zones %v", c.w, c.d, by, z.Strip.Feet(), stripFt, z.Areas)
			}
			for _, a := range z.Areas {
				if math.Abs(a.SqFt-sqft[a.Zone]) > 1e-6*c.w*c.d {
					t.Errorf("%v x %v %s: %s %v sq ft, want %v", c.w, c.d, by, a.Zone, a.SqFt, sqft[a.Zone])
				}
			}
		}
		want(survey.ZonesByWidth, c.a, map[survey.Zone]float64{survey.CornerZone: c.corner, survey.PerimeterZone: c.perimeter, survey.FieldZone: c.field})
		want(survey.ZonesByHeight, 0.6*c.h, map[survey.Zone]float64{survey.CornerZone: c.three, survey.PerimeterZone: c.two,
			survey.FieldZone: c.one, survey.InnerZone: c.inner})
	}
}

// An L of 60 x 60 ft less 20 x 20, width 60 and height 50: strip 6. Five corners turn outward, 36 sq ft each; the
// inside corner makes none. The strip by hand: the L drawn in by 6 ft all round is 48 x 48 less
// 20 x 20 (its inside corner moves with it), so 3200 - (2304 - 400) = 1296. A limit of the work takes its edge and the
// two corners at its ends away.
func TestZonesOf_InsideCornerAndLimit(t *testing.T) {
	s := siteOf(geom.Ring{{}, {X: 60}, {X: 60, Y: 40}, {X: 40, Y: 40}, {X: 40, Y: 60}, {Y: 60}})
	c := survey.ZoneChoice{By: survey.ZonesByWidth, Height: 50 * unit.Foot}
	areas := func() (corner, perimeter float64) {
		z, err := ZonesOf(s, c)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range z.Areas {
			switch a.Zone {
			case survey.CornerZone:
				corner = a.SqFt
			case survey.PerimeterZone:
				perimeter = a.SqFt
			}
		}
		return corner, perimeter
	}
	if corner, per := areas(); math.Abs(corner-180) > 1e-6 || math.Abs(per-(1296-180)) > 1e-6 {
		t.Errorf("corners %v, want 180; perimeter %v, want %v", corner, per, 1296-180)
	}
	s.Edges[0].Kind = survey.LimitEdge // 60 ft along the bottom; the strips of its neighbours still reach it
	if corner, per := areas(); math.Abs(corner-108) > 1e-6 || math.Abs(per-(1296-48*6-108)) > 1e-6 {
		t.Errorf("with a limit: corners %v, want 108; perimeter %v, want %v", corner, per, 1296-48*6-108)
	}
}

// Screws in a board by proportion, arithmetic; county approvals of one screw in 4, 5.33 and 6.4 sq ft.
func TestPerBoard_PublishedCounts(t *testing.T) {
	board := unit.SquareFeet(32)
	for _, c := range []struct {
		psf, lb float64
		want    int
	}{{45, 360, 4}, {60, 300, 7}, {75, 300, 8}, {105, 300, 12}} {
		f := survey.Fastening{Pressure: survey.ByZone[unit.Load]{Field: unit.PoundsPerSquareFoot(c.psf)}, Screw: unit.Force(c.lb) * unit.Pound}
		if n := perBoard(f, board, survey.FieldZone); n != c.want {
			t.Errorf("%v psf, %v lb: %d, want %d", c.psf, c.lb, n, c.want)
		}
	}
	for each, want := range map[float64]int{4: 8, 5.33: 6, 6.4: 5} {
		f := survey.Fastening{AreaEach: survey.ByZone[unit.Area]{Field: unit.SquareFeet(each)}}
		if n := perBoard(f, board, survey.FieldZone); n != want {
			t.Errorf("one in %v sq ft: %d, want %d", each, n, want)
		}
	}
}

// 5.5 + 0.5 + 0.75 = 6.75 in takes 7 in in steps of 1 in; what fits exactly takes no step more.
func TestStockLength(t *testing.T) {
	step := survey.Fastening{Step: unit.Inch}
	list := survey.Fastening{Lengths: []unit.Length{6 * unit.Inch, 7 * unit.Inch, 9 * unit.Inch}}
	for _, c := range []struct {
		f          survey.Fastening
		need, want float64
	}{{step, 6.75, 7}, {step, 7, 7}, {step, 7.001, 8}, {list, 6.75, 7}, {list, 7.2, 9}, {list, 9.1, 0}} {
		if l, ok := stockLength(c.f, unit.Inches(c.need)); math.Abs(l.Inches()-c.want) > 1e-9 || ok != (c.want > 0) {
			t.Errorf("%v in: %v %v, want %v", c.need, l.Inches(), ok, c.want)
		}
	}
}

func screwed(embedIn float64, plates ...unit.Length) survey.Fastening {
	return survey.Fastening{Attach: survey.Screws, Embed: unit.Inches(embedIn), Step: unit.Inch, Plates: plates,
		PerBoard: survey.ByZone[int]{Field: 4}}
}

func throughs(f *Fastening) string {
	var out string
	for _, w := range f.Ways {
		out += fmt.Sprintf("%s %.2f:", w.Name, w.Through.Inches())
		for _, c := range w.Lengths {
			out += fmt.Sprintf(" %g=%d+%d", c.Length.Inches(), c.Screws, c.Spares)
		}
		out += "; "
	}
	return out
}

// A row 1/2 to 1-1/2 over a base of 5.2, plates 1 and 3 ft from the thin edge, 3/4 in into the deck: 5.95 + 0.75 = 6.70 and
// 6.45 + 0.75 = 7.20, so 7 and 8. All of 8: 8 - 5.95 = 2.05 through; each its own: 7 - 5.95 = 1.05 and 8 - 6.45 = 1.55.
// 15 boards of 4 screws: 60, 30 a line; 3 % of 30 is one spare, of 60 two.
func TestFasteningOf_TwoLengthsARow(t *testing.T) {
	s, facets := oneWay(60, 4, 5.7, 0.25)
	stock := quarterStock(2, 2)
	stock.Flats = append(stock.Flats, survey.FlatBoard{Thickness: unit.Inches(2.6), Along: 4 * unit.Foot, Depth: 4 * unit.Foot})
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 2, Thickness: unit.Inches(2.6)}
	d := laid(t, s, facets, choice, stock)
	f := fastened(t, s, d, screwed(0.75, unit.Foot, 3*unit.Foot))
	want := "one 2.05: 8=60+2; row 2.05: 8=60+2; line 1.55: 7=30+1 8=30+1; plate 1.55: 7=30+1 8=30+1; "
	if got := throughs(f); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if len(f.Screws) != 2 || math.Abs(f.Screws[0].Through.Inches()-1.05) > 1e-9 || math.Abs(f.Screws[1].Through.Inches()-1.55) > 1e-9 {
		t.Errorf("lines %+v", f.Screws)
	}
	base := screwed(0.75)
	base.Attach = survey.BaseScrews
	base.Beads.Field = unit.Foot
	// 5.2 + 0.75 = 5.95 takes 6: one length. The upper base layer is moved by half a board both ways: two rows of 14 pieces
	// 4 x 2 ft and two 2 x 2, each with two screws, 64. The tapered layer, 240 sq ft, is glued: 240 ft of bead a foot apart.
	if f := fastened(t, s, d, base); throughs(f) != "one 0.80: 6=64+2; row 0.80: 6=64+2; plate 0.80: 6=64+2; " {
		t.Errorf("base screws: %s", throughs(f))
	} else if bead, _ := f.Bead(); math.Abs(bead.Feet()-240) > 1e-6 {
		t.Errorf("bead %v ft, want 240", bead.Feet())
	}
}

// The eave-drained roof, 60 x 40 ft at 1/4 from 1/2 in: rows end 1.5, 2.5 ... 10.5 in thick. With plates at the
// thick edges and 1 in into the deck they need 2.5 to 11.5 in, in steps of 1 in ten lengths from 3 to 12,
// 60 screws each.
func TestFasteningOf_TenLengths(t *testing.T) {
	s, facets := oneWay(60, 40, 0.5, 0.25)
	d := laid(t, s, facets, choiceOf(0.5), quarterStock(2, 2))
	for name, c := range map[string]survey.Fastening{"stated": screwed(1, 4*unit.Foot), "not stated": screwed(1)} {
		f := fastened(t, s, d, c)
		if len(f.Screws) != 10 || len(f.Ways[1].Lengths) != 10 {
			t.Fatalf("plates %s: %d lines, lengths %v", name, len(f.Screws), f.Ways)
		}
		for i, l := range f.Screws {
			if need := (l.Thick + c.Embed).Inches(); math.Abs(need-(2.5+float64(i))) > 1e-6 || math.Abs(l.Length.Inches()-float64(3+i)) > 1e-9 || l.Screws != 60 {
				t.Errorf("plates %s, row %d: needs %v, screw %v, %d of them", name, i+1, need, l.Length.Inches(), l.Screws)
			}
		}
	}
}

// Every roof of one area has its screws once: with a screw for each square foot of whole boards the
// count is no less than the area and, two being the least in a piece, no more than
// the area and two for each piece. Plates lie within the thickness of the field there.
func TestFasteningOf_CoversTheRoof(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w, dFt := rapid.Float64Range(12, 60).Draw(rt, "w"), rapid.Float64Range(12, 50).Draw(rt, "d")
		ring := rectOf(0, 0, w, dFt)
		s, facets := fourWay(ring, geom.Pt{X: w * rapid.Float64Range(0.2, 0.8).Draw(rt, "x"), Y: dFt * rapid.Float64Range(0.2, 0.8).Draw(rt, "y")}, 0.5, 0.25)
		d := laid(t, s, facets, choiceOf(0.5), quarterStock(2, 2))
		c := screwed(0.75, unit.Foot, 3*unit.Foot)
		c.PerBoard.Field = 16
		f := fastened(t, s, d, c)
		pieces := 0
		for _, b := range d.Boards {
			if b.Type == TaperedType {
				pieces++
			}
		}
		if n := float64(f.Total()); n < w*dFt-1e-6 || n > w*dFt+2*float64(pieces) {
			rt.Errorf("%v screws on %v sq ft in %d pieces", n, w*dFt, pieces)
		}
		for _, l := range f.Screws {
			if l.Thin.Inches() < 0.5-1e-6 || l.Length < l.Thick+c.Embed-unit.Inch/1e6 || l.Length > l.Thick+c.Embed+unit.Inch {
				rt.Errorf("line %+v", l)
			}
		}
	})
}
