package taper

import (
	"math"

	"runnel/drainage"
)

// Fate is what becomes of a pond.
type Fate int

// The fates; of a pond of the finished surface that was not there before it is
// NewPond.
const (
	PondGone Fate = iota
	PondSmaller
	PondSame
	PondDeeper // or, as deep, larger
	NewPond
)

// String names f as summary.json writes it.
func (f Fate) String() string {
	return [...]string{"gone", "smaller", "same", "deeper", "new"}[f]
}

// sameShare is the share by which area or volume of a pond may differ and it
// still is the same: common practice, no source.
const sameShare = 0.05

// PondChange is what becomes of one pond.
type PondChange struct {
	Before, After *drainage.Pond // nil where there is none
	Fate          Fate
	// FillCuFt is the fill that what still stands needs at the least: its volume up
	// to where it runs over, level; that it runs off too takes more. 0: gone.
	FillCuFt float64
}

// ComparePonds tells of every old pond what the finished surface makes of it,
// and then of every new one; both in the order of their reports. A new pond that
// lies over several old ones is what becomes of each. Deeper and the same are
// told within 1/8 in, by which shots are read, and 5 % of area and volume; as deep
// and larger counts as deeper.
// Cost: old x new ponds, an overlay where their boxes meet.
func ComparePonds(before, after *drainage.Report) []PondChange {
	var out []PondChange
	old := make([]bool, len(after.Ponds))
	for i := range before.Ponds {
		c := PondChange{Before: &before.Ponds[i]}
		most := 0.0
		for n := range after.Ponds {
			if sqft := drainage.SharedSqft(c.Before, &after.Ponds[n]); sqft > 0 {
				old[n] = true
				if sqft > most {
					most, c.After = sqft, &after.Ponds[n]
				}
			}
		}
		c.judge()
		out = append(out, c)
	}
	for n := range after.Ponds {
		if !old[n] {
			out = append(out, PondChange{After: &after.Ponds[n], Fate: NewPond, FillCuFt: after.Ponds[n].CuFt})
		}
	}
	return out
}

// judge tells the fate of an old pond by what stands there now.
func (c *PondChange) judge() {
	if c.After == nil {
		return
	}
	b, a := c.Before, c.After
	c.FillCuFt = a.CuFt
	shrunk := func(was, is float64) bool { return is < was*(1-sameShare) }
	switch deeperIn := a.DepthIn - b.DepthIn; {
	case deeperIn > sameDepthIn:
		c.Fate = PondDeeper
	case deeperIn < -sameDepthIn, shrunk(b.SqFt, a.SqFt), shrunk(b.CuFt, a.CuFt):
		c.Fate = PondSmaller
	case math.Max(a.SqFt/b.SqFt, a.CuFt/b.CuFt) > 1/(1-sameShare):
		c.Fate = PondDeeper
	default:
		c.Fate = PondSame
	}
}
