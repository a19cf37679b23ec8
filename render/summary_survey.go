package render

import (
	"runnel/survey"
	"runnel/survey/fit"
)

// summarySurvey is the survey of one area as evidence. What was not stated has
// no key.
type summarySurvey struct {
	Shots        int               `json:"shots"`             // that the surface is fitted to
	Refused      int               `json:"refused"`           // left out, with their reasons in excluded
	RMSE         *float64          `json:"rmse_in,omitempty"` // absent where no shot could be left out
	Sigma        float64           `json:"sigma_in"`
	SigmaLeast   *float64          `json:"sigma_least_in,omitempty"` // over the roof, place by place
	SigmaMedian  *float64          `json:"sigma_median_in,omitempty"`
	SigmaMost    *float64          `json:"sigma_most_in,omitempty"`
	SlopeError10 float64           `json:"slope_error_10ft_in_per_ft"`
	SlopeError20 float64           `json:"slope_error_20ft_in_per_ft"`
	Spacing      float64           `json:"spacing_ft"`
	Method       string            `json:"method"` // of the fit
	Note         string            `json:"note,omitempty"`
	ReadingError *float64          `json:"reading_error_in,omitempty"`
	StandsOn     string            `json:"stands_on,omitempty"`
	Evidence     *summaryEvidence  `json:"evidence,omitempty"`
	SetUps       []summarySetUp    `json:"set_ups,omitempty"` // of the whole job
	Closings     []summaryClosing  `json:"closings,omitempty"`
	Excluded     []summaryExcluded `json:"excluded,omitempty"`
	Cores        []summaryCore     `json:"cores,omitempty"`
	Photos       []summaryPhoto    `json:"photos,omitempty"`
	Cloud        *summaryCloud     `json:"cloud,omitempty"`
	Deck         *summaryDeck      `json:"deck,omitempty"`
}

// summaryEvidence is what the crew wrote down, as it wrote it.
type summaryEvidence struct {
	Method     string `json:"method,omitempty"`
	Instrument string `json:"instrument,omitempty"`
	Checked    string `json:"checked,omitempty"`
	Date       string `json:"date,omitempty"`
	By         string `json:"by,omitempty"`
	Weather    string `json:"weather,omitempty"`
}

type summarySetUp struct {
	ID        string   `json:"id"`
	On        string   `json:"on,omitempty"`
	From      *float64 `json:"mark_ft,omitempty"`
	Backsight *float64 `json:"backsight_ft,omitempty"`
	HI        float64  `json:"hi_ft"`
	Rod       string   `json:"rod"`
	Shots     int      `json:"shots"`
	Shift     float64  `json:"shift_in"`
	TiedTo    string   `json:"tied_to,omitempty"`
	Shared    int      `json:"shared_shots,omitempty"`
	Agree     *float64 `json:"shared_agree_within_in,omitempty"`
}

type summaryClosing struct {
	SetUp      string   `json:"set_up,omitempty"`
	On         string   `json:"on,omitempty"`
	Found      float64  `json:"found_ft"`
	Known      float64  `json:"known_ft"`
	Misclosure float64  `json:"misclosure_in"`
	Allowed    *float64 `json:"allowed_in,omitempty"`
	Within     *bool    `json:"within,omitempty"` // absent where nothing is stated to be allowed
}

type summaryExcluded struct {
	ID   string `json:"id"`
	File string `json:"file,omitempty"`
	Line int    `json:"line,omitempty"`
	Why  string `json:"why"`
}

type summaryCore struct {
	ID        string         `json:"id"`
	Thickness float64        `json:"thickness_in"`
	Wet       *bool          `json:"wet,omitempty"`
	Roofs     int            `json:"roofs,omitempty"`
	Layers    []summaryLayer `json:"layers,omitempty"`
}

type summaryLayer struct {
	Name      string  `json:"name"`
	Thickness float64 `json:"thickness_in"`
	Wet       bool    `json:"wet,omitempty"`
}

type summaryPhoto struct {
	File string  `json:"file"`
	X    float64 `json:"x_ft"`
	Y    float64 `json:"y_ft"`
	Note string  `json:"note,omitempty"`
}

type summaryCloud struct {
	File    string  `json:"file"`
	InFile  int     `json:"points_in_file"`
	OnArea  int     `json:"points_on_area"`
	LeftOut int     `json:"points_left_out"`
	Cells   int     `json:"cells"`
	CellFt  float64 `json:"cell_ft"`
	Density float64 `json:"density_per_sqft"`
	Noise   float64 `json:"noise_in"`
	Objects int     `json:"objects"`
}

type summaryDeck struct {
	Type     string   `json:"type,omitempty"`
	Span     *float64 `json:"span_deg,omitempty"` // counter-clockwise from +x
	Framing  string   `json:"framing,omitempty"`
	Inferred bool     `json:"inferred"`
	Sigma    *float64 `json:"sigma_in,omitempty"`
	Shots    *float64 `json:"shot_pct,omitempty"` // of the roof, told by deck shots
	// Slope is where the slope of the old roof comes from: deck, insulation, both,
	// none or untold; the slopes are means.
	Slope    string   `json:"slope_from"`
	Why      string   `json:"slope_why,omitempty"`
	Membrane *float64 `json:"membrane_in_per_ft,omitempty"`
	Deck     *float64 `json:"deck_in_per_ft,omitempty"`
	Warnings []string `json:"warnings,omitempty"`
}

