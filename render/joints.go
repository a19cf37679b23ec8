package render

import (
	"fmt"
	"strings"

	"runnel/taper"
)

// summaryJoints is what a layout keeps between joints and what it cannot.
type summaryJoints struct {
	BaseAlong  float64         `json:"base_offset_along_in,omitempty"`
	BaseDepth  float64         `json:"base_offset_depth_in,omitempty"`
	Offset     float64         `json:"cover_offset_in,omitempty"`
	CoverClose *int            `json:"cover_joints_closer,omitempty"`
	Sliver     float64         `json:"sliver_in"`
	Slivers    []summarySliver `json:"slivers,omitempty"`
}

// summarySliver is a piece that is less than the sliver allowed, along its row or up
// the slope.
type summarySliver struct {
	Piece string  `json:"piece"`
	Layer int     `json:"layer"`
	Type  string  `json:"type"`
	Mark  string  `json:"mark"`
	X     float64 `json:"x_ft"`
	Y     float64 `json:"y_ft"`
	W     float64 `json:"w_in"`
	D     float64 `json:"d_in"`
}

func jointsOf(a *AreaResult) *summaryJoints {
	d := a.Design
	if d.Sliver <= 0 {
		return nil
	}
	j := taper.JointsOf(d)
	out := &summaryJoints{BaseAlong: figure(j.BaseAlong.Inches()), BaseDepth: figure(j.BaseDepth.Inches()), Sliver: figure(d.Sliver.Inches())}
	if j.HasCover {
		out.Offset, out.CoverClose = figure(j.Offset.Inches()), &j.Cover
	}
	for _, s := range j.Slivers {
		at := a.Site.Frame.ToJob(s.At)
		out.Slivers = append(out.Slivers, summarySliver{s.Piece, s.Layer, s.Type.String(), s.Mark, figure(at.X), figure(at.Y),
			figure(s.W.Inches()), figure(s.D.Inches())})
	}
	return out
}

// sliversTold is how many slivers the report names; summary.json has all.
const sliversTold = 6

// joints tells how joints of the layers lie to one another and which pieces are slivers.
func (t *telling) joints(a *AreaResult) {
	d := a.Design
	if d.Sliver <= 0 {
		return
	}
	j := taper.JointsOf(d)
	var words []string
	if j.BaseAlong > 0 {
		words = append(words, fmt.Sprintf("Base layers lie %s along their rows and %s up the slope off one another.", t.say.wide(j.BaseAlong), t.say.wide(j.BaseDepth)))
	}
	if j.HasCover {
		but := ""
		if j.Cover > 0 {
			but = fmt.Sprintf(", but for %s that cannot", count(j.Cover, "joint"))
		}
		words = append(words, fmt.Sprintf("Cover keeps %s off the joints below%s; it ends where the number of layers changes.", t.say.wide(j.Offset), but))
	}
	words = append(words, "All but the base is cut at creases.")
	t.fact("Joints", strings.Join(words, " "))
	if len(j.Slivers) == 0 {
		t.fact("Slivers", fmt.Sprintf("no piece is under %s.", t.say.wide(d.Sliver)))
		return
	}
	var named []string
	for _, s := range j.Slivers[:min(sliversTold, len(j.Slivers))] {
		at := a.Site.Frame.ToJob(s.At)
		named = append(named, fmt.Sprintf("%s (%s, %s x %s, at x %s, y %s)", s.Piece, s.Mark, t.inches(s.W.Inches()), t.inches(s.D.Inches()), t.place(at.X), t.place(at.Y)))
	}
	more := ""
	if n := len(j.Slivers) - len(named); n > 0 {
		more = fmt.Sprintf(", and %d more in summary.json", n)
	}
	pieces := count(len(j.Slivers), "piece") + " is"
	if len(j.Slivers) > 1 {
		pieces = count(len(j.Slivers), "piece") + " are"
	}
	t.fact("Slivers", fmt.Sprintf("%s under %s along the row or up the slope, which no shift of joints avoids: %s%s.", pieces, t.say.wide(d.Sliver), strings.Join(named, "; "), more))
}
