package pipeline

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey/read"
)

// Two roofs of 40 x 20 ft: the upper one, named last, lets its water over an
// open edge onto the lower one, which has a drain and an overflow.
const steppedJob = `job: {name: Stepped, units: us}
survey: {shots: shots.csv, surface: membrane, reading: elevation, unit: ft, reading_error: 1/16 in}
rules: us-reroof
rain: {rate: 3.2 in/h, overflow_rate: 6.4 in/h}
areas:
  - name: Low
    outline: [[0,0], [40,0], [40,20], [0,20]]
    outlets:
      - {id: D1, kind: drain, at: [20,10], size: 4 in}
      - {id: O1, kind: drain, at: [22,10], size: 4 in, inlet: 2 in, above: membrane, overflow: true}
    deck: {type: steel, span: 0 deg, bays: {size: [20, 20], from: [0, 0]}, sag: L/240}
  - name: High
    outline: [[40,0], [80,0], [80,20], [40,20]]
    edges: [{edge: 3, kind: open, onto: Low}]
`

// steppedShots stand on a funnel of 1/8 in/ft to the drain, and on a plane of
// 1/4 in/ft to the open edge.
func steppedShots() string {
	var b strings.Builder
	b.WriteString("x,y,z,area\n")
	for x := 0.0; x <= 40; x += 4 {
		for y := 0.0; y <= 20; y += 4 {
			fmt.Fprintf(&b, "%g,%g,%.5f,Low\n", x, y, 100+math.Max(math.Abs(x-20), math.Abs(y-10))/96)
			fmt.Fprintf(&b, "%g,%g,%.5f,High\n", 40+x, y, 110+x/48)
		}
	}
	return b.String()
}

// The flow of the upper roof is the lower one's to take, whatever their order in
// the job, and the page for the engineer and the what-if are made.
func TestRun_WaterIsPassedOn(t *testing.T) {
	fsys := fstest.MapFS{"job.yaml": {Data: []byte(steppedJob)}, "shots.csv": {Data: []byte(steppedShots())}}
	job, found := read.Job(fsys, "job.yaml", nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	r, err := Run(context.Background(), job, Drainage, nil)
	if err != nil {
		t.Fatal(err)
	}
	low := r.Areas[0]
	d1, o1 := low.Rain[0].Outlets[0], low.Rain[0].Outlets[1]
	if math.Abs(d1.OtherSqFt-800) > 1e-6 || math.Abs(d1.SqFt-800) > 1 || math.Abs(o1.SqFt-1600) > 1 {
		t.Errorf("D1 takes %g sq ft of its own and %g of High; O1 %g", d1.SqFt, d1.OtherSqFt, o1.SqFt)
	}
	if want := 1600 * 6.4 / 96.25; math.Abs(o1.Gpm-want) > 0.1 {
		t.Errorf("the overflow takes %g gpm, want %g", o1.Gpm, want)
	}
	if high := r.Areas[1]; high.Rain[0].Outlets[0].HeadIn != 0 || len(high.Rain[0].Bays) > 0 {
		t.Errorf("an open edge holds water back: %+v", high.Rain[0])
	}
	if p := low.Structure; p == nil || !p.Stated || len(p.Bays) != 2 || !p.Bays[0].UnderMin {
		t.Errorf("the page for the engineer: %+v", low.Structure)
	}
	if w := low.WhatIf[0]; w == nil || w.Most != 1 || len(w.Report.Ponds) == 0 || len(low.Existing.Ponds) > 0 {
		t.Errorf("a sag of L/240 in bays of 20 ft whose roof falls 1/8 in/ft to their joint: %+v", w)
	}
}
