package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// curbRoof is 60 x 40 ft with a drain at 30, 10, or a gutter along y = 0.
func curbRoof(scheme survey.Scheme, curbs ...survey.Curb) *survey.Area {
	a := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 10})
	if scheme == survey.OneWay {
		a.Edges[0].Kind = survey.GutterEdge
		a.Outlets = []survey.Outlet{{ID: "G", Kind: survey.GutterOutlet, Edge: 0}}
	}
	a.Curbs = curbs
	return a
}

func curb(id string, x, y, w, d float64) survey.Curb {
	return survey.Curb{ID: id, At: geom.Pt{X: x, Y: y}, W: w, D: d}
}

// Water on a plane of 1/4 in/ft runs along an edge turned by an angle off its
// level lines at 1/4 sin of it, against a limit of 1/8; a curb over 30 in
// across the flow wants a cricket.
func TestProve_Curbs(t *testing.T) {
	turned := curb("U1", 30, 30, 10, 4)
	turned.Turn = 20
	half := turned
	half.Turn = 45
	for name, c := range map[string]struct {
		scheme survey.Scheme
		curbs  []survey.Curb
		riseX  float64
		units  unit.System
		want   []string
	}{
		"square across": {scheme: survey.FourWay, curbs: []survey.Curb{curb("U4", 30, 30, 24, 4)},
			want: []string{`water stands level for 24'-0" behind curb U4: it wants a cricket`}},
		"in metres": {scheme: survey.FourWay, curbs: []survey.Curb{curb("U4", 30, 30, 20, 4)}, units: unit.Metric,
			want: []string{"water stands level for 6.096 m behind curb U4: it wants a cricket"}},
		"narrow ones are counted": {scheme: survey.OneWay,
			curbs: []survey.Curb{curb("U1", 10, 20, 2, 6), curb("U2", 30, 20, 2.5, 6), curb("U3", 50, 20, 2.6, 6)},
			want: []string{`water stands level for 2'-7 3/16" behind curb U3: it wants a cricket`,
				`level water lines behind curbs no wider than 30" across the flow: 2 (U1 and U2)`}},
		"turned by 20 degrees": {scheme: survey.OneWay, curbs: []survey.Curb{turned},
			want: []string{fmt.Sprintf(`the water line behind curb U1 slopes %.4g in/ft over 10'-0", under the 0.125 in/ft of us-reroof: it wants a cricket`,
				0.25*math.Sin(math.Pi/9))}},
		"turned by 45 degrees": {scheme: survey.OneWay, curbs: []survey.Curb{half}},
		// The valley of the drain at 45 degrees ends on its corner.
		"astride a valley": {scheme: survey.FourWay, curbs: []survey.Curb{curb("U1", 45, 25, 6, 6)},
			want: []string{`water stands level for 12'-0" behind curb U1: it wants a cricket`}},
		"deck of 1/8 along it": {scheme: survey.OneWay, curbs: []survey.Curb{curb("U1", 30, 30, 10, 4)}, riseX: 0.125},
		"deck of 1/16 along it": {scheme: survey.OneWay, curbs: []survey.Curb{curb("U1", 30, 30, 10, 4)}, riseX: 0.0625,
			want: []string{`the water line behind curb U1 slopes 0.0625 in/ft over 10'-0", under the 0.125 in/ft of us-reroof: it wants a cricket`}},
		"no name": {scheme: survey.OneWay, curbs: []survey.Curb{curb("", 30, 30, 10, 4)},
			want: []string{`water stands level for 10'-0" behind curb 1: it wants a cricket`}},
	} {
		s := survey.SiteOf(curbRoof(c.scheme, c.curbs...), nil)
		in := quarterIn(c.scheme)
		in.Units = c.units
		var base *survey.Surface
		base, in.Deck = tilted(s, geom.Pt{X: c.riseX})
		p := provenOn(t, s, in, base, make([]float64, len(s.Outlets)))
		if !slices.Equal(p.Findings, c.want) {
			t.Errorf("%s: %s", name, strings.Join(p.Findings, "; "))
		}
		if !p.Passes {
			t.Errorf("%s: %s", name, p.Why)
		}
	}
}

// A job turned by right angles, mirrored or shifted has the same findings and
// the same verdict.
func TestProve_FindingsTurnMirrorShift(t *testing.T) {
	of := func(turns int, mirror bool, by geom.Pt) *survey.Area {
		f := geom.Frame{Origin: by, Turn: float64(turns) * math.Pi / 2, Mirror: mirror}
		turned := curb("U2", 45, 33, 10, 4)
		turned.Turn = 20
		a := curbRoof(survey.FourWay, curb("U1", 12, 22, 6, 6), turned, curb("U3", 30, 20, 2, 1))
		a.Outlets = append(a.Outlets, survey.Outlet{ID: "S1", Kind: survey.Scupper, At: geom.Pt{X: 50}, Edge: 0,
			Width: unit.Foot, Overflow: true})
		a.Outline = a.Outline.Map(f.ToJob)
		for n := range a.Outlets {
			a.Outlets[n].At = f.ToJob(a.Outlets[n].At)
		}
		for n := range a.Curbs {
			a.Curbs[n].At = f.ToJob(a.Curbs[n].At)
			if turns%2 == 1 { // W lies along the building axis nearest to the sheet's x
				a.Curbs[n].W, a.Curbs[n].D = a.Curbs[n].D, a.Curbs[n].W
			}
			if mirror {
				a.Curbs[n].Turn *= -1
			}
		}
		return a
	}
	proof := func(a *survey.Area) *Proof {
		s := survey.SiteOf(a, nil)
		return provenOn(t, s, quarterIn(survey.FourWay), level(s, 100), []float64{100, 102})
	}
	want := proof(of(0, false, geom.Pt{}))
	if len(want.Findings) < 4 {
		t.Fatalf("%q", want.Findings)
	}
	for turns := range 4 {
		for _, mirror := range []bool{false, true} {
			got := proof(of(turns, mirror, geom.Pt{X: 1234.5, Y: -77.25}))
			if !slices.Equal(got.Findings, want.Findings) || got.Passes != want.Passes || got.Why != want.Why {
				t.Errorf("%d turns, mirrored %v: %v %q %q, want %v %q %q", turns, mirror,
					got.Passes, got.Why, got.Findings, want.Passes, want.Why, want.Findings)
			}
		}
	}
}
