package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/unit"
)

// psfPerIn is the weight of an inch of water on a square foot: 62.4 lb/cu ft
// over 12 (ASCE 7 Eq. 8.3-1, R = 5.2 (ds + dh)).
const psfPerIn = 62.4 / 12

// intake is how an outlet takes water: by a table of heads, as a scupper, or
// freely all along an edge.
type intake struct {
	rows              []survey.HeadFlow
	widthIn, openIn   float64 // of a scupper; openIn 0: height not stated
	free, fromMemory  bool
	openIsTaken, told bool // told: anything is known of it
}

// leastOpeningIn is how high a scupper is at least: IBC 2021 family 1502.3.
const leastOpeningIn = 4

// drainTable is what a plain roof drain of a bore takes, heads in whole and half
// inches over its inlet: ASCE 7-05/7-10 Table C8-1, from memory; the drain's
// maker has to confirm it. Other bores have none.
func drainTable(bore unit.Length) []survey.HeadFlow {
	const halfSizeIn = 0.25 // a 100 mm drain is a 4 in one
	var headIn, gpm []float64
	switch in := bore.Inches(); {
	case math.Abs(in-4) < halfSizeIn:
		headIn, gpm = []float64{1, 2, 2.5}, []float64{80, 170, 180}
	case math.Abs(in-6) < halfSizeIn:
		headIn, gpm = []float64{1, 2, 2.5, 3, 3.5}, []float64{100, 190, 270, 380, 540}
	case math.Abs(in-8) < halfSizeIn:
		headIn, gpm = []float64{1, 2, 2.5, 3, 3.5, 4, 4.5}, []float64{125, 230, 340, 560, 850, 1100, 1170}
	}
	var rows []survey.HeadFlow
	for n := range headIn {
		rows = append(rows, survey.HeadFlow{Head: unit.Inches(headIn[n]), Flow: unit.GallonsPerMinute(gpm[n])})
	}
	return rows
}

// intakeOf says how an outlet takes water, as far as the job tells.
func intakeOf(o survey.Outlet) intake {
	k := intake{rows: o.Capacity}
	switch {
	case o.IsEdge():
		k.free = true
	case o.Kind == survey.Scupper && k.rows == nil:
		k.widthIn, k.openIn = o.Width.Inches(), o.Opening.Inches()
		if k.openIn == 0 {
			k.openIn, k.openIsTaken = leastOpeningIn, true
		}
	case k.rows == nil:
		k.rows, k.fromMemory = drainTable(o.Size), true
	}
	k.told = k.free || len(k.rows) > 0 || k.widthIn > 0
	return k
}

// weirGpm is the flow over a weir, widths and heads in inches:
// 2.9 b H^1.5, which is C = 3.22 in Q = C L H^1.5 in feet and seconds.
func weirGpm(widthIn, headIn float64) float64 { return 2.9 * widthIn * math.Pow(headIn, 1.5) }

// submergedGpm is the flow through an opening under water.
func submergedGpm(widthIn, openIn, headIn float64) float64 {
	return 4.3 * widthIn * openIn * math.Sqrt(headIn-openIn/2)
}

// mostIn is the greatest head over the inlet at which the flow is known.
func (k intake) mostIn() float64 {
	switch {
	case len(k.rows) > 0:
		return k.rows[len(k.rows)-1].Head.Inches()
	case k.openIsTaken:
		return k.openIn
	case k.told:
		return math.Inf(1)
	}
	return 0
}

// flowAt is what the outlet takes at a head over its inlet, in gpm; beyond the
// greatest head known, what it takes there. Not for free edges.
func (k intake) flowAt(headIn float64) float64 {
	headIn = math.Min(headIn, k.mostIn())
	switch {
	case headIn <= 0:
		return 0
	case len(k.rows) == 0 && headIn <= k.openIn:
		return weirGpm(k.widthIn, headIn)
	case len(k.rows) == 0:
		// The two forms differ by 5 % at the top of the opening.
		return math.Max(weirGpm(k.widthIn, k.openIn), submergedGpm(k.widthIn, k.openIn, headIn))
	}
	lowIn, lowGpm := 0.0, 0.0
	for _, r := range k.rows {
		if in := r.Head.Inches(); headIn <= in {
			return lowGpm + (r.Flow.GallonsPerMinute()-lowGpm)*(headIn-lowIn)/(in-lowIn)
		}
		lowIn, lowGpm = r.Head.Inches(), r.Flow.GallonsPerMinute()
	}
	return lowGpm
}

// headAt is the head at which the outlet takes a flow; false where that is not
// known.
func (k intake) headAt(gpm float64) (headIn float64, ok bool) {
	return levelFor([]intake{k}, []float64{0}, gpm)
}

// capacityGpm is what the outlet takes at the greatest head told: the last row
// of a table, a scupper filled to its top; -1: not known.
func (k intake) capacityGpm() float64 {
	switch {
	case k.free || !k.told || k.openIsTaken:
		return -1
	case len(k.rows) > 0:
		return k.flowAt(k.mostIn())
	}
	return k.flowAt(k.openIn)
}

// levelFor is the level at which outlets together take a flow, each with its
// inlet, by halving; it is never under the lowest inlet. It is false where they
// do not, as far as their heads are known. One free edge takes all.
func levelFor(ks []intake, inletIn []float64, gpm float64) (levelIn float64, ok bool) {
	lowIn, highIn := math.Inf(1), math.Inf(-1)
	for n, k := range ks {
		if k.free {
			return inletIn[n], true
		}
		if k.told {
			lowIn = math.Min(lowIn, inletIn[n])
			highIn = math.Max(highIn, inletIn[n]+math.Min(k.mostIn(), deepestHeadIn))
		}
	}
	total := func(levelIn float64) (sum float64) {
		for n, k := range ks {
			if k.told {
				sum += k.flowAt(levelIn - inletIn[n])
			}
		}
		return sum
	}
	if math.IsInf(lowIn, 1) || total(highIn) < gpm {
		return 0, false
	}
	for range 60 {
		if mid := (lowIn + highIn) / 2; total(mid) < gpm {
			lowIn = mid
		} else {
			highIn = mid
		}
	}
	return highIn, true
}

// leastLevel is the level that water stands over at the least where outlets do
// not take a flow as far as their heads are known: up to the lowest of those
// heads all their flows are. False where one of them tells nothing.
func leastLevel(ks []intake, inletIn []float64) (levelIn float64, ok bool) {
	levelIn = math.Inf(1)
	for n, k := range ks {
		if !k.told {
			return 0, false
		}
		levelIn = math.Min(levelIn, inletIn[n]+k.mostIn())
	}
	return levelIn, !math.IsInf(levelIn, 1)
}

// deepestHeadIn is as deep as water over an inlet is reckoned with: 10 ft.
const deepestHeadIn = 120
