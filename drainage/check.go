package drainage

import (
	"context"
	"errors"
	"fmt"
	"math"

	"runnel/drainage/internal/fill"
	"runnel/survey"
)

// materialUnknownPct is the share of the area too far from a shot from which
// on "no ponds" is not said. Common practice, no source.
const materialUnknownPct = 5

// check is one run of Check.
type check struct {
	site     *survey.Site
	surf     *survey.Surface
	walls    *walls // of surf
	opt      Options
	outlets  [][]int // cells of each outlet
	fill     *fill.Result
	filledIn []float64
	hollow   []hollow
	pondOf   []int32 // hollow of each cell; -1 dry
	named    []int   // place of each hollow in Report.Ponds; -1: not reported
	unshot   []bool  // of each outlet: no shot stands near it
}

// Check says what water does on surf: ponds, paths, drainage areas, slope
// shares and verdicts. opt.InletIn has one inlet for each of s.Outlets (see
// Inlets). Parts that no outlet drains, the whole area where all are blocked,
// are closed in and hold water. A surface without roof cells, one with
// elevations that are no numbers, and a done ctx are errors. Cost: O(n log n)
// in cells, and cells of the window a path.
func Check(ctx context.Context, s *survey.Site, surf *survey.Surface, opt Options) (*Report, error) {
	c, r, err := prepared(s, surf, opt)
	if err == nil {
		err = c.follow(ctx, r)
	}
	if err != nil {
		return nil, fmt.Errorf("check drainage of area %s: %w", s.Name, err)
	}
	r.PondsFree, r.MeetsDesign = c.pondsFree(r), c.meetsDesign(r)
	c.judgeAreas(r)
	r.Findings = c.findings(r)
	r.MeetsDesign = withLowLines(r.MeetsDesign, r.Findings)
	return r, nil
}

// prepared fills the hollows and measures what stands in them.
func prepared(s *survey.Site, surf *survey.Surface, opt Options) (*check, *Report, error) {
	c, err := filled(s, surf, opt)
	if err != nil {
		return nil, nil, err
	}
	r := &Report{Surface: surf, FilledIn: c.filledIn, Conditional: c.conditional(),
		NarrowestFt: 2 * opt.SpacingFt, Window: opt.Window}
	for n, o := range s.Outlets {
		if c.unshot[n] {
			r.NoShotNear = append(r.NoShotNear, o.ID)
		}
	}
	c.walls = wallsOf(s, surf)
	c.measureAll(workers())
	r.Ponds, c.named = c.namePonds(c.hollow)
	c.shares(r)
	r.walls = c.walls
	r.water = &standing{c.grid(), c.seeds(), c.fill, len(s.Outlets), c.cellSqft()}
	return c, r, nil
}

// filled fills the hollows and finds them, measured or not.
func filled(s *survey.Site, surf *survey.Surface, opt Options) (*check, error) {
	if err := sound(s, surf, opt); err != nil {
		return nil, err
	}
	c := &check{site: s, surf: surf, opt: opt, outlets: OutletCells(s, surf)}
	c.unshot = c.unshotOutlets()
	c.fill = fill.Run(c.grid(), surf.ElevIn, c.seeds())
	c.fillUp()
	c.hollow, c.pondOf = c.hollows()
	return c, nil
}

func (c *check) grid() fill.Grid { return fill.Grid{NX: c.surf.NX, NY: c.surf.NY, Open: c.surf.Roof} }

// follow measures slopes and follows the water from the starts of paths and
// from every cell.
func (c *check) follow(ctx context.Context, r *Report) (err error) {
	if err := ctx.Err(); err != nil {
		return err
	}
	r.SlopePct, r.BelowMinimumPct, r.clearlyBelowPct = c.slopeShares()
	t := c.newTracer()
	var lines []valleyRun
	if r.Paths, lines, err = c.paths(ctx, t, workers()); err != nil {
		return err
	}
	r.Valleys = t.valleys(lines)
	if !c.opt.Unsurveyed {
		r.Backfalls, r.RunsInto = t.backfalls(), t.obstacles(r.Paths)
	}
	r.Areas, err = c.drainageAreas(ctx, t, workers())
	return err
}

