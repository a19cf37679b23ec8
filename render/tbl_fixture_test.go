package render

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
	"runnel/taper/ladder"
)

// tblWay is how a roof of these tests lies on the sheet: turned, mirrored and
// shifted from how it is described.
type tblWay struct {
	story  string
	deg    float64
	mirror bool
	shift  geom.Pt
}

var tblWays = []tblWay{
	{"as drawn", 0, false, geom.Pt{}},
	{"turned by a quarter", 90, false, geom.Pt{X: 2000, Y: 5000}},
	{"mirrored", 0, true, geom.Pt{X: -31.25, Y: 7}},
	{"mirrored and turned by three quarters", 270, true, geom.Pt{X: 100, Y: -40}},
	{"turned by 17 degrees", 17, false, geom.Pt{X: 500, Y: 300}},
	{"mirrored and turned by 17 degrees", 17, true, geom.Pt{X: 500, Y: 300}},
}

func (w tblWay) put(p geom.Pt) geom.Pt {
	if w.mirror {
		p.X = -p.X
	}
	return geom.Frame{Turn: w.deg * math.Pi / 180, Origin: w.shift}.ToJob(p)
}

// tblArea is an L with two drains, a court and a curb, described at its
// natural place and then put on the sheet the given way. Edge 2 is changed by
// the caller.
func tblArea(w tblWay) survey.Area {
	a := survey.Area{
		Name:    "North",
		Outline: geom.Ring{{X: 0, Y: 0}, {X: 58, Y: 0}, {X: 58, Y: 30}, {X: 33, Y: 30}, {X: 33, Y: 47}, {X: 0, Y: 47}}.Map(w.put),
		Edges:   make([]survey.Edge, 6),
		Courts:  []geom.Ring{geom.Ring{{X: 40, Y: 17}, {X: 46, Y: 17}, {X: 46, Y: 24}, {X: 40, Y: 24}}.Map(w.put)},
		Outlets: []survey.Outlet{
			{ID: "D1", Kind: survey.Drain, At: w.put(geom.Pt{X: 13, Y: 30}), Edge: -1, Size: unit.Inches(4)},
			{ID: "D2", Kind: survey.Drain, At: w.put(geom.Pt{X: 41, Y: 10}), Edge: -1},
		},
		Curbs: []survey.Curb{{ID: "U1", At: w.put(geom.Pt{X: 23, Y: 16}), W: 4, D: 3,
			Height: survey.Height{Value: unit.Inches(14), Above: survey.AboveMembrane}}},
	}
	if w.deg == 90 || w.deg == 270 { // a curb's width lies along the sheet's x then
		a.Curbs[0].W, a.Curbs[0].D = a.Curbs[0].D, a.Curbs[0].W
	}
	for i, p := range []geom.Pt{{X: 3, Y: 4}, {X: 30, Y: 4}, {X: 55, Y: 27}, {X: 5, Y: 44}} {
		a.Shots = append(a.Shots, survey.Shot{ID: string(rune('a' + i)), At: w.put(p), Elev: unit.Feet(100)})
	}
	a.Shots[3].Left = "reads 2 ft off its neighbours"
	a.Shots[3].File, a.Shots[3].Line = "shots.csv", 5
	return a
}

// tblSurface is a surface over the roof, the same however it lies: rolling,
// with dishes and a fall of 1/16 in/ft.
func tblSurface(s *survey.Site, w tblWay) *survey.Surface {
	back := func(p geom.Pt) geom.Pt {
		q := geom.Frame{Turn: w.deg * math.Pi / 180, Origin: w.shift}.ToLocal(s.Frame.ToJob(p))
		if w.mirror {
			q.X = -q.X
		}
		return q
	}
	surf := fit.Level(s, survey.LatticeOf(s, 0), 0)
	in := make([]float64, surf.Len())
	for k, roof := range surf.Roof {
		if roof {
			p := back(surf.Centre(k%surf.NX, k/surf.NX))
			in[k] = 1200 + p.X/16 + 0.9*math.Sin(p.X/5+1)*math.Cos(p.Y/6) - 1.5*math.Exp(-p.Sub(geom.Pt{X: 50, Y: 5}).Dot(p.Sub(geom.Pt{X: 50, Y: 5}))/20)
		}
	}
	return surf.With(in)
}

func tblRules(t *testing.T) drainage.Rules {
	t.Helper()
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	return rules
}

