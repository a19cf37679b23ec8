package level

import (
	"fmt"
	"strings"

	"runnel/survey/unit"
)

// Name is the book's unit in words; empty where it is not stated.
func (r Result) Name() string {
	switch r.One {
	case unit.Foot:
		return "ft"
	case unit.SurveyFoot:
		return "us-ft"
	case unit.Inch:
		return "in"
	case unit.Metre:
		return "m"
	case unit.Millimetre:
		return "mm"
	}
	return ""
}

// Text is the reduction as a page: set-ups with HI, elevations, sums and
// misclosure, in the book's unit with three decimals.
func (r Result) Text() string {
	var b strings.Builder
	title := "unit not stated"
	if n := r.Name(); n != "" {
		title = "in " + n
	}
	fmt.Fprintf(&b, "level book, %s\nstart: %s at %.3f", title, r.Start.Shot, r.Start.Elevation)
	if r.Assumed {
		b.WriteString(", assumed: elevations are relative")
	}
	b.WriteString("\n\n")
	r.shots(&b)
	r.closing(&b)
	return b.String()
}

// shots writes set-ups and what was read from them.
func (r Result) shots(b *strings.Builder) {
	wide := len("shot")
	for _, s := range r.Shots {
		wide = max(wide, min(len(s.Reading.Shot), 24))
	}
	k := 0
	for i, in := range r.SetUps {
		rod := ""
		if in.Direct {
			rod = ", rod reads up"
		}
		fmt.Fprintf(b, "set-up %d on %s: elevation %.3f, BS %.3f, HI %.3f%s\n", i+1, in.On, in.From, in.Backsight, in.HI, rod)
		for ; k < len(r.Shots) && r.Shots[k].SetUp == in.SetUp; k++ {
			s := r.Shots[k]
			fmt.Fprintf(b, "  %-*s  %s %9.3f  elevation %10.3f", wide, s.Reading.Shot, s.Kind, s.Rod, s.Elevation)
			if r.Closing != nil {
				fmt.Fprintf(b, "  adjusted %10.3f", s.Adjusted)
			}
			b.WriteString("\n")
		}
	}
}

// closing writes sums and misclosure.
func (r Result) closing(b *strings.Builder) {
	fmt.Fprintf(b, "\nsum BS %.3f, sum FS %.3f, rise of the line %.3f\n", r.SumBS, r.SumFS, r.Rise)
	if len(r.Loose) > 0 {
		fmt.Fprintf(b, "%d set-ups stand on a place whose elevation nothing gives: not reduced\n", len(r.Loose))
	}
	c := r.Closing
	if c == nil {
		b.WriteString("misclosure: not known, the line does not end on a known mark\n")
		return
	}
	fmt.Fprintf(b, "closes on %s: found %.3f, known %.3f, misclosure %+.3f\n", c.Mark.Shot, c.Found, c.Elevation, c.Misclosure)
	within, stated := r.Within()
	switch {
	case !stated:
		b.WriteString("allowed misclosure: not stated, the unit is missing\n")
	default:
		word := "within"
		if !within {
			word = "more than"
		}
		fmt.Fprintf(b, "allowed misclosure %.4f (%s): %s it\n", unit.RatioOf(r.Allowed, r.One), r.Order.Name, word)
	}
}