// sound refuses what no reader of jobs lets through.
func sound(s *survey.Site, surf *survey.Surface, opt Options) error {
	if surf == nil || len(surf.Roof) != surf.Len() || len(surf.ElevIn) != surf.Len() {
		return errors.New("the surface does not have one elevation a cell")
	}
	if len(opt.InletIn) != len(s.Outlets) {
		return fmt.Errorf("%d inlets for %d outlets", len(opt.InletIn), len(s.Outlets))
	}
	roof := false
	for k, z := range surf.ElevIn {
		roof = roof || surf.Roof[k]
		if math.IsNaN(z) || math.IsInf(z, 0) {
			return fmt.Errorf("the elevation of cell %d is not a number", k)
		}
	}
	if !roof {
		return fmt.Errorf("no cell of %g ft lies on the roof", surf.CellFt)
	}
	return nil
}

// seeds are the cells of every outlet that lets water go, each at its inlet.
func (c *check) seeds() []fill.Seed {
	var seeds []fill.Seed
	for n, cells := range c.outlets {
		if !c.lets(n) {
			continue
		}
		for _, k := range cells {
			seeds = append(seeds, fill.Seed{
				Cell: k, Level: math.Max(c.surf.ElevIn[k], c.opt.InletIn[n]), Outlet: n,
			})
		}
	}
	return seeds
}

// lets says whether outlet n lets water go; one that is not tested does.
func (c *check) lets(n int) bool { return c.site.Outlets[n].State != survey.Blocked }

// conditional lists the outlets whose state makes the verdicts conditional.
func (c *check) conditional() []string {
	var ids []string
	for _, o := range c.site.Outlets {
		if o.State != survey.Works {
			ids = append(ids, o.ID)
		}
	}
	return ids
}

// shares measures the roof and how much of it cannot be told.
func (c *check) shares(r *Report) {
	cells, unknown, thin := 0, 0, 0
	for k, roof := range c.surf.Roof {
		if !roof {
			continue
		}
		cells++
		switch {
		case !c.surf.IsKnown(k):
			unknown++
		case c.opt.SigmaIn > 0 && c.surf.IsThin(k):
			thin++
		}
	}
	r.ThinPct = 100 * float64(thin) / float64(cells)
	r.RoofSqft = float64(cells) * c.cellSqft()
	r.UnknownPct = 100 * float64(unknown) / float64(cells)
}

// byChance is the share of paths that two standard errors leave wrong on a
// surface that is known so well.
const byChance = 0.05

// cellSqft is what a roof cell counts for. Cells at walls are covered in part,
// and all together the cells hold the roof, no more and no less. Where the site
// has no roof area of its own a cell counts whole.
func (c *check) cellSqft() float64 {
	cells := 0
	for _, roof := range c.surf.Roof {
		if roof {
			cells++
		}
	}
	if sqft := c.site.RoofArea().SquareFeet(); sqft > 0 {
		return sqft / float64(cells)
	}
	return c.surf.CellFt * c.surf.CellFt
}

// meetsDesign judges the paths together. On an exact surface one path that
// falls short is enough. On a surveyed one each is judged at two standard
// errors, which leaves one in twenty wrong by chance alone: it falls short
// where more than that clearly fall short, and is too close to call where more
// than that do not clearly meet, or where some do not and more than that of the
// roof slopes less than the field limit. Where no path tells anything, as on a
// level roof all under water, the share of the roof that is under the limit by two
// standard errors does.
func (c *check) meetsDesign(r *Report) Verdict {
	if c.opt.Unsurveyed {
		return Unknown
	}
	short, open, chance, told := c.tally(r.Paths)
	switch {
	case short > chance:
		return FallsShort
	case open > chance, open > 0 && r.BelowMinimumPct > 100*byChance:
		return TooClose
	case r.UnknownPct >= materialUnknownPct, len(r.NoShotNear) > 0:
		return Unknown
	case told == 0 && r.clearlyBelowPct > 100*byChance:
		return FallsShort
	case told == 0 && r.BelowMinimumPct > 100*byChance:
		return TooClose
	case told == 0:
		return Unknown
	}
	return Meets
}

// withLowLines brings the low lines between outlets into the verdict on slopes,
// where the rules judge them: no path runs along one that is level. Of gutters
// nothing is known, and nothing follows.
func withLowLines(v Verdict, findings []Finding) Verdict {
	for _, f := range findings {
		switch {
		case f.Rule != "gutter" || v == FallsShort || v == Unknown:
		case f.Verdict == FallsShort, f.Verdict == TooClose:
			v = f.Verdict
		}
	}
	return v
}

// LowLines are the low lines between outlets that fall short, by their ends.
func (r *Report) LowLines() (out []string) {
	for _, f := range r.Findings {
		if f.Rule == "gutter" && f.Verdict == FallsShort {
			out = append(out, f.Where)
		}
	}
	return out
}

