package render

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"runnel/survey/unit"
	"runnel/taper"
)

// assumedDeck stands on every output of a job that has no survey.
const assumedDeck = "LEVEL DECK ASSUMED, NOT SURVEYED"

// WriteBoardsCSV writes the board schedule, one line for each layer and mark
// of each area, in the order of the schedule. stock_ft is row x slope. The
// column note says so where the deck was assumed.
func WriteBoardsCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "layer", "type", "mark", "stock_ft", "pieces", "full", "cut",
		"to_order", "spares", "area_sqft", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Design == nil {
			continue
		}
		for _, c := range a.Design.Counts {
			rows = append(rows, []string{
				a.Area.Name, strconv.Itoa(c.Layer), c.Type.String(), c.Mark, stockFt(c.Along, c.Depth),
				strconv.Itoa(c.Pieces), strconv.Itoa(c.Full), strconv.Itoa(c.Cut),
				strconv.Itoa(c.ToOrder), strconv.Itoa(c.Spares), decimal(c.SqFt), a.assumed(),
			})
		}
	}
	return writeRows(w, rows)
}

// WriteCutsCSV writes one line a piece, full ones too, in the order of laying.
// u_ft, v_ft is the lower left corner of the piece's box in its stock board,
// which lies as on the roof: u to the right when looking uphill, v from the
// thin edge; rot_deg turns the piece counter-clockwise from how it lies on the
// roof.
func WriteCutsCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "layer", "mark", "piece", "stock_no", "u_ft", "v_ft", "rot_deg",
		"turned", "w_ft", "d_ft", "type", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Design == nil {
			continue
		}
		for n := range a.Design.Boards {
			rows = append(rows, cutRow(a, &a.Design.Boards[n]))
		}
	}
	return writeRows(w, rows)
}

func cutRow(a *AreaResult, b *taper.Board) []string {
	s := boardInWorld(a.Site.Frame, b).Stock
	return []string{
		a.Area.Name, strconv.Itoa(b.Layer), b.Mark, b.Piece, strconv.Itoa(s.No),
		decimal(s.U), decimal(s.V), strconv.Itoa(s.RotDeg), strconv.FormatBool(s.Turned),
		decimal(s.W), decimal(s.D), b.Type.String(), a.assumed(),
	}
}

func writeRows(w io.Writer, rows [][]string) error {
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("write table: %w", err)
	}
	return nil
}

// assumed is the banner of an area without a survey, else empty.
func (a *AreaResult) assumed() string {
	if a.Fit == nil {
		return assumedDeck
	}
	return ""
}

// stockFt names a stock board by its sides in feet, row x slope, in the digits of
// plan.geojson: 4x8.
func stockFt(along, depth unit.Length) string {
	return decimal(sizeFt(along)) + "x" + decimal(sizeFt(depth))
}

// decimal prints x to 1e-9 without zeros at its end; machine files carry no
// rounding that a reader could see.
func decimal(x float64) string {
	if math.Abs(x) < 1e6 {
		x = math.Round(x*1e9) / 1e9
	}
	return strconv.FormatFloat(plain(x), 'f', -1, 64)
}
