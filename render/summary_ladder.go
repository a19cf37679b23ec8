package render

// summaryStep is a rung of the ladder as tested. Figures that were not worked
// out are left out.
type summaryStep struct {
	Rung     string         `json:"rung"`
	Outcome  string         `json:"outcome"` // kept, refused, open (the survey cannot tell), not-tested
	Do       string         `json:"do,omitempty"`
	Why      string         `json:"why"`
	Ponds    *int           `json:"ponds_left,omitempty"`
	PondSqft *float64       `json:"pond_area_left_sqft,omitempty"`
	Depth    *float64       `json:"max_depth_left_in,omitempty"`
	Below    *float64       `json:"below_minimum_pct,omitempty"`
	FillCuft *float64       `json:"fill_cuft,omitempty"`
	FillSqft *float64       `json:"fill_sqft,omitempty"`
	Boards   *int           `json:"boards,omitempty"`
	Places   []summaryPlace `json:"places,omitempty"`
}

// summaryPlace is one thing done at one place, in job coordinates.
type summaryPlace struct {
	Rung   string   `json:"rung"`
	X      float64  `json:"x_ft"`
	Y      float64  `json:"y_ft"`
	Words  string   `json:"words"`
	Clears []string `json:"clears,omitempty"`
}

func ladderOf(a *AreaResult) []summaryStep {
	var out []summaryStep
	for _, s := range a.Ladder {
		line := summaryStep{Rung: s.Rung.String(), Outcome: s.Outcome.String(), Do: s.Do, Why: s.Why}
		if l := s.Left; l != nil {
			line.Ponds, line.PondSqft, line.Depth, line.Below = &l.Ponds, some(l.PondSqFt), some(l.DepthIn), some(l.BelowMinimumPct)
		}
		if s.FillCuFt > 0 {
			line.FillCuft, line.FillSqft = some(s.FillCuFt), some(s.FillSqFt)
		}
		if s.Boards > 0 {
			line.Boards = &s.Boards
		}
		for _, p := range s.Places {
			at := a.Site.Frame.ToJob(p.At)
			line.Places = append(line.Places, summaryPlace{p.Rung.String(), figure(at.X), figure(at.Y), p.Words, p.Clears})
		}
		out = append(out, line)
	}
	return out
}
