package taper

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
)

// OptionChoice is what one option is made from.
type OptionChoice struct {
	Name  string // "four-way 1/4 in/ft, equal edges"
	Taper survey.TaperChoice
	Stock *survey.Stock
	Added []survey.SiteOutlet // new outlets, in the frame; pipe and storm sewer are not checked
	// ForComparison: few crews would lay it, so it is shown and never chosen.
	ForComparison bool
}

// Option is one way to make the roof drain, designed, laid out, counted and
// proven.
type Option struct {
	OptionChoice
	Design *Design // nil: could not be made
	Proof  *Proof  // nil with Design
	// Why it could not be made, or does not pass; "": it passes.
	Why     string
	Measure OptionMeasure
}

// Passes says whether the option passes its proof.
func (o Option) Passes() bool { return o.Proof != nil && o.Proof.Passes }

// Does says whether the option passes within the thickest that the job allows.
func (o Option) Does() bool { return o.Passes() && o.Design.OverThickest <= 0 }

// CanBeChosen says whether the files of a run may show it: a new outlet is the
// owner's to allow, and nobody lays what is shown for comparison.
func (o Option) CanBeChosen() bool {
	return o.Design != nil && len(o.Added) == 0 && !o.ForComparison
}

// OptionsIn is what options are listed from.
type OptionsIn struct {
	Site  *survey.Site
	Taper survey.TaperChoice // as the job asks; only of scheme Compare are there several
	Stock *survey.Stock
	Rules drainage.Rules
	Decks []survey.Plane // of the fitted deck, one or more; none: level
	Units unit.System    // of names
}

// OptionsFor lists the options that fit a site, always in the same order: by
// scheme, then by slope, then what is changed of them. Of a named scheme it is
// that one alone.
//
// Slopes are the one asked for and, where its valleys fall short of the rules by
// geometry, the least of the stock by which they do not.
func OptionsFor(in OptionsIn) []OptionChoice {
	if in.Taper.Scheme != survey.Compare {
		c := OptionChoice{Taper: in.Taper, Stock: in.Stock}
		c.Name = c.name(in.Units)
		return []OptionChoice{c}
	}
	var out []OptionChoice
	for _, scheme := range in.schemes() {
		for _, slope := range in.slopes(scheme) {
			c := OptionChoice{Taper: in.Taper, Stock: in.Stock, ForComparison: scheme == survey.EightWay}
			c.Taper.Scheme, c.Taper.Slope, c.Taper.EqualEdges = scheme, slope, false
			out = append(out, c)
			switch {
			case scheme == survey.FourWay:
				c.Taper.EqualEdges = true
				out = append(out, c)
			case in.takesCrickets(scheme) && !c.Taper.Cricket.None:
				c.Taper.Cricket.None = true
				out = append(out, c)
			case scheme == survey.EightWay && !slices.Contains(SlopesIn(in.Stock), slope):
				out[len(out)-1].Stock = withOrdered(in.Stock, c.Taper, in.Site)
			}
		}
	}
	for i := range out {
		out[i].Name = out[i].name(in.Units)
	}
	return out
}

// name tells a choice in few words, in the units of the job.
func (c OptionChoice) name(sys unit.System) string {
	crickets := ""
	switch t := c.Taper; {
	case t.Scheme == survey.TwoWayCrickets && !t.Cricket.None:
		crickets = ", crickets"
	case t.Scheme == survey.TwoWayCrickets || t.Scheme == survey.OneWay && t.Cricket.None:
		crickets = ", no crickets"
	}
	return c.baseName(sys) + crickets + c.addedName()
}

// baseName is the name without crickets and new outlets.
func (c OptionChoice) baseName(sys unit.System) string {
	words := strings.TrimSuffix(c.Taper.Scheme.String(), "-crickets")
	if c.Taper.Scheme != survey.CricketsOnly {
		words += " " + c.Taper.Slope.Format(sys)
	}
	if c.Taper.EqualEdges {
		words += ", equal edges"
	}
	return words
}

func (c OptionChoice) addedName() string { return strings.Repeat(", a new drain", len(c.Added)) }

// NameMade is the name of a choice once its design is there: it tells whether
// crickets stand, and where a low line has none.
func (c OptionChoice) NameMade(d *Design, sys unit.System) string {
	switch {
	case c.Taper.Scheme == survey.CricketsOnly:
	case len(d.Crickets) > 0:
		return c.baseName(sys) + ", crickets" + c.addedName()
	case len(d.LowLines) > 0:
		return c.baseName(sys) + ", no crickets" + c.addedName()
	}
	return c.baseName(sys) + c.addedName()
}

// schemes are those that fit the outlets and the deck.
func (in OptionsIn) schemes() []survey.Scheme {
	any, place, edge := false, false, false
	for _, o := range in.Site.Outlets {
		if o.Overflow {
			continue
		}
		any = true
		place = place || o.Kind == survey.Drain || o.Kind == survey.Scupper
		edge = edge || o.Kind != survey.Drain && in.onAxes(o)
	}
	var out []survey.Scheme
	add := func(s survey.Scheme, fits bool) {
		if fits {
			out = append(out, s)
		}
	}
	add(survey.FourWay, any)
	add(survey.CricketsOnly, any && in.deckSlopes()) // before two-way, which can come out as the same
	add(survey.TwoWayCrickets, place)
	add(survey.OneWay, edge)
	add(survey.EightWay, any && in.Rules.Mode == survey.EveryPath)
	return out
}

