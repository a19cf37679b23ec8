package drainage

import (
	"cmp"
	"math"
	"slices"
)

// Stage is the fill curve of one pond: how much it holds at each level of the
// water, up to where it runs over. Where the pond falls apart into ponds within
// it, all of them stand at that level, as they do while the pond dries. One
// Stage must not be used from two places at once.
type Stage struct {
	surf  *walls
	cells []int // lowest first
	rim   []int // cells carried on to walls, lowest first
	fullIn,
	emptyIn float64
	of []int32 // scratch, a cell: 0 in the water, else -1
}

// Stage gives the fill curve of a pond of r. Cost: one value for each cell of
// the surface, then the cells of the pond for each question.
func (r *Report) Stage(p *Pond) *Stage {
	return stageOf(r.walls, p, noMarks(r.Surface.Len()))
}

// noMarks is -1 for each of n cells.
func noMarks(n int) []int32 {
	of := make([]int32, n)
	for k := range of {
		of[k] = -1
	}
	return of
}

// stageOf is Stage with scratch of -1 for each cell, left as it was found.
func stageOf(surf *walls, p *Pond, of []int32) *Stage {
	s := &Stage{surf: surf, cells: slices.Clone(p.cells), rim: slices.Clone(p.rim), fullIn: p.SpillIn, emptyIn: p.SpillIn - p.DepthIn, of: of}
	lower := func(a, b int) int { return cmp.Compare(surf.ElevIn[a], surf.ElevIn[b]) }
	slices.SortStableFunc(s.cells, lower)
	slices.SortStableFunc(s.rim, lower)
	return s
}

// At gives the wet area in sq ft and the water in cu ft at a level of the
// water, inches above job elevation zero; over the lip it is that of the full
// pond.
func (s *Stage) At(levelIn float64) (areaSqft, volumeCuft float64) {
	levelIn = math.Min(levelIn, s.fullIn)
	wet := s.below(s.cells, levelIn)
	if rim := s.below(s.rim, levelIn); len(rim) > 0 {
		wet = slices.Concat(wet, rim)
	}
	w := s.water(wet, levelIn)
	areaSqft, volumeCuft = w.measure(wet)
	s.dry(wet)
	return areaSqft, volumeCuft
}

// Level gives the level in inches at which the pond holds a volume in cu ft:
// the lip where it holds no more, the deepest place where it is empty.
func (s *Stage) Level(volumeCuft float64) float64 {
	lo, hi := s.emptyIn, s.fullIn
	if _, most := s.At(hi); volumeCuft >= most {
		return hi
	}
	for range 60 {
		mid := (lo + hi) / 2
		if _, held := s.At(mid); held < volumeCuft {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// below are those of cells, lowest first, whose middle lies under a level.
func (s *Stage) below(cells []int, levelIn float64) []int {
	n, _ := slices.BinarySearchFunc(cells, levelIn, func(k int, z float64) int { return cmp.Compare(s.surf.ElevIn[k], z) })
	return cells[:n]
}

// water marks cells as wet up to a level; dry takes the marks away.
func (s *Stage) water(cells []int, levelIn float64) *wetCells {
	for _, k := range cells {
		s.of[k] = 0
	}
	return &wetCells{s.surf, s.of, 0, levelIn}
}

func (s *Stage) dry(cells []int) {
	for _, k := range cells {
		s.of[k] = -1
	}
}

// left is what a pond holds after its level has fallen by a depth.
func (s *Stage) left(fallIn float64) *Remnant {
	left := &Remnant{}
	if left.DepthIn = s.fullIn - s.emptyIn - fallIn; left.DepthIn <= 0 {
		return &Remnant{}
	}
	left.SqFt, left.CuFt = s.At(s.fullIn - fallIn)
	return left
}
