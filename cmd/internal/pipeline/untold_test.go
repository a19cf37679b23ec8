package pipeline

import (
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestUntoldHeights: with tear-off a core tells how thick the old roof was, and
// with it how high a scupper and the parapets of it stand over the new one;
// without one neither is told, in no verdict and in no load. On a level roof 4 in
// thick the scupper stands 5 in over the deck and 4 1/2 in over the drain's 1/2 in
// of new layers, too high for a most of 4.
func TestUntoldHeights(t *testing.T) {
	for _, cored := range []bool{true, false} {
		job := shotRoof(48, 24, func(geom.Pt) float64 { return 1200 })
		job.Scope = survey.TearOff
		job.Rain = survey.Rain{Rate: 4 * unit.InchPerHour, OverflowRate: 8 * unit.InchPerHour}
		a := &job.Areas[0]
		if cored {
			a.Cores = []survey.Core{coreAt(8, 12, 4), coreAt(24, 4, 4), coreAt(40, 20, 4), coreAt(40, 4, 4), coreAt(8, 20, 4)}
		}
		above := func(in float64) survey.Height {
			return survey.Height{Value: unit.Inches(in), Above: survey.AboveMembrane}
		}
		for n := range a.Edges {
			a.Edges[n] = survey.Edge{Kind: survey.Parapet, Height: above(12)}
		}
		job.Taper.Scheme = survey.FourWay
		a.Outlets = append(a.Outlets[:0], survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 24, Y: 12}, Size: 4 * unit.Inch}, survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 24}, Width: unit.Foot,
			Opening: 6 * unit.Inch, Inlet: above(1), Overflow: true})
		got := runJob(t, job).Areas[0]
		rain := got.Rain[1]
		if got.Design == nil || rain == nil || len(rain.Bays) != 1 {
			t.Fatalf("cores: %v: design %v, rain %+v", cored, got.Design != nil, rain)
		}
		var said []drainage.Verdict
		for _, f := range got.Proof.Report.Findings {
			if f.Rule == "overflow" {
				said = append(said, f.Verdict)
				if cored != (f.Figure != nil) {
					t.Errorf("cores: %v: %+v", cored, f)
				}
			}
		}
		want := drainage.Unknown
		if cored {
			want = drainage.FallsShort
		}
		if len(said) != 1 || said[0] != want || rain.Bays[0].Protects != want || rain.Outlets[1].Verdict == drainage.Meets && !cored {
			t.Errorf("cores: %v: verdicts %v, %+v, %+v", cored, said, rain.Bays[0], rain.Outlets)
		}
		const why = "no core tells how thick the old roof is"
		for what, text := range map[string]string{"bay": rain.Bays[0].Why, "page": strings.Join(got.Structure.Findings, "\n"),
			"proof": strings.Join(got.Proof.Findings, "\n")} {
			if strings.Contains(text, why) == cored {
				t.Errorf("cores: %v: the %s says %q", cored, what, text)
			}
		}
		if rain.AtLeast == cored || (rain.Bays[0].ParapetIn >= 0) != cored {
			t.Errorf("cores: %v: at least %v, parapet %g", cored, rain.AtLeast, rain.Bays[0].ParapetIn)
		}
	}
}
