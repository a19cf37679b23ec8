package render

import (
	"io"
	"strconv"

	"runnel/drainage"
	"runnel/taper"
)

// summaryAsBuilt is the surface as laid against the design. Ponds, how much
// cannot be told and ponds_after are absent where the shots describe no surface.
type summaryAsBuilt struct {
	Shots    int             `json:"shots"`
	NoDesign []string        `json:"no_design,omitempty"` // shots where no board is designed
	Shift    float64         `json:"shift_in"`            // that all shots share, taken off
	Place    float64         `json:"place_tolerance_in"`
	Run      float64         `json:"run_tolerance_in"`
	Short    int             `json:"falls_short"` // shots out of the tolerance at a place
	Close    int             `json:"too_close"`
	Worst    float64         `json:"most_off_in"` // more than 0: high
	Runs     []summaryRun    `json:"runs,omitempty"`
	Free     string          `json:"ponds_free"`
	Ponds    *int            `json:"ponds,omitempty"`
	PondList []summaryStands `json:"pond_list,omitempty"`
	Unknown  *float64        `json:"unknown_pct,omitempty"`
	Mends    []summaryMend   `json:"mends,omitempty"`
	After    *int            `json:"ponds_after,omitempty"` // all mends made
	Why      string          `json:"why_unknown,omitempty"`
}

// summaryLaidOn is a row of the layout; absent off the tapered rows.
type summaryLaidOn struct {
	Facet int    `json:"facet,omitempty"`
	Row   int    `json:"row,omitempty"`
	Mark  string `json:"mark,omitempty"`
}

type summaryRun struct {
	Low     string  `json:"low_shot"`
	High    string  `json:"high_shot"`
	Apart   float64 `json:"apart_in"`
	Verdict string  `json:"verdict"`
}

type summaryStands struct {
	ID       string   `json:"id"`
	X        float64  `json:"x_ft"`
	Y        float64  `json:"y_ft"`
	Depth    float64  `json:"depth_in"`
	Area     float64  `json:"area_sqft"`
	ByDesign *float64 `json:"by_design_in,omitempty"`
	summaryLaidOn
}

type summaryMend struct {
	Work   string   `json:"work"` // fill or take-off
	X      float64  `json:"x_ft"`
	Y      float64  `json:"y_ft"`
	Most   float64  `json:"most_in"`
	Area   *float64 `json:"area_sqft,omitempty"` // absent: one reading shows it, read it again
	Volume *float64 `json:"volume_cuft,omitempty"`
	Shots  []string `json:"shots,omitempty"`
	Ponds  []string `json:"ponds,omitempty"`
	summaryLaidOn
}

func asBuiltOf(a *AreaResult) *summaryAsBuilt {
	b := a.AsBuilt
	if b == nil {
		return nil
	}
	s := &summaryAsBuilt{Shots: len(b.Shots), NoDesign: b.NoDesign, Shift: figure(b.ShiftIn), Place: figure(b.Place.Inches()),
		Run: figure(b.Run.Inches()), Free: drainage.Unknown.String(), Why: b.Untold}
	for _, sh := range b.Shots {
		switch sh.Verdict {
		case drainage.FallsShort:
			s.Short++
		case drainage.TooClose:
			s.Close++
		case drainage.Meets, drainage.Unknown:
		}
		if off := figure(sh.OffIn); off*off > s.Worst*s.Worst {
			s.Worst = off
		}
	}
	for _, r := range b.Runs {
		s.Runs = append(s.Runs, summaryRun{b.Shots[r.A].ID, b.Shots[r.B].ID, figure(r.ApartIn), r.Verdict.String()})
	}
	if b.Report == nil {
		return s
	}
	n := len(b.Ponds)
	s.Free, s.Ponds, s.Unknown = b.Free.String(), &n, some(b.Report.UnknownPct)
	for _, p := range b.Ponds {
		at := a.Site.Frame.ToJob(p.Deepest)
		out := summaryStands{ID: p.ID, X: figure(at.X), Y: figure(at.Y), Depth: figure(p.DepthIn), Area: figure(p.SqFt),
			summaryLaidOn: summaryLaidOn(p.On)}
		if p.ByDesign > 0 {
			out.ByDesign = some(p.ByDesign)
		}
		s.PondList = append(s.PondList, out)
	}
	for _, m := range b.Mends {
		s.Mends = append(s.Mends, mendOf(a, m))
	}
	if b.Mended {
		left := len(b.Stay)
		s.After = &left
	}
	return s
}

func mendOf(a *AreaResult, m taper.Mend) summaryMend {
	at := a.Site.Frame.ToJob(m.At)
	out := summaryMend{Work: "fill", X: figure(at.X), Y: figure(at.Y), Most: figure(m.MostIn), Shots: m.Shots, Ponds: m.Ponds,
		summaryLaidOn: summaryLaidOn(m.On)}
	if m.High {
		out.Work = "take-off"
	}
	if !m.Lone {
		out.Area, out.Volume = some(m.Sqft), some(m.CuFt)
	}
	return out
}

// WriteAsBuiltCSV writes one line for each shot on the surface as laid that the
// design is held against: elevations above job elevation zero; off_in is laid less
// designed without shift_in, which all shots share, more than 0 is high. facet, row
// and mark are empty off the tapered rows.
func WriteAsBuiltCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "shot", "x_ft", "y_ft", "laid_ft", "designed_ft", "shift_in", "off_in", "verdict", "facet", "row", "mark"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.AsBuilt == nil {
			continue
		}
		for _, sh := range a.AsBuilt.Shots {
			at := a.Site.Frame.ToJob(sh.P)
			facet, row := "", ""
			if sh.On.Row > 0 {
				facet, row = strconv.Itoa(sh.On.Facet), strconv.Itoa(sh.On.Row)
			}
			rows = append(rows, []string{a.Area.Name, sh.ID, decimal(at.X), decimal(at.Y), decimal(sh.LaidIn / 12),
				decimal(sh.DesignIn / 12), decimal(a.AsBuilt.ShiftIn), decimal(sh.OffIn), sh.Verdict.String(), facet, row, sh.On.Mark})
		}
	}
	return writeRows(w, rows)
}
