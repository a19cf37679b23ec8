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
	r.holdJoints()
	r.holdCreases()
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
		share := 1e-6
		if what != "facets" { // the outline of `turned` is rounded to 0.0001 ft, and no strip so narrow is laid
			share = 2e-6
		}
		if !(math.Abs(by[what]-roof) < share*roof) {
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

// holdFiles holds the files of a design to the laws.
func holdFiles(t testing.TB, name string, job *survey.Job, a *render.AreaResult) {
	t.Helper()
	for _, f := range lawsBroken(filesOf(t, job, a), rand.New(rand.NewPCG(1, uint64(len(name)))), 400) {
		t.Errorf("%s: %s", name, f)
	}
}
