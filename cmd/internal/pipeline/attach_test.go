package pipeline

import (
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// A job that glues its boards gets none of the built-in stock over 4 ft a side, one that
// screws them and glues the cover, or the rest over the base, only below that (4 x 4 ft at most: trade notes).
func TestDesign_BoardsAsTheyAreHeld(t *testing.T) {
	job := zooJob(t, "rectangle")
	dressed(job)
	for _, c := range []struct {
		way               survey.Attach
		gluedCover        bool
		longBase, longTop bool
	}{{survey.Screws, false, true, true}, {survey.Screws, true, true, false}, {survey.BaseScrews, false, true, false}, {survey.Adhesive, false, false, false}} {
		job.Fastening = &survey.Fastening{Attach: c.way, GluedCover: c.gluedCover}
		a, err := designOf(job)
		if err != nil {
			t.Fatal(err)
		}
		base, top := false, false
		for _, b := range a.Design.Boards {
			long := b.Along > 4*unit.Foot
			base, top = base || long && b.Type == taper.BaseType, top || long && b.Type != taper.BaseType
		}
		if base != c.longBase || top != c.longTop {
			t.Errorf("%v, cover glued %v: boards over 4 ft in the base %v, above it %v; want %v, %v", c.way, c.gluedCover, base, top, c.longBase, c.longTop)
		}
	}
}
