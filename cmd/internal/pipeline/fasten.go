package pipeline

import (
	"fmt"

	"runnel/render"
	"runnel/taper"
)

// fasten counts what holds the boards of the chosen design, where the job states how.
func (w work) fasten(a *render.AreaResult) error {
	if a.Design == nil || w.job.Fastening == nil {
		return nil
	}
	var err error
	a.Fastening, err = taper.FasteningOf(taper.FastenIn{Site: a.Site, Design: a.Design, Choice: *w.job.Fastening})
	if err != nil {
		return fmt.Errorf("count what holds the boards of area %s: %w", a.Area.Name, err)
	}
	return nil
}
