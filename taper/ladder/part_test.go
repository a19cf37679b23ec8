package ladder

import (
	"context"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// halves is a roof of 60 x 40 ft with a ridge at x = 0: west of it 1/8 in/ft to
// a gutter with a dish in it, east of it so much to a gutter of its own.
func halves(eastInPerFt float64, rules string) roof {
	dish := fall(geom.Pt{X: -15}, 1.95, 8)
	return roof{w: 60, d: 40, rules: rules,
		outlets: []survey.Outlet{westGutter, {ID: "A-1", Kind: survey.GutterOutlet, Edge: 1}},
		z: func(p geom.Pt) float64 {
			if p.X > 0 {
				return 3.75 - eastInPerFt*p.X
			}
			return dish(p)
		}}
}

// TestSortAreas: a half is sound where its own paths meet the slope and it holds
// no pond; with the re-roof exception only ponds count.
func TestSortAreas(t *testing.T) {
	for _, c := range []struct {
		rules     string
		east      float64
		bad, stay string
	}{
		{"us-reroof", 0.25, "A-3", "A-1"},
		{"us-reroof", 0.2, "A-3 and A-1", ""},
		{"us-reroof-drained", 0.2, "A-3", "A-1"},
	} {
		m := on(halves(c.east, c.rules).in(t))
		by, closed := m.sortAreas()
		if areaNames(by.bad) != c.bad || areaNames(by.stay) != c.stay || len(closed)+len(by.open) > 0 {
			t.Errorf("%s, %g in/ft: bad %q, stay %q, %v, %v", c.rules, c.east, areaNames(by.bad), areaNames(by.stay), closed, by.open)
		}
		s, err := m.partTaper(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if whole := c.stay == ""; whole != strings.Contains(s.Why, "no part of the roof meets by itself") || whole != (s.Outcome == Refused) {
			t.Errorf("%s, %g in/ft: %+v", c.rules, c.east, s)
		}
	}
}

// TestParts: the part is the half with the pond, to the ridge, in the box of
// the axes; a curb on its line is taken in, and a half that is nearly all of the
// roof is refused.
func TestParts(t *testing.T) {
	in := halves(0.25, "us-reroof").in(t)
	m := on(in)
	by, _ := m.sortAreas()
	box := m.parts(by.bad)[0].Outer.Box()
	near(t, "west", box.Min.X, -30, m.surf.CellFt)
	near(t, "east, at the ridge", box.Max.X, 0, m.surf.CellFt)
	in.Site.Curbs = []geom.Ring{geom.Box{Min: geom.Pt{X: -2}, Max: geom.Pt{X: 5, Y: 3}}.Ring()}
	near(t, "past the curb", m.parts(by.bad)[0].Outer.Box().Max.X, 5, 1e-9)
	in.Site.Curbs[0] = geom.Box{Min: geom.Pt{X: -2}, Max: geom.Pt{X: 29, Y: 3}}.Ring()
	m.LayPart = func(context.Context, geom.Ring) (*taper.Design, *taper.Proof, error) {
		t.Error("laid all the same")
		return nil, nil, nil
	}
	s, err := m.partTaper(context.Background())
	if err != nil || s.Outcome != Refused || !strings.Contains(s.Why, "only 2 % of the roof") {
		t.Errorf("%v, %+v", err, s)
	}
}

// TestPart_Rest: a part whose design passes is refused where water is dammed at
// its tie line or stands deep where the roof stays, and open where the slope of
// that cannot be told.
func TestPart_Rest(t *testing.T) {
	m := on(halves(0.25, "us-reroof").in(t))
	part := geom.Poly{Outer: geom.Box{Min: geom.Pt{X: -30, Y: -20}, Max: geom.Pt{Y: 20}}.Ring()}
	deep := func(x float64) *drainage.Report {
		return &drainage.Report{Ponds: []drainage.Pond{{ID: "P1", DepthIn: 0.5, Deepest: geom.Pt{X: x}}}}
	}
	for _, c := range []struct {
		story string
		proof taper.Proof
		open  []string
		want  Outcome
		says  string
	}{
		{"nothing left", taper.Proof{Report: &drainage.Report{}, Tie: &taper.Tie{Dam: "none"}}, nil, Kept, "none"},
		{"a dam", taper.Proof{Report: &drainage.Report{}, Tie: &taper.Tie{Dam: "a dam", DamIn: 1}}, nil, Refused, "a dam"},
		{"a pond outside", taper.Proof{Report: deep(10)}, nil, Refused, `1/2" deep stays at x 10.0 ft`},
		{"a pond within, which the proof judges", taper.Proof{Report: deep(-10)}, nil, Kept, ""},
		{"untold", taper.Proof{Report: &drainage.Report{}}, []string{"A-1"}, Open, "toward A-1 cannot be told"},
	} {
		s := Step{Outcome: Kept}
		m.judgeRest(&s, part, &c.proof, c.open)
		if s.Outcome != c.want || !strings.Contains(s.Why, c.says) {
			t.Errorf("%s: %+v", c.story, s)
		}
	}
}

// TestPart_ClosedIn: a pond that no outlet takes is cured by no taper of a part.
func TestPart_ClosedIn(t *testing.T) {
	r := halves(0.25, "us-reroof")
	r.outlets[0].State, r.outlets[1].State = survey.Blocked, survey.Blocked
	s, err := on(r.in(t)).partTaper(context.Background())
	if err != nil || s.Outcome != Refused || !strings.Contains(s.Why, "no outlet that works takes the water of P1 and P2; A-3 and A-1 blocked") {
		t.Errorf("%v, %+v", err, s)
	}
}
