package render

import "runnel/taper"

// summaryLaid is what lies on the roof, of which boards are the rest.
type summaryLaid struct {
	Rows      int             `json:"rows"`
	Pieces    int             `json:"pieces"`
	Area      float64         `json:"area_sqft"` // of all layers
	BoardFeet float64         `json:"board_feet"`
	Whole     summaryWhole    `json:"whole"`
	Joints    *float64        `json:"joints_sqft,omitempty"` // beside the rows, too narrow for a board
	OnHand    []summaryOnHand `json:"on_hand,omitempty"`
	Differs   []summaryDiffer `json:"differs,omitempty"`
}

// summaryWhole is the roof by this design, as if nothing were down.
type summaryWhole struct {
	Pieces    int     `json:"pieces"`
	BoardFeet float64 `json:"board_feet"`
}

type summaryOnHand struct {
	Mark   string `json:"mark"`
	Boards int    `json:"boards"`
	Used   int    `json:"used"`
	Over   int    `json:"left_over"`
}

// summaryDiffer is a row that is not what the design has in its place.
type summaryDiffer struct {
	Line     int      `json:"line"` // of the list
	Row      string   `json:"row"`
	Layer    int      `json:"layer"`
	Mark     string   `json:"mark"`
	Designed []string `json:"designed"` // marks; empty: nothing in that layer
	Least    float64  `json:"least_thicker_in"`
	Most     float64  `json:"most_thicker_in"`
	TopLeast float64  `json:"least_higher_in"` // the finished top, than designed
	TopMost  float64  `json:"most_higher_in"`
	Step     float64  `json:"step_in"`
	Ponds    []string `json:"ponds,omitempty"`
}

func laidOf(d *taper.Design) *summaryLaid {
	l := d.Laid
	if l == nil {
		return nil
	}
	s := &summaryLaid{Rows: len(l.Rows), Pieces: l.Pieces(), Area: figure(laidSqft(l)), BoardFeet: figure(l.BoardFeet),
		Whole: summaryWhole{l.Whole.Totals.Pieces, figure(l.Whole.Totals.BoardFeet)}}
	if l.JointSqft > 0 {
		s.Joints = some(l.JointSqft)
	}
	for _, h := range l.OnHand {
		s.OnHand = append(s.OnHand, summaryOnHand{h.Mark, h.Boards, h.Used, h.Over})
	}
	for _, r := range l.Rows {
		if f := r.Differs; f != nil {
			s.Differs = append(s.Differs, summaryDiffer{Line: r.Line, Row: r.Name(), Layer: r.Layer, Mark: r.Mark,
				Designed: append([]string{}, f.Has...), Least: figure(f.LeastIn), Most: figure(f.MostIn),
				TopLeast: figure(f.TopLeastIn), TopMost: figure(f.TopMostIn), Step: figure(f.StepIn), Ponds: f.Ponds})
		}
	}
	return s
}
