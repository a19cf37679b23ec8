package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// The figures that an insulation can have; beyond, a unit is wrong. Common
// practice, no source, as is the usual R of an inch.
const (
	leastR, mostR         = 1.0, 200.0
	leastRInch, mostRInch = 1.0, 60.0
	usualRInch            = 5.7
)

const inchMetres = 0.0254

// thermal reads the insulation that the job must reach.
func (r *jobReader) thermal(j *survey.Job, v item) {
	f, ok := v.fields("thermal")
	if !ok {
		return
	}
	j.Thermal = &survey.Thermal{RequiredR: r.requiredR(f), Rule: rRule(f.get("r_rule")), RPerInch: rPerInch(f)}
}

// requiredR reads the R to reach, or the U. Either has one unit, that of its
// country, so that a plain number is never taken for the other.
func (r *jobReader) requiredR(f fields) float64 {
	inR, inU := f.get("required_r"), f.get("required_u")
	switch metric := r.units == unit.Metric; {
	case metric && !inR.absent:
		inR.fault("a required R is in sq ft h F/Btu, and the job is metric", "write required_u: 0.18, in W/m2K")
	case metric && inU.absent:
		inU.fault("it is not stated which U to reach", "write required_u: 0.18, in W/m2K")
	case metric:
		if u, ok := inU.between(unit.USRPerSI/mostR, unit.USRPerSI/leastR, "U in W/m2K", "0.18"); ok {
			return unit.USRPerSI / u
		}
	case !inU.absent:
		inU.fault("a required U is in W/m2K, and the job is in feet", "write required_r: 30, in sq ft h F/Btu")
	case inR.absent:
		inR.fault("it is not stated which R to reach", "write required_r: 30, of the insulation alone, in sq ft h F/Btu")
	default:
		x, _ := inR.between(leastR, mostR, "R in sq ft h F/Btu", "30")
		return x
	}
	return 0
}

func rRule(v item) survey.RRule {
	if v.absent {
		v.fault("it is not stated how the R is to be reached, and no rule is taken for granted",
			"write r_rule: least, least-plus-1in, average or heat-flow")
	}
	switch v.word("least", "least-plus-1in", "average", "heat-flow") {
	case "least":
		return survey.LeastR
	case "least-plus-1in":
		return survey.LeastPlusInch
	case "average":
		return survey.AverageR
	case "heat-flow":
		return survey.HeatFlowR
	}
	return survey.UnsetRRule
}

// rPerInch reads the R of an inch of insulation, or its conductivity in W/mK.
func rPerInch(f fields) float64 {
	inch, lambda := f.get("r_per_inch"), f.get("conductivity")
	switch {
	case !inch.absent && !lambda.absent:
		lambda.fault("the insulation has an R of an inch and a conductivity", "keep one of them")
	case !inch.absent:
		x, _ := inch.between(leastRInch, mostRInch, "R of an inch in sq ft h F/Btu", "5.7")
		return x
	case lambda.absent:
		inch.note("the R of an inch of insulation is not stated; 5.7 is taken", "write r_per_inch: 5.7, or conductivity: 0.025 in W/mK")
	default:
		if x, ok := lambda.between(unit.USRPerSI*inchMetres/mostRInch, unit.USRPerSI*inchMetres/leastRInch, "conductivity in W/mK", "0.025"); ok {
			return unit.USRPerSI * inchMetres / x
		}
	}
	return usualRInch
}

// between reads a plain number within bounds.
func (v item) between(least, most float64, what, such string) (float64, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	x, plain := table.Number(t)
	if !plain || !(x >= least && x <= most) {
		v.fault(fmt.Sprintf("a plain number from %.3g to %.3g was expected, the %s", least, most, what), "write a number such as "+such)
		return 0, false
	}
	return x, true
}
