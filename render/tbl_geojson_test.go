package render

import (
	"encoding/json"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestGeoJSON_Rings holds every ring to RFC 7946, section 3.1.6: closed, four
// places at the least, outer rings counter-clockwise and holes clockwise; and
// to what the overlay needs: no ring crosses itself.
func TestGeoJSON_Rings(t *testing.T) {
	rings := 0
	ringOf := func(r [][2]float64, hole bool, what string) {
		rings++
		if len(r) < 4 || r[0] != r[len(r)-1] {
			t.Fatalf("%s: a ring of %d places that is not closed", what, len(r))
		}
		var ring geom.Ring
		for _, c := range r[:len(r)-1] {
			ring = append(ring, geom.Pt{X: c[0], Y: c[1]})
		}
		if (ring.SignedArea() > 0) == hole {
			t.Errorf("%s: a ring with the wrong hand (hole: %v)", what, hole)
		}
	}
	for _, w := range tblWays {
		for _, f := range tblPlan(t, tblResult(t, w)) {
			what := w.story + ": " + f.text("kind") + " " + f.text("id")
			var polys [][][][2]float64
			switch f.Geometry.Type {
			case "Polygon":
				polys = make([][][][2]float64, 1)
				tblDecode(t, f.Geometry.Coordinates, &polys[0])
			case "MultiPolygon":
				tblDecode(t, f.Geometry.Coordinates, &polys)
			case "LineString":
				var line [][2]float64
				tblDecode(t, f.Geometry.Coordinates, &line)
				if len(line) < 2 {
					t.Errorf("%s: a line of %d places", what, len(line))
				}
			case "Point":
				var p [2]float64
				tblDecode(t, f.Geometry.Coordinates, &p)
			default:
				t.Errorf("%s: geometry %q", what, f.Geometry.Type)
			}
			for _, p := range polys {
				for n, r := range p {
					ringOf(r, n > 0, what)
				}
			}
		}
	}
	if rings < 3000 {
		t.Errorf("only %d rings: the test sees too little", rings)
	}
}

func tblDecode(t *testing.T, data json.RawMessage, into any) {
	t.Helper()
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%.60s: %v", data, err)
	}
}

// TestGeoJSON_Facets: field facets are a partition of outline less courts and
// curbs, and at every place the boards' own planes (cover apart) add up to the
// planes of the facets there. All from the file.
func TestGeoJSON_Facets(t *testing.T) {
	for _, w := range tblWays {
		t.Run(w.story, func(t *testing.T) { tblFacets(t, tblPlan(t, tblResult(t, w))) })
	}
}