// tblCheck runs the drainage check; every pond counts.
func tblCheck(t *testing.T, s *survey.Site, surf *survey.Surface, inletIn []float64) *drainage.Report {
	t.Helper()
	r, err := drainage.Check(context.Background(), s, surf, drainage.Options{Rules: tblRules(t), InletIn: inletIn,
		Ponds: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}, Window: 4 * unit.Foot})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// tblResult computes a result with the real stages: check, design, check.
func tblResult(t *testing.T, w tblWay) *Result {
	t.Helper()
	a := AreaResult{Area: tblArea(w)}
	a.Site = survey.SiteOf(&a.Area, nil)
	a.Base = tblSurface(a.Site, w)
	a.Deck.Words = "the deck is taken parallel to the membrane"
	a.Fit = &fit.Result{Surface: a.Base, Method: "smoothing surface", HasRMSE: true, RMSEIn: 0.125, SigmaIn: 0.1, SpacingFt: 8}
	a.InletIn = drainage.Inlets(a.Site, a.Base, nil)
	a.Existing = tblCheck(t, a.Site, a.Base, a.InletIn)
	d, err := taper.Make(context.Background(), a.Site, taper.MakeInput{
		Choice: survey.TaperChoice{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25), Start: unit.Inches(0.5),
			Base: survey.BaseChoice{Layers: 1, Thickness: unit.Inches(2)}, Cover: unit.Inches(0.5), TurnBoard: true},
		Stock: taper.DefaultStock(unit.US), ValleyMin: tblRules(t).Valley.Min})
	if err != nil {
		t.Fatal(err)
	}
	a.Design = d
	in := taper.ThicknessIn(d.Facets, a.Base.Lattice, a.Base.Roof)
	for k := range in {
		in[k] += a.Base.ElevIn[k]
	}
	finished := a.Base.With(in)
	a.FinishedInletIn = drainage.Inlets(a.Site, finished, nil)
	a.Proof = &taper.Proof{Surface: finished, Report: tblCheck(t, a.Site, finished, a.FinishedInletIn),
		Field: drainage.Meets, Valley: drainage.Meets, Passes: true}
	a.Rung, a.Why = ladder.Taper, "it holds water"
	job := &survey.Job{Name: "Osier Lane depot", Units: unit.US, Scope: survey.TearOff, Areas: []survey.Area{a.Area}}
	return &Result{Job: job, Rules: tblRules(t), Areas: []AreaResult{a}}
}

// tblText is what a writer writes.
func tblText(t *testing.T, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// tblRows reads a table back, a map a line.
func tblRows(t *testing.T, text string) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// tblFeature is a feature of plan.geojson as any reader sees it.
type tblFeature struct {
	Geometry struct {
		Type        string          `json:"type"`
		Coordinates json.RawMessage `json:"coordinates"`
	} `json:"geometry"`
	Properties map[string]any `json:"properties"`
}

func (f tblFeature) text(key string) string { s, _ := f.Properties[key].(string); return s }

func (f tblFeature) number(t *testing.T, key string) float64 {
	t.Helper()
	x, ok := f.Properties[key].(float64)
	if !ok {
		t.Fatalf("%v: %s is no number", f.Properties, key)
	}
	return x
}

// poly reads a polygon back as it stands, without closing places.
func (f tblFeature) poly(t *testing.T) geom.Poly {
	t.Helper()
	var rings [][][2]float64
	if err := json.Unmarshal(f.Geometry.Coordinates, &rings); err != nil {
		t.Fatalf("%s: %v", f.Geometry.Type, err)
	}
	var p geom.Poly
	for n, r := range rings {
		var ring geom.Ring
		for _, c := range r[:len(r)-1] {
			ring = append(ring, geom.Pt{X: c[0], Y: c[1]})
		}
		if n == 0 {
			p.Outer = ring
		} else {
			p.Holes = append(p.Holes, ring)
		}
	}
	return p
}

func tblPlan(t *testing.T, r *Result) []tblFeature {
	t.Helper()
	text := tblText(t, func(w io.Writer) error { return WriteGeoJSON(w, r) })
	var plan struct {
		Type     string       `json:"type"`
		Features []tblFeature `json:"features"`
	}
	if err := json.Unmarshal([]byte(text), &plan); err != nil {
		t.Fatal(err)
	}
	if plan.Type != "FeatureCollection" {
		t.Errorf("type %q", plan.Type)
	}
	return plan.Features
}

func tblOfKind(features []tblFeature, kind string) []tblFeature {
	var out []tblFeature
	for _, f := range features {
		if f.text("kind") == kind {
			out = append(out, f)
		}
	}
	return out
}
