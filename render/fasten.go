package render

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// WriteFastenersCSV writes one line for each line of plates in each row of boards and each zone,
// then one for the adhesive under each layer in each zone. What the job does not state
// leaves its columns empty. thickness is from the top of the deck up to the plate; length_in is the screw of the line of plates, row_length_in
// that of a row with one length; through_in is how far length_in stands below the top of the deck at the thinnest place.
func WriteFastenersCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "what", "layer", "type", "mark", "facet", "row", "zone", "plate_ft", "pieces", "per_board", "fasteners",
		"least_thickness_in", "greatest_thickness_in", "least_needed_in", "greatest_needed_in", "length_in", "row_length_in", "through_in",
		"area_sqft", "bead_ft", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Fastening == nil {
			continue
		}
		for _, l := range a.Fastening.Screws {
			rows = append(rows, screwRow(a, l))
		}
		for _, g := range a.Fastening.Glue {
			row := make([]string, len(rows[0]))
			row[0], row[1], row[2], row[3], row[7] = a.Area.Name, "adhesive", strconv.Itoa(g.Layer), g.Type.String(), g.Zone.String()
			row[19], row[20], row[21] = decimal(g.SqFt), orBlank(g.Bead.Feet()), a.assumed()
			rows = append(rows, row)
		}
	}
	return writeRows(w, rows)
}

func screwRow(a *AreaResult, l taper.ScrewLine) []string {
	f := a.Fastening
	needs := []string{"", ""}
	if e := f.Choice.Embed; e > 0 {
		needs = []string{decimal((l.Thin + e).Inches()), decimal((l.Thick + e).Inches())}
	}
	out := []string{a.Area.Name, "screw", strconv.Itoa(l.Layer), l.Type.String(), l.Mark, facetName(l.Facet), strconv.Itoa(l.Row),
		l.Zone.String(), orBlank(l.Plate.Feet()), strconv.Itoa(l.Pieces), orBlank(float64(*f.PerBoard.Of(l.Zone))), orBlank(float64(l.Screws)),
		decimal(l.Thin.Inches()), decimal(l.Thick.Inches())}
	out = append(out, needs...)
	return append(out, orBlank(l.Length.Inches()), orBlank(l.RowLength.Inches()), orBlank(l.Through.Inches()), "", "", a.assumed())
}

// orBlank is a figure, empty where it is 0: not known.
func orBlank(x float64) string {
	if x == 0 {
		return ""
	}
	return decimal(x)
}

// fastening tells what holds the boards, and what of it is not known.
func (t *telling) fastening(a *AreaResult) {
	if a.Design == nil {
		return
	}
	f := a.Fastening
	t.heading("Fastening (counts for pricing; uplift is for the engineer)")
	if f == nil {
		t.fact("Open", "How are the boards held: screws, screws in the base and adhesive above, or adhesive? The job does not state it, so nothing is counted.")
		return
	}
	t.fact("Held by", heldText(f, a.Design.Cover > 0))
	t.zones(f)
	if f.Choice.Attach != survey.Adhesive {
		t.screws(f)
	}
	t.glue(f)
}

// heldText says what holds the boards, and the cover where there is one.
func heldText(f *taper.Fastening, cover bool) string {
	switch {
	case f.Choice.Attach == survey.BaseScrews:
		return "screws through the base, adhesive from there up."
	case f.Choice.Attach == survey.Adhesive:
		return "adhesive under every layer."
	case cover && f.Choice.GluedCover:
		return "screws through all layers under the cover, which is glued on."
	case cover:
		return "screws through all layers, the cover with them."
	}
	return "screws through all layers."
}

// zones tells where the wind lifts harder.
func (t *telling) zones(f *taper.Fastening) {
	z := f.Zones
	if z == nil {
		t.fact("Zones", "None are stated: all is counted as the field. Edges and corners usually take more.")
		return
	}
	var parts []string
	for _, p := range z.Areas {
		parts = append(parts, p.Zone.String()+" "+t.say.area(p.SqFt))
	}
	rule := fmt.Sprintf("strips of %s along the edges, by height", z.Strip.Format(t.sys))
	if z.Width > 0 {
		rule = fmt.Sprintf("a strip of %s along the edges, by a least width of %s and the height", z.Strip.Format(t.sys), z.Width.Format(t.sys))
	}
	t.fact("Zones", strings.Join(parts, ", ")+"; "+rule+". Walls and courts count as edges, inside corners as edges alone. The engineer's own zones rule.")
}

