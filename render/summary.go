package render

import (
	"encoding/json"
	"fmt"
	"io"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// WriteSummary writes the figures of the report as JSON, indented, keys in a
// fixed order, units in the keys, figures to nine digits. A part that was not
// made has no key: no survey without shots, no finished surface, boards or
// insulation without a design. Where the deck was assumed, existing has its
// verdicts and nothing that would have to be measured, and the key assumption
// says so.
func WriteSummary(w io.Writer, r *Result) error {
	s := summary{
		Job: r.Job.Name, Units: r.Job.Units.String(), Scope: r.Job.Scope.String(), Rules: rulesOf(r.Rules),
		Cautions: cautions(r.Job.Units),
	}
	for i := range r.Areas {
		s.Areas = append(s.Areas, areaOf(r.Job, &r.Areas[i]))
	}
	for _, n := range r.Job.Notes {
		s.Notes = append(s.Notes, n.Error())
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(s); err != nil {
		return fmt.Errorf("write summary: %w", err)
	}
	return nil
}

type summary struct {
	Job      string        `json:"job"`
	Units    string        `json:"units"`
	Scope    string        `json:"scope"`
	Rules    summaryRules  `json:"rules"`
	Areas    []summaryArea `json:"areas"`
	Notes    []string      `json:"notes,omitempty"`
	Cautions []string      `json:"cautions"`
}

type summaryRules struct {
	Name         string  `json:"name"`
	Edition      string  `json:"edition,omitempty"`
	Mode         string  `json:"mode"`
	Field        float64 `json:"field_in_per_ft"`
	FieldSource  string  `json:"field_source,omitempty"`
	Valley       float64 `json:"valley_in_per_ft"`
	ValleySource string  `json:"valley_source,omitempty"`
	Pond         float64 `json:"pond_depth_in"`
	Drained      bool    `json:"drained_exception"`
}

func rulesOf(r drainage.Rules) summaryRules {
	return summaryRules{
		Name: r.Name, Edition: r.Edition, Mode: r.Mode.String(),
		Field: figure(r.Field.Min.InchesPerFoot()), FieldSource: r.Field.Source,
		Valley: figure(r.Valley.Min.InchesPerFoot()), ValleySource: r.Valley.Source,
		Pond: figure(r.Pond.Inches()), Drained: r.DrainedException,
	}
}

type summaryArea struct {
	Name        string              `json:"name"`
	AreaSqft    float64             `json:"area_sqft"`
	Assumption  string              `json:"assumption,omitempty"`
	Survey      *summarySurvey      `json:"survey,omitempty"`
	Questions   []summaryQuestion   `json:"questions,omitempty"` // to the owner, the urgent ones first
	Base        string              `json:"base,omitempty"`
	PartSqft    *float64            `json:"part_sqft,omitempty"` // that a partial scope takes
	Existing    *summarySurface     `json:"existing,omitempty"`
	Seen        []summarySeen       `json:"seen,omitempty"`
	Rung        string              `json:"rung,omitempty"` // absent: not climbed
	Why         string              `json:"why,omitempty"`
	Ladder      []summaryStep       `json:"ladder,omitempty"` // least disturbance first
	Chosen      string              `json:"chosen,omitempty"`
	Recommended *string             `json:"recommended"`       // null: no prices, no recommendation
	Options     []summaryOption     `json:"options,omitempty"` // as sorted
	Slope       *float64            `json:"slope_in_per_ft,omitempty"`
	Finished    *summarySurface     `json:"finished,omitempty"`
	Proof       *summaryProof       `json:"proof,omitempty"`
	PondChanges []summaryPondChange `json:"pond_changes,omitempty"` // old ponds, then new ones
	Boards      *summaryBoards      `json:"boards,omitempty"`
	Joints      *summaryJoints      `json:"joints,omitempty"`
	Laid        *summaryLaid        `json:"laid,omitempty"`
	Insulation  *summaryInsulation  `json:"insulation,omitempty"`
	Thermal     *summaryThermal     `json:"thermal,omitempty"`
	Fastening   *summaryFastening   `json:"fastening,omitempty"`
	Lines       []summaryLine       `json:"lines,omitempty"`
	Crickets    []summaryCricket    `json:"crickets,omitempty"`
	Sumps       []summarySump       `json:"sumps,omitempty"`
	Heights     []summaryHeight     `json:"heights,omitempty"`
	Rain        *summaryRain        `json:"rain,omitempty"`
	OutletFlows []summaryOutletFlow `json:"outlet_flows,omitempty"`
	Bays        []summaryRainBay    `json:"bays,omitempty"` // water over each lowest outlet, primaries blocked
	Structure   *summaryStructure   `json:"structure,omitempty"`
	WhatIf      []summaryWhatIf     `json:"what_if,omitempty"`
	DeckChange  *summaryChange      `json:"deck_change,omitempty"`
	AsBuilt     *summaryAsBuilt     `json:"as_built,omitempty"`
	Notes       []string            `json:"notes,omitempty"`
	InDoubt     []string            `json:"in_doubt,omitempty"` // why the survey may be wrong as a whole
}

func areaOf(j *survey.Job, a *AreaResult) summaryArea {
	s := summaryArea{
		Name: a.Area.Name, AreaSqft: figure(a.Site.RoofArea().SquareFeet()), Assumption: a.assumed(),
		Survey: surveyOf(j, a), Questions: questionsOf(a), Base: a.Deck.Words,
	}
	s.Heights, s.DeckChange, s.Ladder = heightsOf(a), changeOf(a), ladderOf(a)
	if a.Ladder != nil {
		s.Rung, s.Why = a.Rung.String(), a.Why
	}
	for _, d := range a.Area.Doubts {
		s.InDoubt = append(s.InDoubt, d.Why)
	}
	s.rain(a)
	s.AsBuilt = asBuiltOf(a)
	if a.Part != nil {
		s.PartSqft = some(a.Part.Area())
	}
	if a.Existing != nil {
		s.Existing = surfaceOf(a.Existing, a.Fit != nil, a.Site.Frame)
	}
	for _, f := range a.Seen {
		s.Seen = append(s.Seen, summarySeen{
			DepthSeen: figure(f.Seen.Depth.Inches()), DepthComputed: figure(f.DepthIn),
			Pond: f.Pond, Agrees: f.Agrees, Words: f.Words})
	}
	if a.Proof != nil && a.Proof.Report != nil {
		s.Finished = surfaceOf(a.Proof.Report, true, a.Site.Frame)
		s.Finished.Findings = findingsOf(a.Proof.Judged)
		s.PondChanges = pondChangesOf(a)
		s.Proof = &summaryProof{
			Why: a.Proof.Why, Findings: a.Proof.Findings,
			Field: a.Proof.Field.String(), Valley: a.Proof.Valley.String(),
		}
		if a.Fit != nil {
			s.Proof.Passes = &a.Proof.Passes
		}
	}
	if o := chosenOption(a); o != nil {
		s.Chosen, s.Recommended, s.Options = o.Name, recommendedName(a), optionsOf(a, j.Units)
	}
	if d := a.Design; d != nil {
		s.Notes = d.Notes
		s.Slope = some(d.Slope.InchesPerFoot())
		s.Boards, s.Insulation, s.Joints = boardsOf(d), insulationOf(d), jointsOf(a)
		s.Laid = laidOf(d)
		s.Thermal, s.Lines = thermalOf(d.Thermal), linesOf(d)
		s.Fastening = fasteningOf(a.Fastening)
		s.Crickets, s.Sumps = cricketsOf(d), summarySumpsOf(a.Site, d)
	}
	return s
}

type summarySurface struct {
	Ponds       *int             `json:"ponds,omitempty"`
	PondArea    *float64         `json:"pond_area_sqft,omitempty"`
	PondVolume  *float64         `json:"pond_volume_cuft,omitempty"`
	MaxDepth    *float64         `json:"max_depth_in,omitempty"`
	Below       *float64         `json:"below_minimum_pct,omitempty"`
	Unknown     *float64         `json:"unknown_pct,omitempty"`
	Thin        *float64         `json:"thin_pct,omitempty"`          // shots too thin to tell a shallow pond
	Narrowest   *float64         `json:"narrowest_dish_ft,omitempty"` // narrower ones may hide between shots
	NoShotNear  []string         `json:"no_shot_near,omitempty"`      // outlets: unknown there
	PondsFree   string           `json:"ponds_free_by_survey"`
	MeetsDesign string           `json:"meets_design_slope"`
	Conditional []string         `json:"conditional_on,omitempty"`
	Findings    []summaryFinding `json:"findings,omitempty"` // each verdict with rule, limit, figure, doubt
	PondList    []summaryPond    `json:"pond_list,omitempty"`
	DrainsTo    []summaryFlow    `json:"drains_to,omitempty"`
	summaryWays
}

type summaryFlow struct {
	Outlet string  `json:"outlet"`
	Area   float64 `json:"area_sqft"`
}

// surfaceOf gives the findings on one surface; figures only where known says
// that they stand on something.
func surfaceOf(r *drainage.Report, known bool, f geom.Frame) *summarySurface {
	s := &summarySurface{PondsFree: r.PondsFree.String(), MeetsDesign: r.MeetsDesign.String(),
		Conditional: r.Conditional}
	if !known {
		return s
	}
	t := pondTotals(r.Ponds)
	count := len(r.Ponds)
	s.Ponds, s.PondArea, s.PondVolume = &count, some(t.SqFt), some(t.CuFt)
	s.MaxDepth, s.Below, s.Unknown = some(t.DepthIn), some(r.BelowMinimumPct), some(r.UnknownPct)
	s.NoShotNear, s.Findings = r.NoShotNear, findingsOf(r.Findings)
	if r.NarrowestFt > 0 {
		s.Thin, s.Narrowest = some(r.ThinPct), some(r.NarrowestFt)
	}
	for _, p := range r.Ponds {
		s.PondList = append(s.PondList, pondOf(&p))
	}
	fillsOf(s.PondList, r)
	for _, d := range r.Areas {
		s.DrainsTo = append(s.DrainsTo, summaryFlow{d.Outlet, figure(d.SqFt)})
	}
	s.summaryWays = waysOf(r, f)
	return s
}

// pondTotals sums area and volume of ponds and takes the greatest depth;
// ClosedIn says that one of them is.
func pondTotals(ponds []drainage.Pond) (t drainage.Pond) {
	for _, p := range ponds {
		t.SqFt += p.SqFt
		t.CuFt += p.CuFt
		t.DepthIn = max(t.DepthIn, p.DepthIn)
		t.ClosedIn = t.ClosedIn || p.ClosedIn
	}
	return t
}

type summarySeen struct {
	DepthSeen     float64 `json:"depth_seen_in"`
	DepthComputed float64 `json:"depth_computed_in"`
	Pond          string  `json:"pond,omitempty"`
	Agrees        bool    `json:"agrees"`
	Words         string  `json:"words"`
}

type summaryProof struct {
	Passes   *bool    `json:"passes,omitempty"` // absent on an assumed deck
	Why      string   `json:"why,omitempty"`
	Findings []string `json:"findings,omitempty"` // beside the verdict
	Field    string   `json:"field"`
	Valley   string   `json:"valley"`
}

type summaryBoards struct {
	Pieces         int            `json:"pieces"`
	ToOrder        int            `json:"to_order"`
	Spares         int            `json:"spares"`
	AreaBound      int            `json:"area_bound"`
	CutBound       int            `json:"cut_bound"`
	WastePct       float64        `json:"waste_pct"`
	CutFt          float64        `json:"cut_ft"`
	BoardFeet      float64        `json:"board_feet"`
	SolidBoardFeet float64        `json:"solid_board_feet"`
	BaseBoardFeet  float64        `json:"base_board_feet"`
	FillBoardFeet  float64        `json:"fill_board_feet"`
	TaperBoardFeet float64        `json:"tapered_board_feet"`
	Schedule       []summaryCount `json:"schedule"`
	Orders         []summaryOrder `json:"orders,omitempty"`
}

// summaryOrder is one board of the stock as it is bought.
type summaryOrder struct {
	Mark    string     `json:"mark"`
	Stock   [2]float64 `json:"stock_ft"`
	Boards  int        `json:"boards"`            // needed, with spares
	OnHand  *int       `json:"on_hand,omitempty"` // of them
	Bundle  int        `json:"bundle,omitempty"`
	Bundles *int       `json:"bundles,omitempty"`
	Loose   int        `json:"loose"`
	Bought  int        `json:"bought"`
	Volume  float64    `json:"volume_cuft"`
}

func ordersOf(d *taper.Design) []summaryOrder {
	var out []summaryOrder
	for _, o := range d.Orders {
		s := summaryOrder{Mark: o.Mark, Stock: [2]float64{sizeFt(o.Along), sizeFt(o.Depth)}, Boards: o.Boards,
			Bundle: o.Bundle, Loose: o.Loose, Bought: o.Bought(), Volume: figure(o.CuFt)}
		if o.Bundle > 0 {
			s.Bundles = &o.Bundles
		}
		if d.Laid != nil {
			s.OnHand = &o.OnHand
		}
		out = append(out, s)
	}
	return out
}

type summaryCount struct {
	Layer   int        `json:"layer"`
	Type    string     `json:"type"`
	Mark    string     `json:"mark"`
	Stock   [2]float64 `json:"stock_ft"`
	Pieces  int        `json:"pieces"`
	Full    int        `json:"full"`
	Cut     int        `json:"cut"`
	ToOrder int        `json:"to_order"`
	Spares  int        `json:"spares"`
	Area    float64    `json:"area_sqft"`
}

func boardsOf(d *taper.Design) *summaryBoards {
	t := d.Totals
	s := &summaryBoards{
		Pieces: t.Pieces, ToOrder: t.ToOrder, Spares: t.Spares, AreaBound: t.AreaBound, CutBound: t.CutBound,
		WastePct: figure(t.WastePct), CutFt: figure(t.CutFt), BoardFeet: figure(t.BoardFeet),
		SolidBoardFeet: figure(t.SolidBoardFeet), BaseBoardFeet: figure(t.BaseBoardFeet),
		FillBoardFeet: figure(t.FillBoardFeet), TaperBoardFeet: figure(t.TaperedBoardFeet), Schedule: []summaryCount{},
	}
	s.Orders = ordersOf(d)
	for _, c := range d.Counts {
		s.Schedule = append(s.Schedule, summaryCount{
			c.Layer, c.Type.String(), c.Mark, [2]float64{sizeFt(c.Along), sizeFt(c.Depth)},
			c.Pieces, c.Full, c.Cut, c.ToOrder, c.Spares, figure(c.SqFt),
		})
	}
	return s
}

type summaryInsulation struct {
	Volume      float64 `json:"volume_cuft"`
	LeastVolume float64 `json:"least_volume_cuft,omitempty"`
	Average     float64 `json:"average_in"`
	Thinnest    float64 `json:"thinnest_in"`
	Thickest    float64 `json:"thickest_in"`
	Over        float64 `json:"over_thickest_in,omitempty"` // than the job allows
	Cover       float64 `json:"cover_in"`
	BoardFeet   float64 `json:"board_feet"`
}

func insulationOf(d *taper.Design) *summaryInsulation {
	in := d.Insulation
	return &summaryInsulation{
		figure(in.CuFt), figure(in.LeastCuFt), figure(in.AverageIn), figure(in.ThinnestIn),
		figure(in.ThickestIn), figure(d.OverThickest.Inches()), figure(d.Cover.Inches()), figure(unit.CubicFeet(in.CuFt).BoardFeet()),
	}
}

type summaryLine struct {
	Kind   string  `json:"kind"`
	Count  int     `json:"count"`
	Length float64 `json:"length_ft"`
	Least  float64 `json:"least_in_per_ft"`
}

// linesOf sums the lines of each kind, in the order of the kinds.
func linesOf(d *taper.Design) []summaryLine {
	var out []summaryLine
	for _, kind := range []taper.LineKind{taper.Valley, taper.Ridge, taper.Hip} {
		s := summaryLine{Kind: kind.String()}
		for _, l := range d.Lines {
			if l.Kind != kind {
				continue
			}
			slope := l.Slope.InchesPerFoot()
			if s.Count == 0 || slope < s.Least {
				s.Least = slope
			}
			s.Count++
			s.Length += l.A.Dist(l.B)
		}
		if s.Count > 0 {
			s.Length, s.Least = figure(s.Length), figure(s.Least)
			out = append(out, s)
		}
	}
	return out
}

func some(x float64) *float64 {
	x = figure(x)
	return &x
}
