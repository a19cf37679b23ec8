package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// reachFt is H of a cricket: how far its highest place lies from the farther of
// the ways out at its ends.
func reachFt(c taper.Cricket) float64 { return math.Max(c.A.Dist(c.Apex), c.B.Dist(c.Apex)) }

// sump is a sump of a design: the facets that fall to one drain.
type sump struct {
	outlet          string
	board           unit.Slope // steepest of its boards
	sqft            float64
	outletIn, rimIn float64 // thickness: least, greatest
	facets          []taper.Facet
}

// sumpsOf gathers the sumps of a design by the outlet nearest to each facet, in
// the order of the outlets.
func sumpsOf(site *survey.Site, d *taper.Design) []sump {
	at := map[string]int{}
	var out []sump
	for _, f := range d.Facets {
		o, ok := nearestOutlet(site, f)
		if f.Role != taper.SumpRole || !ok {
			continue
		}
		k, met := at[o.ID]
		if !met {
			k = len(out)
			at[o.ID] = k
			out = append(out, sump{outlet: o.ID, outletIn: math.Inf(1), rimIn: math.Inf(-1)})
		}
		s := &out[k]
		s.board, s.sqft, s.facets = max(s.board, f.Plane.Slope()), s.sqft+f.Poly.Area(), append(s.facets, f)
		for _, p := range f.Poly.Outer {
			t := f.Plane.At(p)
			s.outletIn, s.rimIn = math.Min(s.outletIn, t), math.Max(s.rimIn, t)
		}
	}
	order := func(id string) int {
		return slices.IndexFunc(site.Outlets, func(o survey.SiteOutlet) bool { return o.ID == id })
	}
	slices.SortStableFunc(out, func(a, b sump) int { return cmp.Compare(order(a.outlet), order(b.outlet)) })
	return out
}

// nearestOutlet is the primary drain or scupper nearest to a facet.
func nearestOutlet(site *survey.Site, f taper.Facet) (survey.SiteOutlet, bool) {
	best, at := math.Inf(1), -1
	for n, o := range site.Outlets {
		if o.Overflow || o.Kind != survey.Drain && o.Kind != survey.Scupper {
			continue
		}
		d := f.Poly.Dist(o.P)
		if f.Poly.Has(o.P) {
			d = 0
		}
		if d < best-1e-6 {
			best, at = d, n
		}
	}
	if at < 0 {
		return survey.SiteOutlet{}, false
	}
	return site.Outlets[at], true
}

type summaryCricket struct {
	ID        string  `json:"id"` // as on the sheet and in plan.geojson
	Name      string  `json:"name"`
	Kind      string  `json:"kind"`
	H         float64 `json:"h_ft"`
	W         float64 `json:"w_ft"`
	Board     float64 `json:"board_in_per_ft"`
	Valley    float64 `json:"valley_in_per_ft"`
	Top       float64 `json:"top_in_per_ft"` // flattest finished top
	Peak      float64 `json:"peak_in"`
	Area      float64 `json:"area_sqft"`
	BoardFeet float64 `json:"board_feet"`
}

func cricketsOf(d *taper.Design) []summaryCricket {
	var out []summaryCricket
	for _, c := range d.Crickets {
		out = append(out, summaryCricket{cricketTag(c.ID), c.Name, c.Kind.String(), figure(reachFt(c)), figure(c.W.Feet()),
			figure(c.Board.InchesPerFoot()), figure(c.Valley.InchesPerFoot()), figure(c.Top.InchesPerFoot()),
			figure(c.Peak.Inches()), figure(c.Sqft), figure(unit.CubicFeet(c.CuFt).BoardFeet())})
	}
	return out
}

type summarySump struct {
	Outlet string  `json:"outlet"`
	Board  float64 `json:"board_in_per_ft"`
	Area   float64 `json:"area_sqft"`
	Lowest float64 `json:"outlet_in"` // thickness at the outlet
	Rim    float64 `json:"rim_in"`    // the greatest at the rim
}

func summarySumpsOf(site *survey.Site, d *taper.Design) []summarySump {
	var out []summarySump
	for _, s := range sumpsOf(site, d) {
		out = append(out, summarySump{s.outlet, figure(s.board.InchesPerFoot()), figure(s.sqft), figure(s.outletIn), figure(s.rimIn)})
	}
	return out
}

// overField tells what lies over and in the field: crickets, sumps and low lines.
func (t *telling) overField(a *AreaResult) {
	t.crickets(a.Design)
	t.sumps(sumpsOf(a.Site, a.Design))
	t.lowLines(a.Design)
}

func (t *telling) crickets(d *taper.Design) {
	if len(d.Crickets) == 0 {
		return
	}
	t.heading(t.told("Crickets (H along the line to the highest place, W out from it; valley and top at their flattest)"))
	var rows []table.Row
	sqft, cuft := 0.0, 0.0
	for _, c := range d.Crickets {
		rows = append(rows, table.Row{cricketTag(c.ID), c.Name, c.Kind.String(), t.run(reachFt(c)), t.run(c.W.Feet()), t.slope(c.Board),
			t.slope(c.Valley), t.slope(c.Top), t.inches(c.Peak.Inches())})
		sqft, cuft = sqft+c.Sqft, cuft+c.CuFt
	}
	t.table(table.Row{"", "cricket", "kind", "H", "W", "boards", "valley", "top", "peak"}, rows, nil, 4, 5, 6, 7, 8, 9)
	t.fact("They add", fmt.Sprintf("%s over %s of the field, which lies under them undisturbed.", t.solid(cuft*12), t.say.area(sqft)))
}

func (t *telling) sumps(all []sump) {
	if len(all) == 0 {
		return
	}
	t.heading("Sumps")
	var rows []table.Row
	for _, s := range all {
		rows = append(rows, table.Row{s.outlet, t.slope(s.board), t.say.area(s.sqft), t.inches(s.outletIn), t.inches(s.rimIn)})
	}
	t.table(table.Row{"at", "boards", "area", "at the outlet", "at the rim, most"}, rows, nil, 2, 3, 4, 5)
}

// lowLines tells the level lines that the field falls to.
func (t *telling) lowLines(d *taper.Design) {
	if len(d.LowLines) == 0 {
		return
	}
	t.heading("Low lines (level along themselves; crickets turn their water to the outlets)")
	for _, l := range d.LowLines {
		var ids []string
		for _, id := range l.Outlet {
			if id != "" {
				ids = append(ids, id)
			}
		}
		where := "in the open"
		if l.Wall {
			where = "along a wall"
		}
		t.fact("Through", fmt.Sprintf("%s, %s, %s: %s", strings.Join(ids, ", "), where, t.run(lengthOf(l.At)), t.fallsTo(l)))
	}
}

// fallsTo says how the field falls to a low line.
func (t *telling) fallsTo(l taper.LowLine) string {
	switch {
	case l.Left > 0 && l.Right > 0 && math.Abs(l.Left.InchesPerFoot()-l.Right.InchesPerFoot()) < 1e-9:
		return "the field falls to it at " + t.slope(l.Left) + " from both sides."
	case l.Left > 0 && l.Right > 0:
		return fmt.Sprintf("the field falls to it at %s from one side and %s from the other.",
			t.slope(min(l.Left, l.Right)), t.slope(max(l.Left, l.Right)))
	}
	return "the field falls to it at " + t.slope(max(l.Left, l.Right)) + " from one side."
}

func lengthOf(pts []geom.Pt) float64 {
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += pts[i-1].Dist(pts[i])
	}
	return sum
}
