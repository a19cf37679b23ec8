package pipeline

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"runnel/render"
	"runnel/survey"
)

// runFiles are the files of a run that tell of boards, by name.
type runFiles map[string][]byte

// filesOf writes what a run of one area leaves.
func filesOf(t testing.TB, job *survey.Job, a *render.AreaResult) runFiles {
	t.Helper()
	out := runFiles{}
	for _, f := range render.Outputs(&render.Result{Job: job, Areas: []render.AreaResult{*a}}) {
		switch f.Name {
		case "plan.geojson", "cuts.csv", "boards.csv", "rows.csv", "summary.json":
			var b bytes.Buffer
			if err := f.Write(&b); err != nil {
				t.Fatal(err)
			}
			out[f.Name] = b.Bytes()
		}
	}
	return out
}

// fileFaults are the laws that files break, the first of each kind.
type fileFaults struct {
	seen map[string]bool
	all  []string
}

func (f *fileFaults) add(law, format string, args ...any) {
	if !f.seen[law] {
		f.seen[law] = true
		f.all = append(f.all, law+": "+fmt.Sprintf(format, args...))
	}
}

// filePlane is a facet or a board as plan.geojson has it.
type filePlane struct {
	Kind    string     `json:"kind"`
	ID      string     `json:"id"`
	Role    string     `json:"role"`
	Layer   int        `json:"layer"`
	Type    string     `json:"type"`
	Mark    string     `json:"mark"`
	Row     int        `json:"row"`
	ThinIn  float64    `json:"thin_in"`
	ThickIn float64    `json:"thick_in"`
	Uphill  *float64   `json:"uphill_deg"`
	T0      float64    `json:"t0_in"`
	TX      float64    `json:"tx_in_per_ft"`
	TY      float64    `json:"ty_in_per_ft"`
	StockFt [2]float64 `json:"stock_ft"`
	Cut     bool       `json:"cut"`
	Piece   string     `json:"piece"`
	StockNo int        `json:"stock_no"`
	Facet   string     `json:"facet"`
	shape   plainShape
	inStock plainShape // a board's, placed as cuts.csv says
}

func (f *filePlane) atIn(p xy) float64 { return f.T0 + f.TX*p[0] + f.TY*p[1] }

// key is what a line of boards.csv tells apart; stockKey is what one stock board is.
func (f *filePlane) key() string { return fmt.Sprintf("%d|%s", f.Layer, f.stockKey()) }
func (f *filePlane) stockKey() string {
	return fmt.Sprintf("%s|%s|%sx%s", f.Type, f.Mark, plainText(f.StockFt[0]), plainText(f.StockFt[1]))
}

