package render

import (
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"runnel/survey/geom"
)

func tblNumber(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestTables_OnePieceCount: pieces and areas are the same in every file, summed
// from the files and not from the design.
func TestTables_OnePieceCount(t *testing.T) {
	r := tblResult(t, tblWays[3])
	boards := tblRows(t, tblText(t, func(w io.Writer) error { return WriteBoardsCSV(w, r) }))
	cuts := tblRows(t, tblText(t, func(w io.Writer) error { return WriteCutsCSV(w, r) }))
	drawn := tblOfKind(tblPlan(t, r), "board")
	pieces := map[string]int{}
	sqft := map[string]float64{}
	stock := map[string]map[string]bool{}
	all := 0
	for _, row := range boards {
		key := row["layer"] + " " + row["type"] + " " + row["mark"]
		n := int(tblNumber(t, row["pieces"]))
		if n != int(tblNumber(t, row["full"]))+int(tblNumber(t, row["cut"])) {
			t.Errorf("%s: %s pieces are not %s full and %s cut", key, row["pieces"], row["full"], row["cut"])
		}
		pieces[key] += n
		sqft[key] += tblNumber(t, row["area_sqft"])
		all += n
	}
	if all == 0 || len(cuts) != all || len(drawn) != all {
		t.Fatalf("boards.csv has %d pieces, cuts.csv %d, plan.geojson %d", all, len(cuts), len(drawn))
	}
	order := 0
	for _, row := range cuts {
		pieces[row["layer"]+" "+row["type"]+" "+row["mark"]]--
		if stock[row["mark"]] == nil {
			stock[row["mark"]] = map[string]bool{}
		}
		if !stock[row["mark"]][row["stock_no"]] {
			stock[row["mark"]][row["stock_no"]] = true
			order++
		}
	}
	for _, row := range boards {
		order -= int(tblNumber(t, row["to_order"]))
	}
	if order != 0 {
		t.Errorf("cuts.csv opens %d more stock boards than boards.csv orders", order)
	}
	for _, f := range drawn {
		key := strconv.Itoa(int(f.number(t, "layer"))) + " " + f.text("type") + " " + f.text("mark")
		sqft[key] -= f.poly(t).Area()
	}
	for key := range pieces {
		if pieces[key] != 0 || math.Abs(sqft[key]) > 1e-4 {
			t.Errorf("%s: boards.csv has %d pieces and %g sq ft more than the others", key, pieces[key], sqft[key])
		}
	}
}

// tblInStock lays a piece of plan.geojson into its stock board by the words of
// cuts.csv alone.
func tblInStock(t *testing.T, f tblFeature, row map[string]string) geom.Poly {
	t.Helper()
	rad := f.number(t, "uphill_deg") * math.Pi / 180
	up := geom.Pt{X: math.Cos(rad), Y: math.Sin(rad)}
	right := geom.Pt{X: up.Y, Y: -up.X}
	sin, cos := math.Sincos(tblNumber(t, row["rot_deg"]) * math.Pi / 180)
	p := f.poly(t).Map(func(q geom.Pt) geom.Pt {
		u, v := q.Dot(right), q.Dot(up)
		if row["turned"] == "true" {
			u = -u
		}
		return geom.Pt{X: u*cos - v*sin, Y: u*sin + v*cos}
	})
	lo := p.Outer.Box().Min
	return p.Map(func(q geom.Pt) geom.Pt {
		return q.Sub(lo).Add(geom.Pt{X: tblNumber(t, row["u_ft"]), Y: tblNumber(t, row["v_ft"])})
	})
}

// TestCuts_InTheRealWorld: however the roof lies on the sheet, the piece on
// the plan, cut as cuts.csv says, lies in its stock board, is as thick there as
// the board is, and overlaps no other piece of that board.
func TestCuts_InTheRealWorld(t *testing.T) {
	for _, w := range tblWays {
		t.Run(w.story, func(t *testing.T) {
			tblCheckCuts(t, tblResult(t, w))
		})
	}
}

func tblCheckCuts(t *testing.T, r *Result) {
	t.Helper()
	rows := map[string]map[string]string{}
	for _, row := range tblRows(t, tblText(t, func(w io.Writer) error { return WriteCutsCSV(w, r) })) {
		if rows[row["piece"]] != nil {
			t.Errorf("piece %s stands twice", row["piece"])
		}
		rows[row["piece"]] = row
	}
	const smallFt = 1e-6
	inBoard := map[string][]geom.Poly{}
	shared, turned := 0, 0
	for _, f := range tblOfKind(tblPlan(t, r), "board") {
		row := rows[f.text("piece")]
		if row == nil {
			t.Fatalf("piece %q is not in cuts.csv", f.text("piece"))
		}
		p := tblInStock(t, f, row)
		stock := f.Properties["stock_ft"].([]any)
		box := p.Outer.Box()
		wFt, dFt := box.Size()
		if math.Abs(wFt-tblNumber(t, row["w_ft"])) > smallFt || math.Abs(dFt-tblNumber(t, row["d_ft"])) > smallFt {
			t.Errorf("piece %s: its box is %g x %g ft, cuts.csv says %s x %s", row["piece"], wFt, dFt, row["w_ft"], row["d_ft"])
		}
		if box.Min.X < -smallFt || box.Min.Y < -smallFt || box.Max.X > stock[0].(float64)+smallFt || box.Max.Y > stock[1].(float64)+smallFt {
			t.Errorf("piece %s lies at %v in a stock board of %v ft", row["piece"], box, stock)
		}
		tblThickness(t, f, p, stock[1].(float64))
		if row["turned"] == "true" || row["rot_deg"] != "0" {
			turned++
		}
		key := row["stock_no"]
		for _, q := range inBoard[key] {
			shared++
			over, err := geom.Intersect(p, q)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range over {
				if o.Area() > 1e-5 {
					t.Errorf("pieces of stock board %s overlap by %g sq ft", key, o.Area())
				}
			}
		}
		inBoard[key] = append(inBoard[key], p)
	}
	t.Logf("%d pairs of pieces share a stock board, %d pieces are turned", shared, turned)
	if shared == 0 {
		t.Error("no stock board gives two pieces: the test tests nothing")
	}
}

// tblThickness compares the thickness that the plan gives a piece with that of
// its stock board: thin edge at v = 0, thick edge at the far end.
func tblThickness(t *testing.T, f tblFeature, inStock geom.Poly, depthFt float64) {
	t.Helper()
	thin, thick := f.number(t, "thin_in"), f.number(t, "thick_in")
	on := f.poly(t)
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range on.Outer {
		in := f.number(t, "t0_in") + f.number(t, "tx_in_per_ft")*p.X + f.number(t, "ty_in_per_ft")*p.Y
		least, most = math.Min(least, in), math.Max(most, in)
	}
	box := inStock.Outer.Box()
	wantLeast, wantMost := thin+(thick-thin)*box.Min.Y/depthFt, thin+(thick-thin)*box.Max.Y/depthFt
	if math.Abs(least-wantLeast) > 1e-5 || math.Abs(most-wantMost) > 1e-5 {
		t.Errorf("piece %s is %g to %g in thick on the plan, %g to %g in in its stock board",
			f.text("piece"), least, most, wantLeast, wantMost)
	}
}

// TestCuts_AMirroredRoof: the cut list of the mirrored roof is the mirror image
// of the cut list: the same pieces in the same boards, u counted from the other
// end.
func TestCuts_AMirroredRoof(t *testing.T) {
	plain, mirrored := tblResult(t, tblWays[0]), tblResult(t, tblWays[2])
	if plain.Areas[0].Site.Frame.Mirror == mirrored.Areas[0].Site.Frame.Mirror {
		t.Fatal("one of the two frames should be mirrored")
	}
	read := func(r *Result) []map[string]string {
		return tblRows(t, tblText(t, func(w io.Writer) error { return WriteCutsCSV(w, r) }))
	}
	a, b := read(plain), read(mirrored)
	if len(a) != len(b) {
		t.Fatalf("%d pieces and %d", len(a), len(b))
	}
	boards := plain.Areas[0].Design.Boards
	for i := range a {
		want := boards[i].Along.Feet() - tblNumber(t, a[i]["u_ft"]) - tblNumber(t, a[i]["w_ft"])
		rot := (int(tblNumber(t, a[i]["rot_deg"])) + int(tblNumber(t, b[i]["rot_deg"]))) % 360
		if math.Abs(tblNumber(t, b[i]["u_ft"])-want) > 1e-6 || rot != 0 || a[i]["v_ft"] != b[i]["v_ft"] ||
			a[i]["stock_no"] != b[i]["stock_no"] || a[i]["turned"] != b[i]["turned"] {
			t.Fatalf("piece %d: %v, mirrored %v", i, a[i], b[i])
		}
	}
}

// TestBoardsCSV_TurnedRoof: the schedule is the same however the roof lies on
// the sheet.
func TestBoardsCSV_TurnedRoof(t *testing.T) {
	var want string
	for _, w := range tblWays {
		r := tblResult(t, w)
		for i := range r.Areas[0].Design.Counts {
			c := &r.Areas[0].Design.Counts[i]
			c.SqFt = figure(c.SqFt)
		}
		got := tblText(t, func(out io.Writer) error { return WriteBoardsCSV(out, r) })
		if want == "" {
			want = got
		}
		if got != want {
			t.Errorf("%s:\n%s\nas drawn:\n%s", w.story, got, want)
		}
	}
}

// TestDegreesOf holds directions to the compass of the sheet.
func TestDegreesOf(t *testing.T) {
	for _, c := range []struct {
		v    geom.Pt
		want float64
	}{
		{geom.Pt{X: 1}, 0}, {geom.Pt{Y: 1}, 90}, {geom.Pt{X: -1}, 180}, {geom.Pt{Y: -1}, 270},
		{geom.Pt{X: 1, Y: -1e-15}, 0}, {geom.Pt{X: -1, Y: -1e-15}, 180}, {geom.Pt{X: 1, Y: -1}, 315},
	} {
		if got := degreesOf(c.v); got != c.want || math.Signbit(got) {
			t.Errorf("%v lies at %v degrees, want %v", c.v, got, c.want)
		}
	}
}

// TestCSV_Columns: the agreed columns come first and in order.
func TestCSV_Columns(t *testing.T) {
	r := tblResult(t, tblWays[0])
	for _, c := range []struct {
		write func(io.Writer, *Result) error
		want  string
	}{
		{WriteBoardsCSV, "area,layer,type,mark,stock_ft,pieces,full,cut,to_order,spares,area_sqft,"},
		{WriteCutsCSV, "area,layer,mark,piece,stock_no,u_ft,v_ft,rot_deg,turned,w_ft,d_ft,"},
	} {
		text := tblText(t, func(w io.Writer) error { return c.write(w, r) })
		if !strings.HasPrefix(text, c.want) {
			t.Errorf("header %q, want %q", strings.SplitN(text, "\n", 2)[0], c.want)
		}
	}
	rows := tblRows(t, tblText(t, func(w io.Writer) error { return WriteBoardsCSV(w, r) }))
	if rows[0]["stock_ft"] != "8x4" && rows[0]["stock_ft"] != "4x4" && rows[0]["stock_ft"] != "4x8" {
		t.Errorf("stock_ft %q", rows[0]["stock_ft"])
	}
	if rows[0]["note"] != "" {
		t.Errorf("a surveyed deck is noted as %q", rows[0]["note"])
	}
	r.Areas[0].Fit = nil
	rows = tblRows(t, tblText(t, func(w io.Writer) error { return WriteBoardsCSV(w, r) }))
	if rows[0]["note"] != "LEVEL DECK ASSUMED, NOT SURVEYED" {
		t.Errorf("an assumed deck is noted as %q", rows[0]["note"])
	}
}