// OnlyLowLines says whether nothing but low lines between outlets falls short of
// the slopes.
func (r *Report) OnlyLowLines() bool {
	for _, f := range r.Findings {
		if f.Verdict == FallsShort && (f.Rule == "field" || f.Rule == "valley" || f.Rule == "every path") {
			return false
		}
	}
	return len(r.LowLines()) > 0
}

// ShortValleys are the valleys that fall short, by name, where no field does; false
// where some does, or no valley. A valley of short stretches has no name.
func (r *Report) ShortValleys() (names []string, only bool) {
	for _, f := range r.Findings {
		if f.Verdict == FallsShort && (f.Rule == "field" || f.Rule == "every path") {
			return nil, false
		}
		only = only || f.Verdict == FallsShort && f.Rule == "valley"
	}
	for _, v := range r.Valleys {
		if only && v.Verdict == FallsShort {
			names = append(names, v.ID)
		}
	}
	return names, only
}

// judgeAreas judges the slope of each drainage area by the paths that end at its
// outlet, straight or over ponds.
func (c *check) judgeAreas(r *Report) {
	if c.opt.Unsurveyed {
		return
	}
	ending := map[string][]Path{}
	for _, p := range r.Paths {
		at := r.OutletOf(p.EndsAt)
		ending[at] = append(ending[at], p)
	}
	for n := range r.Areas {
		short, open, chance, told := c.tally(ending[r.Areas[n].Outlet])
		v := Meets
		switch {
		case told == 0 || c.unshot[n]:
			v = Unknown
		case short > chance:
			v = FallsShort
		case open > chance:
			v = TooClose
		}
		r.Areas[n].Slopes = v
	}
}

// tally counts the deciding paths that fall short, those that do or may, how
// many may by chance, and all that are told.
func (c *check) tally(paths []Path) (short, open, chance float64, told int) {
	count, told := c.deciding(paths)
	if c.opt.SigmaIn > 0 {
		chance = byChance * float64(told)
	}
	return float64(count[FallsShort]), float64(count[FallsShort] + count[TooClose]), chance, told
}

// deciding counts the verdicts of the paths that decide; told are those that
// say anything. Slopes of a surveyed surface are those over the window: a path
// shorter than that, most often one beside a drain, tells little at a doubt of
// its own length and does not decide, unless all that are told are shorter.
func (c *check) deciding(paths []Path) (count map[Verdict]int, told int) {
	count = map[Verdict]int{}
	all := c.decisive(paths)
	for _, p := range all {
		count[p.Verdict]++
	}
	return count, len(all)
}

// decisive are the paths that decide.
func (c *check) decisive(paths []Path) (out []Path) {
	leastFt := 0.0
	if c.opt.SigmaIn > 0 {
		leastFt = c.opt.Window.Feet() - 1e-9
	}
	for {
		for _, p := range paths {
			if p.LengthFt >= leastFt && p.Verdict != Unknown {
				out = append(out, p)
			}
		}
		if len(out) > 0 || leastFt == 0 {
			return out
		}
		leastFt = 0
	}
}

// pondsFree judges the ponds by the depth from which they are reported. Depths
// are known to two standard errors of the height between the deepest place and
// the one that the pond runs over at. A hollow too shallow to report, but not by
// more than that doubt, is too close to call; one shallower than a single
// standard error is noise. A part that is closed in holds water however it is
// shaped. Nothing is known of a pond that runs over at an outlet without a shot
// near it, nor, where there is none, of a roof whose shots are too thin or too
// far to show one.
func (c *check) pondsFree(r *Report) Verdict {
	if c.opt.Unsurveyed {
		return Unknown
	}
	close := false
	for n := range c.hollow {
		h := &c.hollow[n]
		if h.pond.SqFt < c.opt.Ponds.Area.SquareFeet() || c.overUnshot(h) {
			continue
		}
		switch c.holds(h) {
		case FallsShort:
			return FallsShort
		case TooClose:
			close = true
		case Meets, Unknown:
		}
	}
	switch {
	case close:
		return TooClose
	case r.UnknownPct+r.ThinPct >= materialUnknownPct, len(r.NoShotNear) > 0:
		return Unknown
	}
	return Meets
}

// holds judges one hollow that is large enough.
func (c *check) holds(h *hollow) Verdict {
	limitIn, sigmaIn, d := c.opt.Ponds.Depth.Inches(), c.doubtOf(h), h.pond.DepthIn
	switch {
	case h.pond.ClosedIn, d-2*sigmaIn >= limitIn:
		return FallsShort
	case h.report, d+2*sigmaIn >= limitIn && d >= sigmaIn && sigmaIn > 0:
		return TooClose
	}
	return Meets
}