// onAxes says whether the edge of an outlet lies along the building axes.
func (in OptionsIn) onAxes(o survey.SiteOutlet) bool {
	if o.Edge < 0 || o.Edge >= len(in.Site.Edges) {
		return false
	}
	d := in.Site.Edges[o.Edge].B.Sub(in.Site.Edges[o.Edge].A)
	return math.Abs(math.Remainder(math.Atan2(d.Y, d.X), math.Pi/2)) <= offAxisRad
}

// deckSlopes says whether the deck has the slope of the rules by itself.
func (in OptionsIn) deckSlopes() bool {
	for _, p := range in.Decks {
		if p.Slope().InchesPerFoot() < in.Rules.Field.Min.InchesPerFoot()-sameSlopeInPerFt {
			return false
		}
	}
	return len(in.Decks) > 0
}

// takesCrickets says whether crickets may stand on a low line of the scheme.
func (in OptionsIn) takesCrickets(s survey.Scheme) bool {
	return s == survey.TwoWayCrickets || s == survey.OneWay &&
		slices.ContainsFunc(in.Site.Outlets, func(o survey.SiteOutlet) bool { return o.Kind == survey.Scupper && !o.Overflow })
}

// slopes are those that a scheme is tried with.
func (in OptionsIn) slopes(scheme survey.Scheme) []unit.Slope {
	asked := in.Taper.Slope.InchesPerFoot()
	valley, want := in.Rules.Valley.Min.InchesPerFoot(), in.Rules.Field.Min.InchesPerFoot()
	stock := SlopesIn(in.Stock)
	switch scheme {
	case survey.CricketsOnly:
		return []unit.Slope{in.Taper.Slope}
	case survey.FourWay:
		want = math.Max(want, drainage.FieldSlopeThatPasses(in.Rules.Valley.Min).InchesPerFoot())
	case survey.EightWay: // planes 45 degrees apart meet in valleys of cos 22.5
		want = math.Max(want, valley/math.Cos(math.Pi/8))
		stock = append(stock, unit.InchesPerFoot(want))
	case survey.TwoWayCrickets: // no valley of a cricket is as steep as the field
		if valley > 0 {
			want = math.Max(want, valley+2*sameSlopeInPerFt)
		}
	}
	out := []unit.Slope{in.Taper.Slope}
	if want <= asked+sameSlopeInPerFt {
		return out
	}
	slices.Sort(stock)
	for _, s := range stock {
		if s.InchesPerFoot() >= want-sameSlopeInPerFt {
			return append(out, s)
		}
	}
	return out
}

// withOrdered is a stock with boards of a slope that it lacks, as they would be
// made to order: one for every row up to the longest way there can be, each
// over as much fill as the thinnest flat allows.
func withOrdered(stock *survey.Stock, c survey.TaperChoice, s *survey.Site) *survey.Stock {
	out := *stock
	if len(stock.Tapered) == 0 || len(stock.Flats) == 0 {
		return &out
	}
	side, step := stock.Tapered[0].Depth, stock.Flats[0].Thickness
	for _, f := range stock.Flats {
		step = min(step, f.Thickness)
	}
	w, h := s.Outline.Box().Size()
	rise := unit.Fall(c.Slope, side)
	out.Tapered = slices.Clone(stock.Tapered)
	for row := range int((w+h)/side.Feet()) + 1 {
		thin := c.Start + unit.Inches(math.Mod(float64(row)*rise.Inches(), step.Inches()))
		out.Tapered = append(out.Tapered, survey.TaperedBoard{Slope: c.Slope, Thin: thin, Thick: thin + rise,
			Along: side, Depth: side, ToOrder: true})
	}
	return &out
}

// SortOptions puts those that pass within the thickest first, then those that
// pass, then those that could be made; each by board feet. What is alike keeps
// its order.
func SortOptions(all []Option) {
	rank := func(o Option) int {
		switch {
		case o.Does():
			return 0
		case o.Passes():
			return 1
		case o.Design != nil:
			return 2
		}
		return 3
	}
	slices.SortStableFunc(all, func(a, b Option) int {
		if c := cmp.Compare(rank(a), rank(b)); c != 0 || a.Design == nil {
			return c
		}
		return cmp.Compare(math.Round(a.Design.Insulation.CuFt*1e3), math.Round(b.Design.Insulation.CuFt*1e3))
	})
}

// CheapestOption is the cheapest option that does, and may be chosen, where all
// such have a cost; -1: there is none.
func CheapestOption(all []Option) int {
	best := -1
	for n, o := range all {
		if !o.Does() || !o.CanBeChosen() {
			continue
		}
		if !o.Measure.Priced {
			return -1
		}
		if best < 0 || o.Measure.Cost < all[best].Measure.Cost-0.005 {
			best = n
		}
	}
	return best
}

// SameOption says whether two options came out as one and the same design.
func SameOption(a, b Option) bool {
	return a.Design != nil && b.Design != nil && len(a.Added) == len(b.Added) && a.Design.Totals == b.Design.Totals &&
		a.Design.Insulation == b.Design.Insulation && slices.Equal(a.Design.Counts, b.Design.Counts)
}

// Differs lists what an option changes against another, a few words each.
func (o Option) Differs(from Option, sys unit.System) []string {
	var words []string
	a, b := o.Taper, from.Taper
	change := func(differ bool, what string) {
		if differ {
			words = append(words, what)
		}
	}
	change(a.Scheme != b.Scheme, a.Scheme.String())
	change(a.Slope != b.Slope, a.Slope.Format(sys))
	change(a.EqualEdges && !b.EqualEdges, "equal edges")
	change(b.EqualEdges && !a.EqualEdges, "equal slopes")
	change(a.Cricket.None && !b.Cricket.None, "no crickets")
	change(b.Cricket.None && !a.Cricket.None, "crickets")
	change(len(o.Added) > len(from.Added), "a new drain")
	return words
}
