package ask

import (
	"fmt"
	"strings"

	"runnel/survey/unit"
)

// mostNamed is how many things one question names; the rest are counted.
const mostNamed = 8

// named is a noun with the names of one or more things: "drain D1", "drains D1,
// D2 and D3", "edges 0, 1, 2 and 12 more".
func named(noun string, names []string) string {
	if len(names) == 1 {
		return noun + " " + names[0]
	}
	return noun + "s " + joined(names)
}

func joined(names []string) string {
	if len(names) > mostNamed {
		return strings.Join(names[:mostNamed], ", ") + fmt.Sprintf(" and %d more", len(names)-mostNamed)
	}
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// capital is text with its first letter, a plain one, in capitals.
func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// either is words for US jobs or for metric ones.
func (l *list) either(us, metric string) string {
	if l.job.Units == unit.Metric {
		return metric
	}
	return us
}
