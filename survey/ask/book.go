package ask

import (
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/unit"
)

// book asks for what the field book should say of the survey.
func (l *list) book() {
	s := l.job.Survey
	if s.None {
		return
	}
	l.closings(s)
	if s.ReadingError == 0 {
		l.add("reading error", "How near can one reading be told with this instrument: "+l.either("1/16 in, 1/8 in", "1 mm, 3 mm")+"?",
			"how far slopes can be told from their limits")
	}
	var open []string
	for _, f := range []struct{ stated, name string }{
		{s.Evidence.Method, "method"}, {s.Evidence.Instrument, "instrument"},
		{s.Evidence.Checked, "the instrument's last check"}, {s.Evidence.Date, "date"},
		{s.Evidence.By, "who surveyed"},
	} {
		if f.stated == "" {
			open = append(open, f.name)
		}
	}
	if len(open) > 0 {
		l.add("field book", "State of the survey: "+joined(open)+".", "the survey stands as evidence only with them")
	}
}

// closings asks about benchmarks that were not read again or did not close.
func (l *list) closings(s survey.Source) {
	for _, c := range s.Closings {
		if within, stated := c.Within(); stated && !within {
			miss := unit.Inches(math.Abs(c.Misclosure().Inches()))
			about, of, all := "set-up "+c.SetUp, " of set-up "+c.SetUp, "every elevation of the set-up"
			if c.SetUp == "" { // a line that the crew reduced itself
				about, of, all = "closing on "+c.On, "", "every elevation that hangs on them"
			}
			l.urgent(about, fmt.Sprintf("Run the levels%s again: on %s they close by %s where %s is allowed.",
				of, c.On, miss.FormatClosing(l.job.Units), c.Allowed.FormatClosing(l.job.Units)), all+" is in doubt by as much")
		}
	}
	if len(s.Closings) == 0 {
		l.add("benchmark", "Which fixed mark do the elevations start from, and what did it read at the end of the survey?",
			"a set-up that moved between first and last reading would not show")
	}
}

// water asks for what people saw and for the rain to reckon with.
func (l *list) water(k Known) {
	if len(l.job.Seen) == 0 {
		l.add("ponds seen", "Has anyone seen water stand? Give outline, greatest depth and hours since the rain.",
			"ponds seen against ponds computed are the best proof of a survey")
	}
	for n, s := range l.job.Seen {
		if s.Hours == 0 {
			l.add(fmt.Sprintf("pond seen %d", n+1), fmt.Sprintf("How many hours after the rain was pond %d seen?", n+1),
				"water that goes within 48 hours is judged otherwise by many codes")
		}
	}
	if k.Ponds > 0 && l.job.Ponds.Drying == 0 {
		l.add("drying", "How much of its depth does standing water lose here in 48 hours that let a roof dry?",
			"how much of each pond is left by then")
	}
	l.rain()
}

// rain asks for the rates that are not stated. Twice the hourly rate is what
// the IBC, 2021 family, section 1611.1, allows in place of the 15-minute rate.
func (l *list) rain() {
	switch r := l.job.Rain; {
	case r.Rate == 0 && r.OverflowRate == 0:
		l.add("rain", "Which rain rate do the drains have to take, and which the overflows?", "whether drains and overflows are large enough")
	case r.Rate == 0:
		l.add("rain", "Which rain rate do the drains have to take?", "whether they are large enough")
	case r.OverflowRate == 0:
		l.add("rain", "Which rain rate do the overflows have to take? The IBC (2021 family, 1611.1) allows twice the hourly "+
			"rate, "+(2*r.Rate).Format(l.job.Units)+".", "whether they are large enough, and how deep water can stand")
	}
}
