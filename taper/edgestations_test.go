package taper

import (
	"context"
	"math"
	"slices"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// A roof of 60 x 40 ft with its drain in the middle, 1/4 in/ft from 1/2 in and 1/2
// in of cover (worked scenario): 8.0 in at the corners and all along the short
// sides, 5.5 in at the middle of the long ones, rising over their last 10 ft. Written
// clockwise, the outline has the same stations from its own vertices.
func TestEdgeStations(t *testing.T) {
	long := [][2]float64{{0, 8}, {10, 5.5}, {50, 5.5}, {60, 8}}
	short := [][2]float64{{0, 8}, {40, 8}}
	for name, c := range map[string]struct {
		outline geom.Ring
		want    [][][2]float64
	}{
		"counter-clockwise": {rect(60, 40), [][][2]float64{long, short, long, short}},
		"clockwise":         {rect(60, 40).Reversed(), nil},
	} {
		a := roofArea(c.outline, geom.Pt{X: 30, Y: 20})
		s := survey.SiteOf(a, nil)
		f, err := FieldOf(context.Background(), s, quarterIn(survey.FourWay))
		if err != nil {
			t.Fatal(err)
		}
		got := EdgeStations(a, s, &Design{Facets: f.Facets, Cover: unit.Inches(0.5)})
		for n := range a.Outline {
			want := short
			if a.Outline[n].Dist(a.Outline.At(n+1)) > 50 {
				want = long
			}
			if c.want != nil {
				want = c.want[n]
			}
			wantStations(t, name, got, n, want)
		}
	}
}

// wantStations compares the stations of one edge: feet and inches.
func wantStations(t *testing.T, name string, all []EdgeStation, edge int, want [][2]float64) {
	t.Helper()
	var got []EdgeStation
	for _, st := range all {
		if st.Edge == edge {
			got = append(got, st)
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%s: edge %d has %+v, want %v", name, edge, got, want)
	}
	for n, w := range want {
		nearly(t, name+" station", got[n].Station.Feet(), w[0], 1e-6)
		nearly(t, name+" thickness", got[n].Thickness.Inches(), w[1], 1e-6)
		nearly(t, name+" blocking", got[n].Blocking.Inches(), w[1]+0.5, 1e-6)
	}
}

// Between stations the thickness runs straight, and at a place without a jump it is
// that of the design: so on random roofs, at places along all edges
// but those behind a curb that stands at the edge.
func TestEdgeStations_Straight(t *testing.T) {
	places := 0
	for seed := range uint64(60) {
		c := randomCase(seed)
		f, err := FieldOf(context.Background(), c.s, c.in)
		if err != nil {
			continue
		}
		ring := c.s.Outline
		a := &survey.Area{Outline: ring.Map(c.s.Frame.ToJob)}
		s := *c.s
		s.Edges = make([]survey.SiteEdge, len(ring))
		got := EdgeStations(a, &s, &Design{Facets: f.Facets})
		for k := 1; k < len(got); k++ {
			p, q := got[k-1], got[k]
			if p.Edge != q.Edge || q.Station-p.Station < unit.Inches(0.5) {
				continue
			}
			for _, share := range []float64{0.21, 0.5, 0.83} {
				in, ok := ThicknessAt(f.Facets, p.At.Lerp(q.At, share))
				want := p.Thickness.Inches() + share*(q.Thickness-p.Thickness).Inches()
				if atCurb := slices.ContainsFunc(s.Curbs, func(c geom.Ring) bool { return c.Has(p.At.Lerp(q.At, share)) }); atCurb && !ok {
					continue
				}
				places++
				if !ok || math.Abs(in-want) > 1e-5 {
					t.Errorf("seed %d edge %d from %g to %g ft: %g in, want %g", seed, p.Edge, p.Station.Feet(), q.Station.Feet(), in, want)
				}
			}
		}
	}
	if places < 1000 {
		t.Errorf("only %d places looked at", places)
	}
}