// screws tells how many of which length.
func (t *telling) screws(f *taper.Fastening) {
	if len(f.Screws) == 0 {
		t.fact("Screws", "None: no layer is screwed down. Is there a base?")
		return
	}
	if f.PerBoard.Field == 0 {
		t.fact("Screws", "How many is unknown: the job states no pattern.")
	} else {
		var by []string
		for _, z := range survey.Zones() {
			if n := *f.PerBoard.Of(z); n > 0 && (f.Zones != nil && z != survey.InnerZone || z == survey.FieldZone) {
				by = append(by, fmt.Sprintf("%s %d", z, n))
			}
		}
		t.fact("Screws", fmt.Sprintf("%s and as many plates. In a board of %s: %s.", thousands(f.Total()), t.say.area(f.Board.SquareFeet()), strings.Join(by, ", ")))
		if least := usualLeast(f.Board); f.PerBoard.Field < least {
			t.fact("", fmt.Sprintf("That is fewer than the %d that such a board has by common practice (no source).", least))
		}
	}
	switch {
	case f.Choice.Embed == 0:
		t.fact("Lengths", fmt.Sprintf("Unknown: the job does not state how far screws go into the deck. Common practice: %s through steel, %s into wood or "+
			"concrete (no source).", t.inches(0.75), t.inches(1)))
		return
	case f.TooLong > 0:
		t.fact("Lengths", "The longest screw of the stock falls short: "+f.TooLong.FormatThin(t.sys)+" are needed.")
		return
	}
	if len(f.Choice.Plates) == 0 && f.Choice.Attach == survey.Screws {
		t.fact("Plates", "Where they stand is not stated: taken at the thickest place of each piece.")
	}
	rows := []table.Row{}
	for _, w := range f.Ways {
		for i, c := range w.Lengths {
			row := table.Row{"", c.Length.FormatThin(t.sys), "unknown", "", ""}
			if i == 0 {
				row[0], row[4] = wayText[w.Name], w.Through.FormatError(t.sys)
			}
			if c.Screws > 0 {
				row[2], row[3] = thousands(c.Screws), thousands(c.Spares)
			}
			rows = append(rows, row)
		}
	}
	t.table(table.Row{"choice", "length", "screws", "spares", "most below the deck's top"}, rows, nil, 2, 3, 4, 5)
	t.room(f)
}

var wayText = map[string]string{"one": "one for all", "row": "one a row", "line": "one a line of plates", "plate": "each plate its own"}

// room warns of what lies under the deck.
func (t *telling) room(f *taper.Fastening) {
	room, words := f.Choice.Room, "Look under the deck before drilling: conduit and pipes there are in reach of screws."
	if room > 0 {
		var over []string
		for _, w := range f.Ways {
			if w.Through > room {
				over = append(over, wayText[w.Name])
			}
		}
		words = "Screws stay within the " + room.FormatThin(t.sys) + " free below the deck's top. Look there before drilling all the same."
		if len(over) > 0 {
			words = "More than the " + room.FormatThin(t.sys) + " free below the deck's top: " + strings.Join(over, ", ") + ". Conduit there would be hit."
		}
	}
	t.fact("Under the deck", words)
}

// usualLeast is the fewest screws in a board that are in use: 4 in 4x4 ft, 5 in 4x8 ft. Common
// practice, no source.
func usualLeast(board unit.Area) int {
	if board.SquareFeet() > 24 {
		return 5
	}
	return 4
}

// glue tells how much adhesive there is to lay.
func (t *telling) glue(f *taper.Fastening) {
	if len(f.Glue) == 0 {
		return
	}
	words := t.say.area(f.GlueSqft()) + ", all layers together"
	bead, kits := f.Bead()
	switch {
	case bead == 0:
		words += "; how much is unknown: the distance of the beads is not stated."
	case kits > 0:
		words += fmt.Sprintf("; %s of beads, %s.", t.long(bead.Feet()), count(kits, "kit"))
	default:
		words += "; " + t.long(bead.Feet()) + " of beads."
	}
	t.fact("Adhesive", words)
}

type summaryFastening struct {
	Attach   string            `json:"attach"`
	Zones    []summaryZone     `json:"zones,omitempty"`
	Strip    *float64          `json:"strip_ft,omitempty"`
	Board    *float64          `json:"board_sqft,omitempty"` // that the pattern is of
	Screws   int               `json:"fasteners,omitempty"`
	Ways     []summaryScrewWay `json:"lengths,omitempty"`
	TooLong  float64           `json:"no_stock_for_in,omitempty"`
	Glue     *float64          `json:"adhesive_sqft,omitempty"`
	Bead     float64           `json:"bead_ft,omitempty"`
	Kits     int               `json:"kits,omitempty"`
	PerBoard map[string]int    `json:"per_board,omitempty"`
}

type summaryZone struct {
	Zone string  `json:"zone"`
	Area float64 `json:"area_sqft"`
}

type summaryScrewWay struct {
	Choice  string         `json:"choice"` // one, row, line, plate
	Through float64        `json:"through_in"`
	Lengths []summaryScrew `json:"screws"`
}

type summaryScrew struct {
	Length float64 `json:"length_in"`
	Screws int     `json:"fasteners,omitempty"`
	Spares int     `json:"spares,omitempty"`
}

func fasteningOf(f *taper.Fastening) *summaryFastening {
	if f == nil {
		return nil
	}
	s := &summaryFastening{Attach: f.Choice.Attach.String(), Screws: f.Total(), TooLong: figure(f.TooLong.Inches())}
	if z := f.Zones; z != nil {
		s.Strip = some(z.Strip.Feet())
		for _, p := range z.Areas {
			s.Zones = append(s.Zones, summaryZone{p.Zone.String(), figure(p.SqFt)})
		}
	}
	if f.PerBoard.Field > 0 {
		s.Board, s.PerBoard = some(f.Board.SquareFeet()), map[string]int{}
		for _, l := range f.Screws {
			s.PerBoard[l.Zone.String()] = *f.PerBoard.Of(l.Zone)
		}
	}
	for _, w := range f.Ways {
		way := summaryScrewWay{Choice: w.Name, Through: figure(w.Through.Inches())}
		for _, c := range w.Lengths {
			way.Lengths = append(way.Lengths, summaryScrew{figure(c.Length.Inches()), c.Screws, c.Spares})
		}
		s.Ways = append(s.Ways, way)
	}
	if len(f.Glue) > 0 {
		bead, kits := f.Bead()
		s.Glue, s.Bead, s.Kits = some(f.GlueSqft()), figure(bead.Feet()), kits
	}
	return s
}