func plainText(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// tapered says whether a board has a thin and a thick edge.
func (f *filePlane) tapered() bool { return f.ThickIn-f.ThinIn > 1e-9 }

// fileRun is what the files say.
type fileRun struct {
	fileFaults
	roof, off      []plainShape // the outline; courts and curbs
	facets, boards []filePlane
	cuts           map[string]map[string]string // lines of cuts.csv by piece
	lines, rows    []map[string]string          // of boards.csv and rows.csv
	sum            fileBoards
	sumCuFt        float64
}

type fileBoards struct {
	Pieces    int `json:"pieces"`
	ToOrder   int `json:"to_order"`
	Spares    int `json:"spares"`
	AreaBound int `json:"area_bound"`
	CutBound  int `json:"cut_bound"`
}

// lawsBroken reads the files of a run and nothing else, and names the laws of
// boards that they break; so many places are looked at.
func lawsBroken(files runFiles, rng *rand.Rand, places int) []string {
	r := fileRun{fileFaults: fileFaults{seen: map[string]bool{}}, cuts: map[string]map[string]string{}}
	r.readPlan(files["plan.geojson"])
	r.readSummary(files["summary.json"])
	r.lines, r.rows = r.table(files["boards.csv"]), r.table(files["rows.csv"])
	for _, c := range r.table(files["cuts.csv"]) {
		if r.cuts[c["piece"]] != nil {
			r.add("a piece once", "%s stands twice in cuts.csv", c["piece"])
		}
		r.cuts[c["piece"]] = c
	}
	if len(r.all) > 0 || len(r.roof) != 1 || len(r.facets) == 0 || len(r.boards) == 0 {
		r.add("readable", "%d roofs, %d facets, %d boards", len(r.roof), len(r.facets), len(r.boards))
		return r.all
	}
	r.holdPlaces(rng, places)
	r.holdAreas()
	r.holdRows()
	r.holdCounts()
	r.holdStock()
	r.holdBounds()
	return r.all
}

func (r *fileRun) readPlan(data []byte) {
	var plan struct {
		Features []struct {
			Geometry   struct{ Coordinates json.RawMessage } `json:"geometry"`
			Properties json.RawMessage                       `json:"properties"`
		} `json:"features"`
	}
	if err := json.Unmarshal(data, &plan); err != nil {
		r.add("readable", "plan.geojson: %v", err)
	}
	for _, f := range plan.Features {
		kind, _, _ := bytes.Cut(bytes.TrimPrefix(f.Properties, []byte(`{"kind":"`)), []byte(`"`))
		if !slices.Contains([]string{"outline", "court", "curb", "facet", "board"}, string(kind)) {
			continue
		}
		var p filePlane
		var rings [][]xy
		if err := cmpErr(json.Unmarshal(f.Properties, &p), json.Unmarshal(f.Geometry.Coordinates, &rings)); err != nil {
			r.add("readable", "plan.geojson: %v", err)
			continue
		}
		for i, ring := range rings {
			rings[i] = ring[:len(ring)-1] // the last is the first again
		}
		p.shape = shapeOf(rings)
		switch p.Kind {
		case "outline":
			r.roof = append(r.roof, p.shape)
		case "facet":
			r.facets = append(r.facets, p)
		case "board":
			r.boards = append(r.boards, p)
		default:
			r.off = append(r.off, p.shape)
		}
	}
}

func cmpErr(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

func (r *fileRun) readSummary(data []byte) {
	var s struct {
		Areas []struct {
			Boards     fileBoards
			Insulation struct {
				CuFt float64 `json:"volume_cuft"`
			}
		}
	}
	if err := json.Unmarshal(data, &s); err != nil || len(s.Areas) != 1 {
		r.add("readable", "summary.json: %d areas, %v", len(s.Areas), err)
		return
	}
	r.sum, r.sumCuFt = s.Areas[0].Boards, s.Areas[0].Insulation.CuFt
}

func (r *fileRun) table(data []byte) (out []map[string]string) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(rows) < 2 {
		r.add("readable", "a table of %d lines, %v", len(rows), err)
		return nil
	}
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// number reads a figure of a table.
func (r *fileRun) number(row map[string]string, key string) float64 {
	x, err := strconv.ParseFloat(row[key], 64)
	if err != nil {
		r.add("readable", "%s: %v", key, err)
	}
	return x
}

// onRoof says whether a place lies on the roof, off courts and curbs.
func (r *fileRun) onRoof(p xy) bool {
	return r.roof[0].has(p) && !slices.ContainsFunc(r.off, func(s plainShape) bool { return s.has(p) })
}

// holdPlaces looks at places by chance: one facet of the field and at most one
// cricket lie there, one board in each layer 1..n, the base at the bottom and the
// cover on top, and the boards are together as thick as the facets say.
func (r *fileRun) holdPlaces(rng *rand.Rand, places int) {
	bases, covered := map[int]bool{}, false
	for i := range r.boards {
		covered = covered || r.boards[i].Type == "cover"
		if r.boards[i].Type == "base" {
			bases[r.boards[i].Layer] = true
		}
	}
	size := r.roof[0].hi.less(r.roof[0].lo)
	for range places {
		p := xy{r.roof[0].lo[0] + rng.Float64()*size[0], r.roof[0].lo[1] + rng.Float64()*size[1]}
		if r.onRoof(p) {
			r.holdPlace(p, len(bases), covered)
		}
	}
}

const jointFt = 1e-6 // nearer to a border either side may have a place

func (r *fileRun) holdPlace(p xy, bases int, covered bool) {
	wantIn, fields, crickets := 0.0, 0, 0
	for i := range r.facets {
		f := &r.facets[i]
		if !f.shape.has(p) {
			continue
		}
		if f.shape.offFt(p) < jointFt {
			return
		}
		wantIn += f.atIn(p)
		if f.Role == "cricket" {
			crickets++
		} else {
			fields++
		}
	}
	if fields != 1 || crickets > 1 {
		r.add("facets are a partition", "%d of the field and %d of crickets lie at %v", fields, crickets, p)
	}
	stack, sumIn := map[int]*filePlane{}, 0.0
	for i := range r.boards {
		b := &r.boards[i]
		if !b.shape.has(p) {
			continue
		}
		if b.shape.offFt(p) < jointFt {
			return
		}
		if stack[b.Layer] != nil {
			r.add("one board a layer", "%s and %s lie in layer %d at %v", stack[b.Layer].Piece, b.Piece, b.Layer, p)
		}
		stack[b.Layer] = b
		if b.Type != "cover" {
			sumIn += b.atIn(p)
		}
	}
	for l := 1; l <= len(stack); l++ {
		b := stack[l]
		switch {
		case b == nil:
			r.add("one board a layer", "%d boards lie at %v, none in layer %d", len(stack), p, l)
			return
		case (b.Type == "base") != (l <= bases):
			r.add("each base layer once", "%s is layer %d of %d at %v", b.Type, l, len(stack), p)
		case covered && (b.Type == "cover") != (l == len(stack)):
			r.add("cover on top", "%s is layer %d of %d at %v", b.Type, l, len(stack), p)
		}
	}
	if !(math.Abs(sumIn-wantIn) < 1e-3) {
		r.add("thickness", "boards of %.5f in lie at %v, the facets say %.5f", sumIn, p, wantIn)
	}
}

// holdAreas: facets, each base layer and the cover are as large as the roof; the
// planes over the facets are the volume of summary.json.
func (r *fileRun) holdAreas() {
	roof := r.roof[0].sqft()
	for _, s := range r.off {
		roof -= s.sqft()
	}
	by := map[string]float64{}
	cuFt := 0.0
	for i := range r.facets {
		f := &r.facets[i]
		cuFt += f.volume() / 12
		if f.Role != "cricket" {
			by["facets"] += f.shape.sqft()
		}
	}
	for i := range r.boards {
		switch b := &r.boards[i]; b.Type {
		case "base":
			by["base layer "+strconv.Itoa(b.Layer)] += b.shape.sqft()
		case "cover":
			by["cover"] += b.shape.sqft()
		}
	}
	for _, what := range slices.Sorted(maps.Keys(by)) {
		if !(math.Abs(by[what]-roof) < 1e-6*roof) {
			r.add("areas", "%s: %.6f sq ft of %.6f", what, by[what], roof)
		}
	}
	if !(math.Abs(cuFt-r.sumCuFt) < 1e-6*cuFt) {
		r.add("volume", "%.6f cu ft over the facets, %.6f in summary.json", cuFt, r.sumCuFt)
	}
}

// volume is the plane's integral over the facet, sq ft x in: by triangles from the
// first corner, exact for a plane at the mean of three corners.
func (f *filePlane) volume() float64 {
	sum := 0.0
	for n, r := range f.shape.rings {
		part := 0.0
		for i := 1; i+1 < len(r); i++ {
			part += turnOf(r[0], r[i], r[i+1]) / 2 * (f.atIn(r[0]) + f.atIn(r[i]) + f.atIn(r[i+1])) / 3
		}
		if part *= math.Copysign(1, ringSqft(r)); n > 0 {
			part = -part
		}
		sum += part
	}
	return sum
}

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

// placed lays a piece into its stock board by the words of cuts.csv alone.
func (r *fileRun) placed(b *filePlane) plainShape {
	c := r.cuts[b.Piece]
	up := xy{math.Cos(*b.Uphill * math.Pi / 180), math.Sin(*b.Uphill * math.Pi / 180)}
	right := xy{up[1], -up[0]}
	sin, cos := math.Sincos(r.number(c, "rot_deg") * math.Pi / 180)
	rings := make([][]xy, len(b.shape.rings))
	for i, ring := range b.shape.rings {
		for _, p := range ring {
			u, v := p.dot(right), p.dot(up)
			if c["turned"] == "true" {
				u = -u
			}
			rings[i] = append(rings[i], xy{u*cos - v*sin, u*sin + v*cos})
		}
	}
	lo, _ := boundsOf(rings[0])
	by := xy{r.number(c, "u_ft"), r.number(c, "v_ft")}.less(lo)
	for _, ring := range rings {
		for i, p := range ring {
			ring[i] = xy{p[0] + by[0], p[1] + by[1]}
		}
	}
	return shapeOf(rings)
}

// holdStock: every piece lies in its stock board as cuts.csv says, is as thick
// there as the board is at that distance from its thin edge, and shares the board
// with no other mark and no other piece's place.
func (r *fileRun) holdStock() {
	byNo := map[int][]*filePlane{}
	for i := range r.boards {
		b := &r.boards[i]
		c := r.cuts[b.Piece]
		if b.Uphill == nil || c == nil {
			r.add("in its board", "%s has no direction or no line in cuts.csv", b.Piece)
			continue
		}
		b.inStock = r.placed(b)
		lo, hi := b.inStock.lo, b.inStock.hi
		if lo[0] < -jointFt || lo[1] < -jointFt || hi[0] > b.StockFt[0]+jointFt || hi[1] > b.StockFt[1]+jointFt {
			r.add("in its board", "%s lies from %v to %v in a board of %v ft", b.Piece, lo, hi, b.StockFt)
		}
		if !(math.Abs(hi[0]-lo[0]-r.number(c, "w_ft")) < jointFt && math.Abs(hi[1]-lo[1]-r.number(c, "d_ft")) < jointFt) {
			r.add("its box", "%s is %v ft, cuts.csv says %v", b.Piece, hi.less(lo), c)
		}
		r.holdThickness(b)
		byNo[b.StockNo] = append(byNo[b.StockNo], b)
	}
	for no, pieces := range byNo {
		for i, a := range pieces {
			for _, b := range pieces[:i] {
				if a.stockKey() != b.stockKey() {
					r.add("one mark a board", "stock board %d gives %s and %s", no, a.stockKey(), b.stockKey())
				}
				if ft := sharedFt(a.inStock, b.inStock); ft > 1e-5 {
					r.add("no overlap", "%s and %s lie %.6f ft in one another in stock board %d", a.Piece, b.Piece, ft, no)
				}
			}
		}
	}
}

// holdThickness compares the thickness at every corner with that of the stock
// board there, by the distance from its thin edge.
func (r *fileRun) holdThickness(b *filePlane) {
	if b.tapered() && (b.Type == "cover" || b.Type == "base" || b.Type == "fill" || r.cuts[b.Piece]["rot_deg"] != "0") {
		r.add("thick edge", "%s of %s is turned by %s", b.Type, b.Mark, r.cuts[b.Piece]["rot_deg"])
	}
	for i, ring := range b.shape.rings {
		for n, p := range ring {
			in := b.ThinIn + (b.ThickIn-b.ThinIn)*b.inStock.rings[i][n][1]/b.StockFt[1]
			if !b.tapered() {
				in = b.ThinIn
			}
			if !(math.Abs(b.atIn(p)-in) < 1e-5) {
				r.add("thick edge", "%s is %.5f in thick at %v, its board is %.5f there", b.Piece, b.atIn(p), p, in)
			}
		}
	}
}

// sharedFt is how deep two shapes lie in one another. A piece in the hole of
// another is looked at by its corners alone.
func sharedFt(a, b plainShape) float64 {
	if a.lo[0] > b.hi[0]-1e-6 || b.lo[0] > a.hi[0]-1e-6 || a.lo[1] > b.hi[1]-1e-6 || b.lo[1] > a.hi[1]-1e-6 {
		return 0
	}
	most := 0.0
	if len(a.rings)+len(b.rings) > 2 {
		for _, pair := range [][2]plainShape{{a, b}, {b, a}} {
			for _, p := range pair[0].rings[0] {
				if pair[1].has(p) {
					most = math.Max(most, pair[1].offFt(p))
				}
			}
		}
		return most
	}
	for _, s := range triangles(a.rings[0]) {
		for _, t := range triangles(b.rings[0]) {
			most = math.Max(most, overlapFt(s, t))
		}
	}
	return most
}

// holdBounds reckons the two bounds of the order from the shapes of the plan.
func (r *fileRun) holdBounds() {
	byStock := map[string][]*filePlane{}
	opened := map[string]map[int]bool{}
	for i := range r.boards {
		b := &r.boards[i]
		k := b.stockKey()
		byStock[k] = append(byStock[k], b)
		if opened[k] == nil {
			opened[k] = map[int]bool{}
		}
		opened[k][b.StockNo] = true
	}
	area, cut, spares := 0, 0, 0
	for k, pieces := range byStock {
		sqft := 0.0
		for _, b := range pieces {
			sqft += b.shape.sqft()
		}
		byArea := int(math.Ceil(sqft/(pieces[0].StockFt[0]*pieces[0].StockFt[1]) - 1e-6))
		byCut := byArea
		if pieces[0].tapered() {
			byCut = max(byCut, int(math.Ceil(mostAcrossFt(pieces)/pieces[0].StockFt[0]-1e-6)))
		}
		if n := len(opened[k]); n < byCut {
			r.add("bounds", "%s: %d boards, the widths force %d", k, n, byCut)
		}
		area, cut, spares = area+byArea, cut+byCut, spares+(3*len(opened[k])+99)/100
	}
	if area != r.sum.AreaBound || cut != r.sum.CutBound || spares != r.sum.Spares {
		r.add("bounds", "area %d, cut %d, spares %d by the plan, summary.json says %+v", area, cut, spares, r.sum)
	}
}

// mostAcrossFt is the greatest sum of the widths of pieces at one depth of their
// board. Between the depths of corners the sum is straight, so that two looks beyond
// a corner tell what it comes to there.
func mostAcrossFt(pieces []*filePlane) float64 {
	var depths []float64
	for _, b := range pieces {
		for _, ring := range b.inStock.rings {
			for _, p := range ring {
				depths = append(depths, math.Round(p[1]*1e6)/1e6)
			}
		}
	}
	slices.Sort(depths)
	most := 0.0
	for _, v := range slices.Compact(depths) {
		for _, step := range []float64{-3e-6, 3e-6} {
			near, far := 0.0, 0.0
			for _, b := range pieces {
				if v+2*step > b.inStock.lo[1] && v+2*step < b.inStock.hi[1] {
					near, far = near+b.inStock.widthFt(v+step), far+b.inStock.widthFt(v+2*step)
				}
			}
			most = math.Max(most, 2*near-far)
		}
	}
	return most
}

// holdFiles holds the files of a design to the laws.
func holdFiles(t testing.TB, name string, job *survey.Job, a *render.AreaResult) {
	t.Helper()
	for _, f := range lawsBroken(filesOf(t, job, a), rand.New(rand.NewPCG(1, uint64(len(name)))), 400) {
		t.Errorf("%s: %s", name, f)
	}
}
