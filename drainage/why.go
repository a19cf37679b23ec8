package drainage

import (
	"math"

	"runnel/survey/unit"
)

// Why says in words why water stands, with the figures of its cause, in the
// units of sys.
func (p *Pond) Why(sys unit.System) string {
	rise, held := unit.Inches(p.RiseIn).FormatThin(sys), unit.Inches(p.HeldIn).FormatThin(sys)
	away := farText(p.AwayFt, sys)
	switch p.Cause {
	case ProudRim:
		if p.Overflow {
			return "only " + p.SpillsTo + ", an overflow, lets it go, and its inlet stands " + held +
				" over the roof beside it"
		}
		return "the inlet of " + p.Misses + " stands " + held + " over the roof beside it"
	case OutletUphill:
		return p.Misses + " stands " + away + " from the lowest place and " + rise + " over it"
	case OutletBlocked:
		return p.Misses + " is blocked, and water stands " + held + " over it"
	case NoOutlet:
		return "no outlet that works can be reached"
	case BehindWall:
		return "the lowest place lies along a wall" + p.andTheRise(rise, away)
	case BehindCurb:
		return "it stands behind curb " + p.Behind + p.andTheRise(rise, away)
	case Sag:
		return "the roof sags" + p.andTheRise(rise, away)
	}
	panic("drainage: unknown Cause")
}

// andTheRise says what the water would have to climb.
func (p *Pond) andTheRise(rise, away string) string {
	if p.Misses == "" {
		return ", " + rise + " under the way out"
	}
	return ": " + rise + " must stand before any reaches " + p.Misses + ", " + away + " away"
}

// farText prints a distance as near as it is of use: whole feet or decimetres
// from 5 ft on.
func farText(ft float64, sys unit.System) string {
	far := unit.Feet(ft)
	switch {
	case ft < 5:
	case sys == unit.Metric:
		far = unit.Metres(math.Round(far.Metres()*10) / 10)
	default:
		far = unit.Feet(math.Round(ft))
	}
	return far.Format(sys)
}
