package ladder

import (
	"fmt"
	"math"
	"strings"

	"runnel/drainage"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// thin prints a small height.
func (c *climb) thin(in float64) string { return unit.Inches(in).FormatThin(c.Units) }

func (c *climb) long(ft float64) string { return unit.Feet(ft).Format(c.Units) }

func (c *climb) sqft(x float64) string { return unit.SquareFeet(x).Format(c.Units) }

func (c *climb) cuft(x float64) string { return unit.CubicFeet(x).Format(c.Units) }

// at prints a place of the frame in job coordinates, rounded.
func (c *climb) at(p geom.Pt) string {
	q := c.Site.Frame.ToJob(p)
	if c.Units == unit.Metric {
		return fmt.Sprintf("x %.1f m, y %.1f m", unit.Feet(q.X).Metres(), unit.Feet(q.Y).Metres())
	}
	return fmt.Sprintf("x %.1f ft, y %.1f ft", q.X, q.Y)
}

// listed joins names as a sentence does.
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// distFt is how far a place lies from a pond; 0 within it.
func distFt(p drainage.Pond, q geom.Pt) float64 {
	least := math.Inf(1)
	for _, poly := range p.Outline {
		if poly.Has(q) {
			return 0
		}
		least = math.Min(least, poly.Dist(q))
	}
	return least
}

func names(ponds []drainage.Pond) []string {
	var out []string
	for _, p := range ponds {
		out = append(out, p.ID)
	}
	return out
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
