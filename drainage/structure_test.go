package drainage

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// structureOf makes the page of a 60 x 40 ft roof whose west half slopes 1/8
// and whose east half slopes 3/8 in/ft to a drain each, in four bays of 30 x 20.
func structureOf(t testing.TB, stated bool) *StructurePage {
	t.Helper()
	a := rectangle(60, 40)
	a.Outlets = []survey.Outlet{
		{ID: "W", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 0.5, Y: 20}, Size: 4 * unit.Inch},
		{ID: "E", Kind: survey.OpenOutlet, Edge: 1, At: geom.Pt{X: 60, Y: 20}}}
	a.Edges[1].Kind = survey.OpenEdge
	z := func(p geom.Pt) float64 {
		if p.X < 30 {
			return 100 + p.X/8
		}
		return 103.75 - (p.X-30)*3/8
	}
	roof := rainRoof{area: a, z: z, rain: stormy}
	s, rain := roof.run(t)
	surf := surfaceOf(s, 0, func(p geom.Pt) float64 { return z(s.Frame.ToJob(p)) })
	opt := usual(t)
	rep := checked(t, s, surf, opt)
	a.Deck.Bays = &survey.BayGrid{W: 30, D: 20}
	var bays []survey.Bay
	if stated {
		var err error
		if bays, err = survey.BaysOf(&a, s, nil); err != nil {
			t.Fatal(err)
		}
	}
	return StructureOf(StructureInput{Site: s, Report: rep, Rain: rain, Bays: bays, Units: unit.US, AddedIn: [2]float64{3, 6}})
}

func TestStructureOf_Bays(t *testing.T) {
	p := structureOf(t, true)
	if len(p.Bays) != 4 {
		t.Fatalf("%d bays", len(p.Bays))
	}
	under := 0
	for _, b := range p.Bays {
		if b.UnderMin {
			under++
			within(t, "slope of the west", b.Slope.InchesPerFoot(), 0.125, 1e-6)
			// The drain blocked, water stands to the ridge: 3.75 in over the
			// lowest place.
			within(t, "held", b.HoldsIn, 3.75, 0.07)
			within(t, "load", b.HoldsPsf, 5.2*b.HoldsIn, 1e-9)
		} else {
			within(t, "slope of the east", b.Slope.InchesPerFoot(), 0.375, 1e-6)
			within(t, "dry", b.HoldsIn, 0, 0.19)
		}
	}
	if under != 2 || !p.Stated || p.Framing != "framing direction not known" {
		t.Errorf("%d bays under 1/4, %+v", under, p)
	}
	text := strings.Join(p.Findings, "\n")
	for _, want := range []string{"2 of 4 bays slope less than 1/4 in/ft", "3 11/16\" deep", "framing direction not known", "0.5 psf on average", "2 lb/cu ft", "over W with the drains blocked"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q:\n%s", want, text)
		}
	}
	if strings.Contains(strings.ToLower(text), "not susceptible") {
		t.Error("the page says what only an engineer may")
	}
}

func TestStructureOf_BaysNotStated(t *testing.T) {
	p := structureOf(t, false)
	if p.Stated || len(p.Bays) != 2 || !strings.Contains(p.Findings[0], "bays are not stated") {
		t.Fatalf("%+v", p)
	}
	for _, b := range p.Bays {
		if strings.HasSuffix(b.ID, " W") != b.UnderMin || math.Abs(b.HoldsPsf-5.2*b.HoldsIn) > 1e-9 {
			t.Errorf("%+v", b)
		}
	}
}

// TestSlopeOfMost: of a bay of which a tenth slopes 1/8 and the rest 3/8 in/ft
// the slope is 1/8; where it is a hundredth, 3/8.
func TestSlopeOfMost(t *testing.T) {
	for share, want := range map[float64]float64{0.1: 0.125, 0.01: 0.375} {
		_, surf := roofOf(t, box(100, 40), openAllRound(), 0.5, func(p geom.Pt) float64 {
			flatTo := -50 + 100*share
			return 0.125*math.Min(p.X, flatTo) + 0.375*math.Max(p.X-flatTo, 0)
		})
		var cells []int
		for k := range surf.Roof {
			cells = append(cells, k)
		}
		within(t, "slope of the bay", slopeOfMost(SlopesOf(surf, unit.Feet(4)), surf, cells).InchesPerFoot(), want, 1e-6)
	}
}

// TestStructureOf_Doubt: the engineer reads what the survey cannot tell, which
// outlet is too small, and what other roofs discharge here.
func TestStructureOf_Doubt(t *testing.T) {
	roof := rainRoof{area: survey.Area{Outline: geom.Box{Max: geom.Pt{X: 60, Y: 20}}.Ring(), Edges: make([]survey.Edge, 4),
		Outlets: []survey.Outlet{{ID: "W", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 1, Y: 10}, Size: 4 * unit.Inch}}},
		z: func(p geom.Pt) float64 { return 100 + p.X/8 }, rain: stormy}
	s, rain := roof.run(t)
	rep := checked(t, s, surfaceOf(s, 0, func(p geom.Pt) float64 { return roof.z(s.Frame.ToJob(p)) }), usual(t))
	sure := strings.Join(StructureOf(StructureInput{Site: s, Report: rep, Rain: rain, Units: unit.US}).Findings, "\n")
	doubted, small := *rep, *rain
	doubted.MeetsDesign, doubted.NoShotNear, doubted.UnknownPct = TooClose, []string{"W"}, 40
	small.Outlets = append([]OutletFlow(nil), rain.Outlets...)
	small.Outlets[0].Verdict, small.Outlets[0].OtherSqFt, small.Outlets[0].Words = FallsShort, 900, "takes 180 gpm at most"
	page := strings.Join(StructureOf(StructureInput{Site: s, Report: &doubted, Rain: &small, Units: unit.US}).Findings, "\n")
	for _, want := range []string{"on 40 % of the roof the shots", "no shot stands near W", "too close to call",
		"W falls short", "takes 180 gpm at most", "other areas discharge 900 sq ft"} {
		if !strings.Contains(page, want) || strings.Contains(sure, want) {
			t.Errorf("%q: in doubt\n%s\nsure\n%s", want, page, sure)
		}
	}
}