// summaryQuestion is what the survey leaves open.
type summaryQuestion struct {
	About  string `json:"about"`
	Ask    string `json:"ask"`
	Why    string `json:"why"`
	Urgent bool   `json:"urgent"`
}

func surveyOf(j *survey.Job, a *AreaResult) *summarySurvey {
	if a.Fit == nil {
		return nil
	}
	used := len(a.Site.Shots)
	s := &summarySurvey{
		Shots: used, Refused: len(a.Area.Shots) - used, Sigma: figure(a.Fit.SigmaIn),
		SlopeError10: figure(a.slopeErrorInPerFt(10)), SlopeError20: figure(a.slopeErrorInPerFt(20)),
		Spacing: figure(a.Fit.SpacingFt), Method: a.Fit.Method, Note: a.Fit.Note,
		Excluded: excludedOf(a.Area.Shots), Cores: coresOf(a.Area.Cores), Cloud: cloudOf(a.Cloud), Deck: deckOf(a),
	}
	if a.Fit.HasRMSE {
		s.RMSE = some(a.Fit.RMSEIn)
	}
	if lo, mid, hi, ok := sigmaSpan(a.Fit.Surface); ok {
		s.SigmaLeast, s.SigmaMedian, s.SigmaMost = some(lo), some(mid), some(hi)
	}
	s.fieldBook(j)
	return s
}

// fieldBook fills in what holds for the whole job.
func (s *summarySurvey) fieldBook(j *survey.Job) {
	src := j.Survey
	if src.ReadingError > 0 {
		s.ReadingError = some(src.ReadingError.Inches())
	}
	if src.Surface != survey.UnsetSurface {
		s.StandsOn = src.Surface.String()
	}
	if e := src.Evidence; e != (survey.Evidence{}) {
		s.Evidence = &summaryEvidence{Method: e.Method, Instrument: e.Instrument, Checked: e.Checked,
			Date: e.Date, By: e.By, Weather: e.Weather}
	}
	for _, u := range j.SetUpRows() {
		row := summarySetUp{ID: u.ID, On: u.On, HI: figure(u.HI.Feet()), Rod: u.Rod, Shots: u.Shots,
			Shift: figure(u.Shift.Inches()), TiedTo: u.TiedTo, Shared: u.Shared}
		if u.Shared > 1 {
			row.Agree = some(u.Agree.Inches())
		}
		if u.On != "" {
			row.From, row.Backsight = some(u.From.Feet()), some(u.Backsight.Feet())
		}
		s.SetUps = append(s.SetUps, row)
	}
	for _, c := range src.Closings {
		row := summaryClosing{SetUp: c.SetUp, On: c.On, Found: figure(c.Found.Feet()), Known: figure(c.Known.Feet()),
			Misclosure: figure(c.Misclosure().Inches())}
		if within, stated := c.Within(); stated {
			row.Allowed, row.Within = some(c.Allowed.Inches()), &within
		}
		s.Closings = append(s.Closings, row)
	}
	for _, p := range src.Photos {
		s.Photos = append(s.Photos, summaryPhoto{p.File, figure(p.At.X), figure(p.At.Y), p.Note})
	}
}

func excludedOf(shots []survey.Shot) []summaryExcluded {
	var out []summaryExcluded
	for _, sh := range leftOut(shots) {
		out = append(out, summaryExcluded{sh.ID, sh.File, sh.Line, sh.Left})
	}
	return out
}

func coresOf(cores []survey.Core) []summaryCore {
	var out []summaryCore
	for _, c := range cores {
		row := summaryCore{ID: c.ID, Thickness: figure(c.Thickness.Inches()), Roofs: c.Roofs}
		if c.Wet || c.WetKnown {
			row.Wet = &c.Wet
		}
		for _, l := range c.Layers {
			row.Layers = append(row.Layers, summaryLayer{l.Name, figure(l.Thickness.Inches()), l.Wet})
		}
		out = append(out, row)
	}
	return out
}

func cloudOf(c *fit.CloudReport) *summaryCloud {
	if c == nil {
		return nil
	}
	return &summaryCloud{File: c.File, InFile: c.InFile, OnArea: c.OnArea, LeftOut: c.LeftOut, Cells: c.Cells,
		CellFt: figure(c.CellFt), Density: figure(c.DensityPerSqFt), Noise: figure(c.NoiseIn), Objects: len(c.Objects)}
}

func deckOf(a *AreaResult) *summaryDeck {
	d := a.Area.Deck
	out := &summaryDeck{Type: d.Type, Span: d.SpanDeg, Framing: d.Framing,
		Inferred: a.Deck.Inferred, Warnings: a.Deck.Warnings, Slope: a.Deck.Slope.String(), Why: a.Deck.Why}
	if a.Deck.SigmaIn > 0 {
		out.Sigma = some(a.Deck.SigmaIn)
	}
	if a.Deck.ShotPct > 0 {
		out.Shots = some(a.Deck.ShotPct)
	}
	if a.Deck.OnMembrane {
		out.Membrane = some(a.Deck.Membrane.InchesPerFoot())
	}
	if a.Deck.DeckTold {
		out.Deck = some(a.Deck.Deck.InchesPerFoot())
	}
	return out
}

func questionsOf(a *AreaResult) []summaryQuestion {
	var out []summaryQuestion
	for _, q := range a.Asked {
		out = append(out, summaryQuestion{q.About, q.Ask, q.Why, q.Urgent})
	}
	return out
}
