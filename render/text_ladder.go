package render

import (
	"slices"

	"runnel/taper/ladder"
)

// need tells the least work that would do and every rung below and above it.
func (t *telling) need(a *AreaResult) {
	t.heading("What it needs")
	words := map[ladder.Rung]string{
		ladder.Unknown: "Not known", ladder.DrainsAsIs: "Nothing: it drains as it is", ladder.Sump: "Reset or sump drains",
		ladder.FillLows: "Fill low places", ladder.Crickets: "Crickets", ladder.Outlet: "Another outlet",
		ladder.PartTaper: "Taper in part", ladder.Taper: "Taper",
	}[a.Rung]
	if s := step(a, a.Rung); s != nil && a.Rung == ladder.Taper && s.Outcome != ladder.Kept {
		words = "Nothing less than taper"
	}
	if slices.ContainsFunc(a.Ladder, func(s ladder.Step) bool { return s.Rung < a.Rung && s.Outcome == ladder.Open }) {
		words += ", the least known to do"
	}
	if a.Why != "" {
		words += ": " + a.Why
	}
	t.fact("Least work", sentence(words)[1:])
	for n := 1; n < len(a.Ladder); n++ {
		first, names := a.Ladder[n], rungLabel(a.Ladder[n].Rung)
		text := rungText(first)
		for ; n+1 < len(a.Ladder) && rungText(a.Ladder[n+1]) == text; n++ {
			names += ", " + rungLabel(a.Ladder[n+1].Rung)
		}
		if a.Ladder[n].Rung == first.Rung {
			t.fact("  "+names, text)
		} else {
			t.fact("  other work", names+": "+text)
		}
	}
}

// rungLabel names a rung in the width of a label.
func rungLabel(r ladder.Rung) string {
	switch r {
	case ladder.Unknown, ladder.DrainsAsIs:
		return "as it is"
	case ladder.Sump:
		return "set drains"
	case ladder.FillLows:
		return "fill lows"
	case ladder.Crickets:
		return "crickets"
	case ladder.Outlet:
		return "new outlet"
	case ladder.PartTaper:
		return "part taper"
	case ladder.Taper:
		return "full taper"
	}
	panic("render: unknown rung")
}

// rungText tells what became of one rung.
func rungText(s ladder.Step) string {
	head := map[ladder.Outcome]string{
		ladder.NotTested: "Not tested: ", ladder.Kept: "Does: ", ladder.Refused: "Does not do: ", ladder.Open: "Not known: ",
	}[s.Outcome]
	if s.Do == "" {
		return head + s.Why + "."
	}
	return head + s.Do + "." + sentence(s.Why)
}
