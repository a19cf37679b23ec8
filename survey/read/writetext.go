package read

import (
	"math"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"runnel/survey/geom"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// named is a unit as values wear it.
type named struct {
	word string
	one  unit.Length
}

// lengthUnits are tried in turn for a length to be written; inches, in which
// lengths are kept, hold every one.
func lengthUnits(sys unit.System) []named {
	if sys == unit.Metric {
		return []named{{"mm", unit.Millimetre}, {"m", unit.Metre}, {"in", unit.Inch}}
	}
	return []named{{"in", unit.Inch}}
}

// plainText is x in full: as many digits as tell it from its neighbours.
func plainText(x float64) string {
	if x == 0 {
		return "0"
	}
	if s := strconv.FormatFloat(x, 'f', -1, 64); len(s) < 30 {
		return s
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// shortDigits is the most characters of a number that is written in another
// unit than inches: longer ones were not read in it.
const shortDigits = 12

// lengthText is l so that it reads back as the very same.
func lengthText(l unit.Length, sys unit.System) string {
	units := lengthUnits(sys)
	for _, u := range units {
		s := plainText(unit.RatioOf(l, u.one))
		if back, err := unit.ParseLength(s+" "+u.word, 0); err == nil && back == l && len(s) <= shortDigits {
			return s + " " + u.word
		}
	}
	return plainText(l.Inches()) + " in"
}

// columnUnit is the unit of a column of lengths: the first that gives back
// each of them.
func columnUnit(lengths func(yield func(unit.Length) bool), sys unit.System) named {
	units := []named{{"ft", unit.Foot}, {"in", unit.Inch}}
	if sys == unit.Metric {
		units = lengthUnits(sys)
	}
	for _, u := range units[:len(units)-1] {
		exact := true
		for l := range lengths {
			if table.Times(unit.RatioOf(l, u.one), u.one) != l {
				exact = false
				break
			}
		}
		if exact {
			return u
		}
	}
	return units[len(units)-1]
}

// coordText is a plan coordinate in feet so that it reads back as the very
// same where plain numbers measure plan. Of feet some bit patterns come from no
// number of inches; those read back next to themselves.
func coordText(ft float64, plan unit.Length) string {
	for _, u := range []named{{"", plan}, {" in", unit.Inch}} {
		x := ft * unit.Foot.Inches() / u.one.Inches()
		for _, try := range []float64{x, math.Nextafter(x, math.Inf(1)), math.Nextafter(x, math.Inf(-1))} {
			if table.Times(try, u.one).Feet() == ft {
				return plainText(try) + u.word
			}
		}
	}
	return plainText(ft*unit.Foot.Inches()) + " in"
}

// slopeText is s so that it reads back as the very same.
func slopeText(s unit.Slope, sys unit.System) string {
	if sys == unit.Metric {
		text := "1:" + plainText(math.Round(12/s.InchesPerFoot()))
		if back, err := unit.ParseSlope(text); err == nil && back == s {
			return text
		}
	}
	return plainText(s.InchesPerFoot()) + " in/ft"
}

// areaText is a so that it reads back as the very same.
func areaText(a unit.Area) string {
	text := plainText(a.SquareFeet()) + " sq ft"
	if back, err := unit.ParseArea(text, 0); err == nil && back == a {
		return text
	}
	return plainText(a.SquareFeet()*144) + " sq in"
}

// degreesText is an angle.
func degreesText(deg float64) string { return plainText(deg) + " deg" }

// cellText is a value of a table, quoted where it could be taken for more.
func cellText(s string) string {
	plain := strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-_/ ") == ""
	if plain && strings.TrimSpace(s) == s {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// group is a mapping under way.
type group struct {
	n *yaml.Node
}

// block begins a mapping of a key a line, flow one on a single line.
func block() group { return group{&yaml.Node{Kind: yaml.MappingNode}} }
func flow() group  { return group{&yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle}} }

// node adds a key with any value.
func (g group) node(key string, v *yaml.Node) {
	g.n.Content = append(g.n.Content, scalar(key), v)
}

// put adds a key with one value, where there is one.
func (g group) put(key, value string) {
	if value != "" {
		g.node(key, scalar(value))
	}
}

// list adds a key with a list, a value a line, where it is not empty.
func (g group) list(key string, of []*yaml.Node) {
	if len(of) > 0 {
		g.node(key, &yaml.Node{Kind: seqKind, Content: of})
	}
}

func scalar(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s, Tag: tagOf(s)} }

// tagOf keeps plain numbers and true out of quotes; all else is text.
func tagOf(s string) string {
	if _, ok := table.Number(s); ok || s == "true" {
		return ""
	}
	return "!!str"
}

// pairNode is a place, or two sizes, in feet.
func pairNode(p geom.Pt, plan unit.Length) *yaml.Node {
	return &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle,
		Content: []*yaml.Node{scalar(coordText(p.X, plan)), scalar(coordText(p.Y, plan))}}
}

// ringNode is a closed line.
func ringNode(r geom.Ring, plan unit.Length) *yaml.Node {
	n := &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle}
	for _, p := range r {
		n.Content = append(n.Content, pairNode(p, plan))
	}
	return n
}
