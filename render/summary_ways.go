package render

import (
	"runnel/drainage"
	"runnel/survey/geom"
)

// summaryWays are the ways of the water on a surface: where it gathers, where
// it runs toward walls, what stands in its way.
type summaryWays struct {
	Valleys   []summaryValley   `json:"valleys,omitempty"`
	Backfalls []summaryBackfall `json:"backfalls,omitempty"`
	RunsInto  []summaryObstacle `json:"runs_into,omitempty"`
}

type summaryValley struct {
	ID      string     `json:"id"`
	Length  float64    `json:"length_ft"`
	Drop    float64    `json:"drop_in"`
	Mean    float64    `json:"mean_in_per_ft"`
	Least   float64    `json:"least_in_per_ft"`
	Verdict string     `json:"verdict"`
	EndsAt  string     `json:"ends_at,omitempty"`
	AtWall  bool       `json:"at_wall"`
	From    [2]float64 `json:"from_ft"` // job feet
	To      [2]float64 `json:"to_ft"`
}

type summaryBackfall struct {
	Edge   *int       `json:"edge,omitempty"`
	Court  *int       `json:"court,omitempty"`
	Length float64    `json:"length_ft"`
	Toward *float64   `json:"toward_wall_in_per_ft,omitempty"` // absent where water only stands
	Pond   string     `json:"pond,omitempty"`
	From   [2]float64 `json:"from_ft"`
	To     [2]float64 `json:"to_ft"`
}

type summaryObstacle struct {
	Curb    string   `json:"curb"`
	Width   float64  `json:"width_across_in"`
	Slope   float64  `json:"slope_in_per_ft"`
	Cricket bool     `json:"cricket_wanted"`
	Paths   []string `json:"paths,omitempty"`
	Pond    string   `json:"pond,omitempty"`
}

func waysOf(r *drainage.Report, f geom.Frame) summaryWays {
	var s summaryWays
	at := func(p geom.Pt) [2]float64 {
		q := f.ToJob(p)
		return [2]float64{figure(q.X), figure(q.Y)}
	}
	for _, v := range r.Valleys {
		s.Valleys = append(s.Valleys, summaryValley{
			v.ID, figure(v.LengthFt), figure(v.DropIn), figure(v.Mean.InchesPerFoot()), figure(v.Least.InchesPerFoot()),
			v.Verdict.String(), v.EndsAt, v.AtWall, at(v.Points[0]), at(v.Points[len(v.Points)-1]),
		})
	}
	for _, b := range r.Backfalls {
		one := summaryBackfall{Length: figure(b.LengthFt), Pond: b.Pond, From: at(b.A), To: at(b.B)}
		if b.Edge >= 0 {
			one.Edge = &b.Edge
		} else {
			one.Court = &b.Court
		}
		if b.Toward > 0 {
			one.Toward = some(b.Toward.InchesPerFoot())
		}
		s.Backfalls = append(s.Backfalls, one)
	}
	for _, o := range r.RunsInto {
		s.RunsInto = append(s.RunsInto, summaryObstacle{
			o.Curb, figure(o.Width.Inches()), figure(o.Slope.InchesPerFoot()), o.Cricket, o.Paths, o.Pond})
	}
	return s
}
