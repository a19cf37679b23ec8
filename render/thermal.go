package render

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// summaryThermal is the insulation alone; R in sq ft h F/Btu.
type summaryThermal struct {
	LeastR    float64 `json:"least_r"`
	AverageR  float64 `json:"average_r"`
	HeatFlowR float64 `json:"heat_flow_r"`
	RequiredR float64 `json:"required_r"`
	RPerInch  float64 `json:"r_per_inch"`
	Rule      string  `json:"rule"`
	Meets     bool    `json:"meets"`
	UnderPct  float64 `json:"under_required_pct"`
}

func thermalOf(t *taper.Thermal) *summaryThermal {
	if t == nil {
		return nil
	}
	return &summaryThermal{
		LeastR: figure(t.LeastR), AverageR: figure(t.AverageR), HeatFlowR: figure(t.HeatFlowR),
		RequiredR: figure(t.Wanted.RequiredR), RPerInch: figure(t.Wanted.RPerInch), Rule: t.Wanted.Rule.String(),
		Meets: t.Meets(), UnderPct: figure(t.UnderPct),
	}
}

// thermal tells what the insulation keeps in and by which rule that is enough.
func (t *telling) thermal(th *taper.Thermal) {
	if th == nil {
		return
	}
	w := th.Wanted
	of := fmt.Sprintf("R %.3g an inch", w.RPerInch)
	if t.metric() {
		of = fmt.Sprintf("conductivity %.3g W/mK", unit.USRPerSI*unit.Inches(1).Metres()/w.RPerInch)
	}
	t.fact("Insulates", fmt.Sprintf("%s where it is thinnest, %s by average thickness, %s by heat flow: %s, of the insulation "+
		"alone without cover and surfaces", t.insulates(th.LeastR), t.insulates(th.AverageR), t.insulates(th.HeatFlowR), of))
	verdict := "meets it"
	if !th.Meets() {
		verdict = "falls short of it"
	}
	words := fmt.Sprintf("%s by the rule %s, which %s", t.insulates(w.RequiredR), w.Rule, verdict)
	if th.UnderPct >= 0.05 {
		words += fmt.Sprintf("; %.1f %% of the area is insulated less than that", th.UnderPct)
	}
	if w.Rule == survey.AverageR && th.HeatFlowR < w.RequiredR {
		words += fmt.Sprintf(". An average can pass while much of the area lies under it: by heat flow it is %s", t.insulates(th.HeatFlowR))
	}
	t.fact("Required", words)
}

// insulates prints an R, in metric jobs the U that it stands for: R 27.4, U 0.207
// W/m2K.
func (s say) insulates(r float64) string {
	if !s.metric() {
		return fmt.Sprintf("R %.1f", r)
	}
	if r <= 0 {
		return "no insulation"
	}
	return fmt.Sprintf("U %.3f W/m2K", unit.USRPerSI/r)
}
