package render

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
)

// withRain is a result with rain on its two surfaces and the page for the
// engineer.
func withRain(t *testing.T, rain survey.Rain) *Result {
	t.Helper()
	r := tblResult(t, tblWays[0])
	r.Job.Rain = rain
	a := &r.Areas[0]
	for n, rep := range []*drainage.Report{a.Existing, a.Proof.Report} {
		in := [2][]float64{a.InletIn, a.FinishedInletIn}[n]
		if in == nil {
			in = drainage.Inlets(a.Site, rep.Surface, nil)
		}
		out, err := drainage.RainOn(drainage.RainInput{Site: a.Site, Report: rep, Rain: rain, Existing: a.Existing.Surface,
			Units: r.Job.Units, Opt: drainage.Options{Rules: r.Rules, InletIn: in, Window: 4 * unit.Foot,
				Ponds: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}}})
		if err != nil {
			t.Fatal(err)
		}
		a.Rain[n] = out
		a.Structure = drainage.StructureOf(drainage.StructureInput{Site: a.Site, Report: rep, Rain: out, Units: r.Job.Units})
	}
	return r
}

func written(t *testing.T, r *Result, name string) string {
	t.Helper()
	for _, f := range Outputs(r) {
		if f.Name == name {
			var b bytes.Buffer
			if err := f.Write(&b); err != nil {
				t.Fatal(err)
			}
			return b.String()
		}
	}
	t.Fatalf("no %s among the outputs", name)
	return ""
}

// outlets.csv has a line an outlet and surface; what is not known is empty.
func TestOutletsCSV(t *testing.T) {
	rain := survey.Rain{Rate: 3.2 * unit.InchPerHour, OverflowRate: 6.4 * unit.InchPerHour}
	lines := strings.Split(strings.TrimSpace(written(t, withRain(t, rain), "outlets.csv")), "\n")
	r := withRain(t, rain)
	if want := 1 + 2*len(r.Areas[0].Site.Outlets); len(lines) != want {
		t.Fatalf("%d lines, want %d", len(lines), want)
	}
	if !strings.HasPrefix(lines[0], "area,outlet,kind,state,primary,inlet_ft,drainage_sqft,wall_sqft,other_sqft,flow_gpm,head_in,capacity_gpm,verdict,") {
		t.Errorf("header %s", lines[0])
	}
	for _, l := range strings.Split(strings.TrimSpace(written(t, withRain(t, survey.Rain{}), "outlets.csv")), "\n")[1:] {
		if v := strings.Split(l, ","); v[9] != "" || v[10] != "" || v[12] != "unknown" {
			t.Errorf("a flow without rain: %s", l)
		}
	}
}

// The page for the engineer is one page, and says nothing that only he may.
func TestStructurePage_OnePage(t *testing.T) {
	r := withRain(t, survey.Rain{})
	for range 200 { // more than a page of bays
		r.Areas[0].Structure.Bays = append(r.Areas[0].Structure.Bays, r.Areas[0].Structure.Bays[0])
	}
	for range 60 {
		r.Areas[0].Structure.Findings = append(r.Areas[0].Structure.Findings, strings.Repeat("a long finding ", 20))
	}
	text := written(t, r, "structure.txt")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) > 60 {
		t.Errorf("%d lines", len(lines))
	}
	for _, l := range lines {
		if utf8.RuneCountInString(l) > 100 {
			t.Errorf("%d columns: %s", utf8.RuneCountInString(l), l)
		}
	}
	if strings.Contains(strings.ToLower(text), "not susceptible") || !strings.Contains(text, "licensed structural engineer") ||
		!strings.Contains(text, "framing direction not known") {
		t.Errorf("the page says\n%s", text)
	}
}

// TestStructurePage_Metric: water weighs 9.80 kN/m3, so 0.98 kPa for 100 mm, and
// the page has no inch, foot or pound.
func TestStructurePage_Metric(t *testing.T) {
	r := withRain(t, survey.Rain{})
	r.Job.Units = unit.Metric
	r.Areas[0].Structure.Findings = nil // made in the job's units before
	text := written(t, r, "structure.txt")
	if !strings.Contains(text, "Water weighs 0.98 kPa for 100 mm.") {
		t.Errorf("the page says\n%s", text)
	}
	head, _, _ := strings.Cut(text, "Stretches")
	for _, us := range []string{"psf", "inch", "in/ft", "lb", "\""} {
		if strings.Contains(head, us) {
			t.Errorf("the page says %q in\n%s", us, head)
		}
	}
}
