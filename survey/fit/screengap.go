package fit

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// A gap is a place of the roof with no shot in sight within gapSpacings times
// the typical distance between shots, nor within leastGapFt: the middle of a
// square of four lies 0.71 spacings from each, the place of a single shot that
// is missing 1. Common practice, no source.
const (
	gapSpacings = 1.25
	leastGapFt  = 5.0
	gapCells    = 4.0 // cells a spacing that gaps are looked for on
	mostGapCell = 40000
)

// Shots are on high and low places alone where a stretch of bareShare of the
// heights between the highest and the lowest, leastRiseIn or more apart, holds no
// more than fewShare of them, with sideShare above and below, and bareSpacings lie
// between those below and above: where the roof has gaps in its shots, or, since
// such a gap itself makes the spacing over all wide, by the spacing along the rows,
// from each shot to the nearest, where no shot stands halfway within gapSpacings.
// Common practice, no source.
const (
	bareShare    = 0.3
	bareFew      = 0.5 // of surveys of under 20 shots
	fewShare     = 0.05
	sideShare    = 0.15
	leastRiseIn  = 1.5
	leastMiddle  = 6 // shots
	bareSpacings = 1.5
)

// gaps notes where shots are missing: all places between the high and the low
// ones, and the widest circles of the roof without a shot, widest first.
func (sc *screen) gaps() {
	all := sc.usedPlaces()
	pts, zIn := all.at, all.zIn
	if len(pts) < 4 {
		return
	}
	spacing := spacingOf(pts)
	limit := math.Max(gapSpacings*math.Min(spacing, mostSpacingFt), leastGapFt)
	w, h := sc.site.Outline.Box().Size()
	cell := math.Max(math.Max(spacing, leastGapFt)/gapCells, math.Sqrt(w*h/mostGapCell))
	l := survey.LatticeOf(sc.site, cell)
	open := sc.emptyCells(l, pts, limit)
	sc.middle(pts, zIn, spacing, len(open) > 0)
	for n := 0; len(open) > 0; n++ {
		worst := open[0]
		for _, c := range open {
			if c.ft > worst.ft {
				worst = c
			}
		}
		if n == mostListed {
			sc.tell(fmt.Sprintf("more gaps are left between the shots, over some %s", unit.SquareFeet(float64(len(open))*cell*cell).Format(sc.sys)),
				"add shots as close as the others stand")
			return
		}
		sc.tell(fmt.Sprintf("a gap in the shots: none within %s of %s, where they stand some %s apart",
			unit.Feet(worst.ft).Format(sc.sys), sc.placeText(worst.p), unit.Feet(spacing).Format(sc.sys)), "add shots there; a dish in a gap is not seen")
		open = slices.DeleteFunc(open, func(c empty) bool { return c.p.Dist(worst.p) <= worst.ft })
	}
}

// middle notes a survey of high and low places alone.
func (sc *screen) middle(pts []geom.Pt, zIn []float64, spacingFt float64, gaps bool) {
	z := slices.Sorted(slices.Values(zIn))
	n := len(z)
	rise := z[n-1] - z[0]
	if n < leastMiddle || rise < leastRiseIn {
		return
	}
	near := newNear(pts)
	var rows []float64
	for i, p := range pts {
		rows = append(rows, near.nearest(p, 1, func(m int) bool { return m != i })[0].ft)
	}
	rowFt := median(rows)
	few, edge := int(fewShare*float64(n)), int(math.Ceil(sideShare*float64(n)))
	bare := bareShare
	if few == 0 {
		bare = bareFew
	}
	for k := edge - 1; k+few+1 <= n-edge; k++ {
		low, high := z[k], z[k+few+1]
		if high-low < bare*rise {
			continue
		}
		awayFt, halfFt := between(near, zIn, low, high)
		if !(gaps && awayFt > bareSpacings*spacingFt ||
			awayFt > bareSpacings*rowFt && halfFt > math.Max(gapSpacings*rowFt, leastGapFt)) {
			continue
		}
		sc.tell(fmt.Sprintf("%d shots lie low and %d high, and %d between them: only ridge and drain were read, and how "+
			"the roof runs from one to the other is not known", k+1, n-k-1-few, few),
			"add shots on the fields between, every 10 ft")
		return
	}
}

// between says, by their medians, how far the shots up to lowIn stand from the
// nearest of highIn and more, and how far any shot is from halfway there.
func between(near *near, zIn []float64, lowIn, highIn float64) (awayFt, halfFt float64) {
	var away, half []float64
	for i, p := range near.pts {
		if zIn[i] <= lowIn {
			high := near.nearest(p, 1, func(m int) bool { return zIn[m] >= highIn })[0]
			away = append(away, high.ft)
			half = append(half, near.nearest(p.Lerp(near.pts[high.n], 0.5), 1, func(int) bool { return true })[0].ft)
		}
	}
	return median(away), median(half)
}

// empty is a cell with no shot in sight within ft.
type empty struct {
	p  geom.Pt
	ft float64
}

// emptyCells gives the roof cells farther than limitFt from every shot in sight.
func (sc *screen) emptyCells(l survey.Lattice, pts []geom.Pt, limitFt float64) (out []empty) {
	roof, near, walls := survey.RoofCells(sc.site, l), newNear(pts), newWalls(sc.site)
	known := markKnown(l, roof, pts, limitFt, walls)
	for k, on := range roof {
		if !on || known[k] {
			continue
		}
		c := l.Centre(k%l.NX, k/l.NX)
		ft := limitFt
		if one := near.nearest(c, 1, func(m int) bool { return !walls.between(c, pts[m]) }); len(one) > 0 {
			ft = one[0].ft
		}
		out = append(out, empty{c, math.Max(ft, limitFt)})
	}
	return out
}