func tblFacets(t *testing.T, plan []tblFeature) {
	t.Helper()
	areas := func(kind string) (sqft float64) {
		for _, f := range tblOfKind(plan, kind) {
			if kind != "facet" || f.text("role") != "cricket" { // crickets lie over the field
				sqft += f.poly(t).Area()
			}
		}
		return sqft
	}
	roof := areas("outline") - areas("court") - areas("curb")
	if got := areas("facet"); math.Abs(got-roof) > 1e-6*roof {
		t.Errorf("facets cover %g sq ft of %g", got, roof)
	}
	thickness := func(f tblFeature, p geom.Pt) float64 {
		return f.number(t, "t0_in") + f.number(t, "tx_in_per_ft")*p.X + f.number(t, "ty_in_per_ft")*p.Y
	}
	type region struct {
		tblFeature
		poly geom.Poly
	}
	read := func(kind string) (out []region) {
		for _, f := range tblOfKind(plan, kind) {
			out = append(out, region{f, f.poly(t)})
		}
		return out
	}
	facets, boards := read("facet"), read("board")
	box := tblOfKind(plan, "outline")[0].poly(t).Outer.Box()
	const seed = 20240611
	rnd := rand.New(rand.NewPCG(seed, 1))
	seen := 0
	for range 400 {
		p := geom.Pt{X: box.Min.X + rnd.Float64()*(box.Max.X-box.Min.X), Y: box.Min.Y + rnd.Float64()*(box.Max.Y-box.Min.Y)}
		want, in := 0.0, 0
		for _, f := range facets {
			if f.poly.Has(p) {
				want += thickness(f.tblFeature, p)
				in++
			}
		}
		if in == 0 {
			continue
		}
		seen++
		got := 0.0
		layers := map[float64]int{}
		for _, b := range boards {
			if !b.poly.Has(p) {
				continue
			}
			layers[b.number(t, "layer")]++
			if b.text("type") != "cover" {
				got += thickness(b.tblFeature, p)
			}
		}
		if math.Abs(got-want) > 1e-6 {
			t.Fatalf("seed %d: at %v the boards are %g in thick, the facets %g", seed, p, got, want)
		}
		for n := range len(layers) {
			if layers[float64(n+1)] != 1 {
				t.Fatalf("seed %d: at %v lie the layers %v", seed, p, layers)
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d places on the roof", seen)
	}
}

// TestGeoJSON_Kinds: every kind of section 9 that this roof has is there, with
// its properties.
func TestGeoJSON_Kinds(t *testing.T) {
	r := tblResult(t, tblWays[1])
	plan := tblPlan(t, r)
	want := map[string][]string{
		"outline": {"roof_sqft"}, "court": nil, "outlet": {"outlet_kind", "state"}, "curb": {"height_in", "above"},
		"shot": {"elevation_ft", "used"}, "contour": {"surface", "elevation_ft"},
		"pond":          {"surface", "area_sqft", "max_depth_in", "volume_cuft", "spills_to"},
		"path":          {"surface", "length_ft", "drop_in", "mean_in_per_ft", "least_in_per_ft", "verdict", "ends_at"},
		"drainage-area": {"surface", "area_sqft"},
		"facet":         {"role", "board_in_per_ft", "uphill_deg", "t0_in", "tx_in_per_ft", "ty_in_per_ft"},
		"valley":        nil, "ridge": nil, "edge": {"edge_kind"},
		"board": {"layer", "type", "mark", "row", "seq", "thin_in", "thick_in", "uphill_deg", "t0_in", "tx_in_per_ft",
			"ty_in_per_ft", "stock_ft", "cut", "piece", "stock_no"},
	}
	for kind, keys := range want {
		found := tblOfKind(plan, kind)
		if len(found) == 0 {
			t.Errorf("no %s", kind)
		}
		ids := map[string]bool{}
		for _, f := range found {
			for _, key := range append(keys, "kind", "area", "id") {
				if _, ok := f.Properties[key]; !ok {
					t.Errorf("%s %s has no %s", kind, f.text("id"), key)
				}
			}
			id := f.text("id") + " " + f.text("surface")
			if id == " " || ids[id] && kind != "drainage-area" {
				t.Errorf("two of kind %s are called %q", kind, id)
			}
			ids[id] = true
		}
	}
	pond := tblOfKind(plan, "pond")[0]
	if got, want := pond.number(t, "area_sqft"), r.Areas[0].Existing.Ponds[0].SqFt; math.Abs(got-want) > 1e-6*want {
		t.Errorf("pond area %g, want %g", got, want)
	}
}

// TestGeoJSON_Contours: along a contour the surface has its elevation.
func TestGeoJSON_Contours(t *testing.T) {
	r := tblResult(t, tblWays[3])
	a := &r.Areas[0]
	n := 0
	for _, f := range tblOfKind(tblPlan(t, r), "contour") {
		if f.text("surface") != "existing" {
			continue
		}
		var line [][2]float64
		tblDecode(t, f.Geometry.Coordinates, &line)
		for _, c := range line {
			z, ok := a.Existing.Surface.Elevation(a.Site.Frame.ToLocal(geom.Pt{X: c[0], Y: c[1]}))
			if !ok {
				continue
			}
			n++
			if math.Abs(z-12*f.number(t, "elevation_ft")) > 1e-5 {
				t.Fatalf("at %v the surface is at %g in, its contour at %g ft", c, z, f.number(t, "elevation_ft"))
			}
		}
	}
	if n < 500 {
		t.Errorf("only %d places on contours", n)
	}
}

// TestGeoJSON_Unsurveyed: nothing is drawn that only a survey can show.
func TestGeoJSON_Unsurveyed(t *testing.T) {
	r := tblResult(t, tblWays[0])
	r.Areas[0].Fit = nil
	for _, f := range tblPlan(t, r) {
		if f.text("surface") == "existing" {
			t.Errorf("%s %s of a surface that nobody surveyed", f.text("kind"), f.text("id"))
		}
	}
	var doc map[string]any
	text := tblText(t, func(w io.Writer) error { return WriteGeoJSON(w, r) })
	if err := json.Unmarshal([]byte(text), &doc); err != nil || doc["note"] != assumedDeck {
		t.Errorf("note %v, %v", doc["note"], err)
	}
}

// TestWriters_NoNumber: a figure that is no number is an error, not a file.
func TestWriters_NoNumber(t *testing.T) {
	r := tblResult(t, tblWays[0])
	r.Areas[0].Existing.Ponds[0].SqFt = math.NaN()
	for name, write := range map[string]func(io.Writer, *Result) error{"plan": WriteGeoJSON, "summary": WriteSummary} {
		var bad *json.UnsupportedValueError
		if err := write(io.Discard, r); !errors.As(err, &bad) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// brokenPen fails after a number of bytes.
type brokenPen struct{ left int }

var errPen = errors.New("pen broke")

func (p *brokenPen) Write(b []byte) (int, error) {
	if p.left -= len(b); p.left < 0 {
		return 0, errPen
	}
	return len(b), nil
}

// TestWriters_BrokenPen: every writer tells of a pen that breaks, early or
// late.
func TestWriters_BrokenPen(t *testing.T) {
	r := tblResult(t, tblWays[0])
	files := append(Outputs(r), File{"text", func(w io.Writer) error { return WriteText(w, r) }})
	for _, f := range files {
		whole := len(tblText(t, f.Write))
		for _, left := range []int{0, whole - 1} {
			if err := f.Write(&brokenPen{left}); !errors.Is(err, errPen) {
				t.Errorf("%s, pen good for %d of %d bytes: error %v", f.Name, left, whole, err)
			}
		}
	}
}

// TestFigure rounds to nine digits and leaves short figures alone.
func TestFigure(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, 0.25: 0.25, 1.0 / 3: 0.333333333, 123456789.4: 123456789,
		-2.0000000001: -2, unit.Feet(1).Feet(): 1} {
		if got := figure(in); got != want {
			t.Errorf("figure(%v) = %v, want %v", in, got, want)
		}
	}
}
