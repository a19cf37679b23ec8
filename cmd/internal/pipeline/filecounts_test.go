package pipeline

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
)

// holdRows: the thick edge of a row and the thin edge of the next are one height,
// fill under them included; fill is its volume over the row.
func (r *fileRun) holdRows() {
	type row struct{ sqft, fill, thin, thick float64 }
	rows := map[string]map[int]*row{}
	for i := range r.boards {
		b := &r.boards[i]
		if b.Facet == "" || b.Type == "cover" || b.Type == "base" {
			continue
		}
		if rows[b.Facet] == nil {
			rows[b.Facet] = map[int]*row{}
		}
		at := rows[b.Facet][b.Row]
		if at == nil {
			at = &row{}
			rows[b.Facet][b.Row] = at
		}
		if b.Type == "fill" {
			at.fill += b.ThinIn * b.shape.sqft()
			continue
		}
		if at.sqft > 0 && (at.thin != b.ThinIn || at.thick != b.ThickIn) {
			r.add("one mark a row", "row %d of %s: %s beside %g to %g", b.Row, b.Facet, b.Mark, at.thin, at.thick)
		}
		at.sqft, at.thin, at.thick = at.sqft+b.shape.sqft(), b.ThinIn, b.ThickIn
	}
	for _, facet := range slices.Sorted(maps.Keys(rows)) {
		for n, low := range rows[facet] {
			high := rows[facet][n+1]
			if high == nil || low.sqft == 0 || high.sqft == 0 {
				continue
			}
			if a, b := low.fill/low.sqft+low.thick, high.fill/high.sqft+high.thin; !(math.Abs(a-b) < 1e-5) {
				r.add("rows meet", "%s: row %d ends at %.6f in, row %d starts at %.6f", facet, n, a, n+1, b)
			}
		}
	}
}

// holdCounts: pieces, cut ones, areas and stock boards are the same in every file.
func (r *fileRun) holdCounts() {
	type count struct{ pieces, cut, order int }
	got, sqft, opened := map[string]count{}, map[string]float64{}, map[string]bool{}
	order := slices.Clone(r.boards)
	slices.SortStableFunc(order, func(a, b filePlane) int { return a.Layer - b.Layer })
	for i := range order {
		b := &order[i]
		c := r.cuts[b.Piece]
		if c == nil || c["mark"] != b.Mark || c["layer"] != strconv.Itoa(b.Layer) || c["stock_no"] != strconv.Itoa(b.StockNo) || c["type"] != b.Type {
			r.add("a piece once", "%s is %v in cuts.csv", b.Piece, c)
		}
		n := got[b.key()]
		n.pieces++
		if b.Cut {
			n.cut++
		}
		if no := strconv.Itoa(b.StockNo); !opened[no] {
			opened[no] = true
			n.order++
		}
		got[b.key()] = n
		sqft[b.key()] += b.shape.sqft()
	}
	all := fileBoards{}
	for _, l := range r.lines {
		key := fmt.Sprintf("%s|%s|%s|%s", l["layer"], l["type"], l["mark"], l["stock_ft"])
		want := count{int(r.number(l, "pieces")), int(r.number(l, "cut")), int(r.number(l, "to_order"))}
		if got[key] != want || want.pieces != want.cut+int(r.number(l, "full")) || !(math.Abs(sqft[key]-r.number(l, "area_sqft")) < 1e-4) {
			r.add("one count", "%s: %v, %.6f sq ft in the plan, boards.csv says %v", key, got[key], sqft[key], l)
		}
		delete(got, key)
		all.Pieces, all.ToOrder, all.Spares = all.Pieces+want.pieces, all.ToOrder+want.order, all.Spares+int(r.number(l, "spares"))
	}
	if len(got) > 0 || all.Pieces != len(r.boards) || len(r.cuts) != len(r.boards) {
		r.add("one count", "%d boards in the plan, %d in boards.csv, %d in cuts.csv; not in boards.csv: %v", len(r.boards), all.Pieces, len(r.cuts), got)
	}
	if s := r.sum; s.Pieces != all.Pieces || s.ToOrder != all.ToOrder || s.Spares != all.Spares || s.ToOrder != len(opened) {
		r.add("one count", "boards.csv has %+v, summary.json %+v, %d stock boards are opened", all, s, len(opened))
	}
	r.holdRowTable()
}

// holdRowTable: rows.csv has every row of the plan, with as many boards and cut ones.
func (r *fileRun) holdRowTable() {
	type row struct{ layer, typ, mark, facet, row string }
	boards, cuts := map[row]int{}, map[row]int{}
	for i := range r.boards {
		b := &r.boards[i]
		k := row{strconv.Itoa(b.Layer), b.Type, b.Mark, b.Facet, strconv.Itoa(b.Row)}
		boards[k]++
		if b.Cut {
			cuts[k]++
		}
	}
	for _, l := range r.rows {
		k := row{l["layer"], l["type"], l["mark"], l["facet"], l["row"]}
		boards[k] -= int(r.number(l, "boards"))
		cuts[k] -= int(r.number(l, "cuts"))
	}
	for k, n := range boards {
		if n != 0 || cuts[k] != 0 {
			r.add("rows.csv", "%+v has %d boards and %d cut ones more in the plan", k, n, cuts[k])
		}
	}
}
