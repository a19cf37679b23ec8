package survey

import "runnel/survey/unit"

// SetUpRow is one set-up as sheets and reports list it.
type SetUpRow struct {
	SetUp
	Rod      string    // the convention of its rod, in words
	Shots    int       // read from it, on whatever surface, those left out included
	Closings []Closing // that were read from it
}

// SetUpRows lists the set-ups in the order of the work, each with the shots
// and the closings read from it. Closings of no listed set-up are not among
// them: see LooseClosings. Cost: linear in the shots.
func (j *Job) SetUpRows() []SetUpRow {
	rows := make([]SetUpRow, len(j.Survey.SetUps))
	for i, s := range j.Survey.SetUps {
		rows[i] = SetUpRow{SetUp: s, Rod: s.RodText()}
		for _, c := range j.Survey.Closings {
			if c.SetUp == s.ID {
				rows[i].Closings = append(rows[i].Closings, c)
			}
		}
	}
	for _, a := range j.Areas {
		for _, shots := range [][]Shot{a.Shots, a.DeckShots, a.AsBuilt} {
			for _, s := range shots {
				if s.SetUp > 0 && s.SetUp <= len(rows) {
					rows[s.SetUp-1].Shots++
				}
			}
		}
	}
	return rows
}

// LooseClosings lists the closings of no listed set-up, such as those of a
// line that the crew reduced by itself.
func (s Source) LooseClosings() []Closing {
	known := map[string]bool{}
	for _, u := range s.SetUps {
		known[u.ID] = true
	}
	var out []Closing
	for _, c := range s.Closings {
		if !known[c.SetUp] {
			out = append(out, c)
		}
	}
	return out
}

// RodText says which way the rod of s reads.
func (s SetUp) RodText() string {
	if s.Direct {
		return "direct: a bigger reading is a higher place"
	}
	return "ordinary: a bigger reading is a lower place"
}

// Elevation is what a reading means: HI less the rod, or with a direct rod
// zero and the rod, and the share of a misclosure that the set-up takes.
func (s SetUp) Elevation(rod unit.Length) unit.Length {
	if s.Direct {
		return s.HI + rod + s.Shift
	}
	return s.HI - rod + s.Shift
}
