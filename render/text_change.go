package render

import (
	"fmt"

	"runnel/drainage"
	"runnel/taper"
)

// pondChanges is what a design makes of the ponds of the existing surface; nil
// without a survey or a design.
func pondChanges(a *AreaResult) []taper.PondChange {
	if a.Fit == nil || a.Existing == nil || a.Proof == nil || a.Proof.Report == nil {
		return nil
	}
	return taper.ComparePonds(a.Existing, a.Proof.Report)
}

// pondChanges tells them.
func (t *telling) pondChanges(a *AreaResult) {
	for _, c := range pondChanges(a) {
		if c.Fate == taper.NewPond {
			t.fact("New pond "+c.After.ID, t.pondSize(c.After)+t.fills(c))
			continue
		}
		words := t.pondSize(c.Before) + ": " + c.Fate.String()
		if c.After != nil {
			words += fmt.Sprintf(", now %s, %s%s", c.After.ID, t.pondSize(c.After), t.fills(c))
		}
		t.fact("Old pond "+c.Before.ID, words)
	}
}

func (t *telling) pondSize(p *drainage.Pond) string {
	return fmt.Sprintf("%s deep over %s, %s", t.depth(*p), t.say.area(p.SqFt), t.water(p.CuFt))
}

func (t *telling) fills(c taper.PondChange) string {
	return "; to fill it takes " + t.solid(c.FillCuFt*12) + " or more"
}

type summaryPondChange struct {
	Before string  `json:"before,omitempty"` // pond of existing; absent: new
	After  string  `json:"after,omitempty"`  // pond of finished; absent: gone
	Fate   string  `json:"fate"`             // gone, smaller, same, deeper, new
	Fill   float64 `json:"fill_cuft,omitempty"`
}

func pondChangesOf(a *AreaResult) []summaryPondChange {
	var out []summaryPondChange
	for _, c := range pondChanges(a) {
		s := summaryPondChange{Fate: c.Fate.String(), Fill: figure(c.FillCuFt)}
		if c.Before != nil {
			s.Before = c.Before.ID
		}
		if c.After != nil {
			s.After = c.After.ID
		}
		out = append(out, s)
	}
	return out
}
