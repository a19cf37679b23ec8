package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Fastening is what holds the boards of a design down: counts for pricing, not a design
// against uplift, which is the engineer's.
type Fastening struct {
	Choice survey.Fastening
	Zones  *WindZones // nil: none are drawn, all is field
	// Board is the area of the largest board of the layer that the screws hold, and PerBoard
	// the screws in it; 0: not stated.
	Board    unit.Area
	PerBoard survey.ByZone[int]
	Screws   []ScrewLine // in laying order
	Ways     []ScrewWay  // of choosing lengths, fewest first; empty where no length can be told
	Glue     []GlueLine
	// TooLong is the greatest length needed where the stock has none so long; 0: it has.
	TooLong unit.Length
}

// ScrewLine is a line of plates in the boards of one row and one zone.
type ScrewLine struct {
	Layer      int
	Type       BoardType
	Mark       string
	Facet, Row int
	Zone       survey.Zone
	Plate      unit.Length // of the line from the thin edge; 0: at the thickest place
	Pieces     int         // that have plates on the line
	Screws     int         // 0: not stated how many
	// Thin and Thick are the least and the greatest thickness under the plates, from the
	// top of the deck up.
	Thin, Thick unit.Length
	Length      unit.Length // of the screws, by line of plates; 0: not known
	RowLength   unit.Length // where a row has one length
	Through     unit.Length // by which the longest way stands below the top of the deck
}

// ScrewWay is one way to choose lengths.
type ScrewWay struct {
	Name    string // "one", "row", "line", "plate"
	Lengths []ScrewCount
	Through unit.Length // greatest that a screw stands below the top of the deck
}

// ScrewCount is the screws of one length.
type ScrewCount struct {
	Length         unit.Length
	Screws, Spares int
}

// GlueLine is the adhesive under one layer in one zone.
type GlueLine struct {
	Layer int
	Type  BoardType
	Zone  survey.Zone
	SqFt  float64
	Bead  unit.Length // 0: not stated how far apart beads lie
}

// FastenIn is what fastening is counted from, in the frame of Site.
type FastenIn struct {
	Site   *survey.Site
	Design *Design
	Choice survey.Fastening
}

// FasteningOf counts screws and adhesive. Every piece whose top is screwed down, or what no cricket
// covers of it, has the screws of its board by area, rounded up: that of the hardest zone it reaches
// into, two at least, one where it is under a square foot (common practice, no source). All layers
// below are held by the same screws, in the pattern of the top board (Florida RAS 117, 3.5).
// Cost: a few overlays for each piece near an edge.
func FasteningOf(in FastenIn) (*Fastening, error) {
	f := &Fastening{Choice: in.Choice}
	var err error
	if f.Zones, err = ZonesOf(in.Site, in.Choice.Zones); err != nil {
		return nil, err
	}
	if f.Choice.Attach != survey.Adhesive {
		if err := f.screw(in); err != nil {
			return nil, err
		}
	}
	if err := f.glue(in.Design.Boards); err != nil {
		return nil, err
	}
	return f, nil
}

// glue measures the adhesive under every layer that it holds.
func (f *Fastening) glue(boards []Board) error {
	type key struct {
		layer int
		typ   BoardType
		zone  survey.Zone
	}
	sqft := map[key]float64{}
	for _, b := range boards {
		if !f.glued(b.Type) {
			continue
		}
		in, err := f.Zones.share(b.Poly)
		if err != nil {
			return err
		}
		for _, z := range survey.Zones() {
			if a := *in.Of(z); a > geom.Sliver {
				sqft[key{b.Layer, b.Type, z}] += a
			}
		}
	}
	for k, a := range sqft {
		l := GlueLine{Layer: k.layer, Type: k.typ, Zone: k.zone, SqFt: a}
		if apart := inZone(f.Choice.Beads, k.zone); apart > 0 {
			l.Bead = unit.Feet(a / apart.Feet())
		}
		f.Glue = append(f.Glue, l)
	}
	slices.SortFunc(f.Glue, func(a, b GlueLine) int {
		return cmp.Or(a.Layer-b.Layer, cmp.Compare(a.Type, b.Type), cmp.Compare(a.Zone, b.Zone))
	})
	return nil
}

// glued says whether adhesive holds the boards of a type.
func (f *Fastening) glued(t BoardType) bool {
	switch f.Choice.Attach {
	case survey.Adhesive:
		return true
	case survey.BaseScrews:
		return t != BaseType
	case survey.Screws:
		return t == CoverType && f.Choice.GluedCover
	case survey.UnsetAttach:
	}
	return false
}

// inZone is the value of a zone; the inner one has that of the field where it has none.
func inZone[T comparable](b survey.ByZone[T], z survey.Zone) T {
	v, none := *b.Of(z), *new(T)
	if v == none && z == survey.InnerZone {
		return b.Field
	}
	return v
}

// GlueSqft is the area under which adhesive lies, all layers together.
func (f *Fastening) GlueSqft() (sqft float64) {
	for _, g := range f.Glue {
		sqft += g.SqFt
	}
	return sqft
}

// Bead is the length of all beads, and Kits what they take; 0: not stated.
func (f *Fastening) Bead() (bead unit.Length, kits int) {
	for _, l := range f.Glue {
		if l.Bead == 0 {
			return 0, 0
		}
		bead += l.Bead
	}
	if f.Choice.Kit > 0 {
		kits = int(math.Ceil(unit.RatioOf(bead, f.Choice.Kit) - 1e-9))
	}
	return bead, kits
}

// perBoard is the screws in a board of an area in a zone; 0: not stated.
//
// Sources: the product of pressure and area over what one screw holds, and the area of one
// screw, are arithmetic. County approvals round one screw in 5.33 sq ft to 6 in 32 sq ft, though 32/5.33 is
// 6.004: hundredths are rounded off first.
func perBoard(c survey.Fastening, board unit.Area, z survey.Zone) int {
	if n := inZone(c.PerBoard, z); n > 0 {
		return n
	}
	exact := 0.0
	if each := inZone(c.AreaEach, z); each > 0 {
		exact = math.Round(100*board.SquareFeet()/each.SquareFeet()) / 100
	} else if p := inZone(c.Pressure, z); p > 0 && c.Screw > 0 {
		exact = unit.Lifting(p, board).Pounds() / c.Screw.Pounds()
	}
	return int(math.Ceil(exact - 1e-9))
}

// inPiece is the screws in a piece, or the part of one, of a board that has n.
func inPiece(n int, board unit.Area, sqft float64) int {
	if n == 0 {
		return 0
	}
	least := 2
	if sqft < 1 {
		least = 1
	}
	return max(least, int(math.Ceil(float64(n)*sqft/board.SquareFeet()-1e-6)))
}

// stockLength is the shortest screw of the stock that is long enough; false: none.
func stockLength(c survey.Fastening, need unit.Length) (unit.Length, bool) {
	const hairIn = 1e-6
	if len(c.Lengths) == 0 {
		return unit.Inches(math.Ceil(unit.RatioOf(need, c.Step)-hairIn) * c.Step.Inches()), true
	}
	for _, l := range c.Lengths {
		if l.Inches() >= need.Inches()-hairIn {
			return l, true
		}
	}
	return 0, false
}
