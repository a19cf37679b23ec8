package render

import (
	"cmp"
	"fmt"

	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// foreman tells the crew where to start, in how many days the roof is laid, and
// which evening's edge would hold most water.
func (t *telling) foreman(a *AreaResult, job *survey.Job) {
	f := a.Foreman
	if f == nil {
		return
	}
	t.heading("For the foreman")
	if r := firstRow(f); r != nil {
		t.fact("Start", fmt.Sprintf("the lowest row of facet %d, %s, begins %s. Its thick edge looks %s.", r.Facet, r.Mark,
			t.tapes(taper.TapeFrom(a.Site, r.Start)), compassWord(a.Site.Frame.DirToJob(r.Uphill), job.NorthDeg)))
	}
	files := "rows.csv (row by row), setout.csv (places with the reading to expect), staging.csv, tally.csv"
	if hi, ok := rodHeight(job); ok && a.Fit != nil {
		words := "expected on a rod for an instrument at " + t.level(hi) + "."
		if n := placesOver(a, hi); n > 0 {
			words += fmt.Sprintf(" %d of %d places lie above it and have none: foreman.hi is the elevation of the instrument in the survey's datum, not its height over the roof.",
				n, len(a.Foreman.Places))
		}
		t.fact("Readings", words)
	}
	if len(f.Days) > 0 {
		files += ", days.csv"
		t.fact("Days", fmt.Sprintf("%s, with up to %s opened and covered in each.", count(len(f.Days), "day"),
			t.say.area(job.Foreman.Rate.SquareFeet())))
		if n := splitRows(f); n > 0 {
			t.fact("Split rows", fmt.Sprintf("%s over several days, each evening up to a joint: rows.csv and days.csv tell the board.",
				count(n, "row")))
		}
		t.nightEdge(f.Days)
	}
	t.offcuts(f, job)
	t.fact("Tables", files)
}

// splitRows counts the tapered rows that take several days.
func splitRows(f *taper.Foreman) int {
	n := 0
	for _, r := range f.Rows {
		if r.Tapered && len(r.Parts) > 0 {
			n++
		}
	}
	return n
}

// offcuts tells where and when the offcuts that the order counts on are used.
func (t *telling) offcuts(f *taper.Foreman, job *survey.Job) {
	reach := t.run(taper.CutOptions{}.ReachFt())
	switch {
	case job.Taper != nil && job.Taper.TightCut:
		t.fact("Offcuts", "are used over the whole roof and on any day, as cuts.csv says: keep them dry and sorted by mark.")
	case len(f.Days) > 0:
		t.fact("Offcuts", fmt.Sprintf("are used within %s of where their board was opened, on the same day.", reach))
	default:
		t.fact("Offcuts", fmt.Sprintf("are used within %s of where their board was opened. The job states no rate of the crew, so no night limits them.", reach))
	}
}

// nightEdge tells of the evening that would hold the deepest water.
func (t *telling) nightEdge(days []taper.Day) {
	var worst *taper.Day
	for i := range days {
		if p := days[i].Pond; p != nil && (worst == nil || p.DepthIn > worst.Pond.DepthIn) {
			worst = &days[i]
		}
	}
	switch {
	case worst == nil:
		t.fact("Night edges", "What they would hold is unknown: the old roof was not surveyed.")
	case worst.Pond.DepthIn == 0:
		t.fact("Night edges", "Rain of a night runs off at every one of them.")
	default:
		p := worst.Pond
		t.fact("Night edges", fmt.Sprintf("Rain of a night would stand behind them, deepest after day %d: %s, %s, %s, %s where it is "+
			"deepest. Keep the old drains open, or end the day at a ridge.", worst.No, t.inches(p.DepthIn), t.water(p.CuFt), t.weight(p.Lb()),
			unit.PoundsPerSquareFoot(p.Psf()).Format(t.sys)))
	}
}

// firstRow is the tapered row to begin with: of those of the first day, or of all, the
// first of its plane, the lowest of these. A cricket may end higher over a first row than
// over a second.
func firstRow(f *taper.Foreman) *taper.CrewRow {
	var first *taper.CrewRow
	for i := range f.Rows {
		r := &f.Rows[i]
		if r.Type != taper.TaperedType {
			continue
		}
		if first == nil || cmp.Or(r.Day-first.Day, r.Row-first.Row) < 0 ||
			r.Day == first.Day && r.Row == first.Row && r.StartIn < first.StartIn-1e-6 {
			first = r
		}
	}
	return first
}

// tapes says where a place lies from two walls.
func (t *telling) tapes(tape []taper.Tape) string {
	switch len(tape) {
	case 0:
		return "where no tape from a wall tells"
	case 1:
		return fmt.Sprintf("%s from edge %d", t.run(tape[0].Ft), tape[0].Edge)
	}
	return fmt.Sprintf("%s from edge %d and %s from edge %d", t.run(tape[0].Ft), tape[0].Edge, t.run(tape[1].Ft), tape[1].Edge)
}

// placesOver is how many of the places to set out lie above the instrument.
func placesOver(a *AreaResult, hi unit.Length) (n int) {
	for _, p := range a.Foreman.Places {
		if unit.Inches(p.ElevIn) >= hi {
			n++
		}
	}
	return n
}
