package render

import "runnel/taper"

// summaryChange is what deck shots changed.
type summaryChange struct {
	Shots           int           `json:"deck_shots"`
	Most            *float64      `json:"greatest_difference_in,omitempty"` // shot less inferred
	At              *[2]float64   `json:"at_ft,omitempty"`                  // job feet
	NoBefore        string        `json:"no_design_before,omitempty"`       // why not
	BoardsBefore    int           `json:"boards_before"`                    // to order
	BoardsAfter     int           `json:"boards_after"`
	BoardFeetBefore float64       `json:"board_feet_before"`
	BoardFeetAfter  float64       `json:"board_feet_after"`
	Marks           []summaryMark `json:"marks"`
}

type summaryMark struct {
	Type   string     `json:"type"`
	Mark   string     `json:"mark"`
	Stock  [2]float64 `json:"stock_ft"`
	Before int        `json:"before"`
	After  int        `json:"after"`
}

func changeOf(a *AreaResult) *summaryChange {
	c := a.Change
	if c == nil {
		return nil
	}
	s := &summaryChange{
		Shots: c.Shots, NoBefore: c.NoBefore, BoardsBefore: c.Before.ToOrder, BoardsAfter: c.After.ToOrder,
		BoardFeetBefore: figure(c.Before.SolidBoardFeet), BoardFeetAfter: figure(c.After.SolidBoardFeet), Marks: []summaryMark{},
	}
	if c.Compared {
		at := a.Site.Frame.ToJob(c.At)
		s.Most, s.At = some(c.Most.Inches()), &[2]float64{figure(at.X), figure(at.Y)}
	}
	for _, m := range c.Marks {
		s.Marks = append(s.Marks, summaryMark{m.Type.String(), m.Mark, [2]float64{sizeFt(m.Along), sizeFt(m.Depth)}, m.Before, m.After})
	}
	return s
}

// summaryHeight is what the design leaves of a stated height.
type summaryHeight struct {
	Item    string      `json:"item"`
	Height  float64     `json:"height_in"`
	Above   string      `json:"above"`
	Wanted  float64     `json:"wanted_in"`
	Verdict string      `json:"verdict"`
	Left    *float64    `json:"left_in,omitempty"` // the least, where it is known
	New     *float64    `json:"new_in,omitempty"`  // new insulation and cover there
	Sigma   *float64    `json:"sigma_in,omitempty"`
	At      *[2]float64 `json:"at_ft,omitempty"` // job feet
	ToldPct float64     `json:"told_pct"`        // of its length
	Why     string      `json:"why,omitempty"`   // it is not known elsewhere
	Mend    string      `json:"mend,omitempty"`  // what would leave more
}

func heightsOf(a *AreaResult) []summaryHeight {
	var out []summaryHeight
	for _, h := range a.Heights {
		out = append(out, heightOf(a, h))
	}
	return out
}

func heightOf(a *AreaResult, h taper.HeightLeft) summaryHeight {
	s := summaryHeight{Item: h.Item, Height: figure(h.Stated.Value.Inches()), Above: h.Stated.Above.String(),
		Wanted: figure(h.Wanted.Inches()), Verdict: h.Verdict.String(), ToldPct: figure(h.ToldPct), Why: h.Why, Mend: h.Mend}
	if h.ToldPct > 0 {
		at := a.Site.Frame.ToJob(h.At)
		s.Left, s.New, s.Sigma = some(h.Left.Inches()), some(h.New.Inches()), some(h.Sigma.Inches())
		s.At = &[2]float64{figure(at.X), figure(at.Y)}
	}
	return s
}
