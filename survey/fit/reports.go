package fit

import (
	"fmt"
	"math"

	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// CloudReport says how a point cloud became a roof surface.
type CloudReport struct {
	File           string
	InFile, OnArea int // points
	Used           int // points behind the medians
	LeftOut        int // points on the area that are not used: the sum of the next five
	Above, Below   int // of them, on objects, people and parapets; strays and lower ground
	NearEdge       int // within 1/4 ft of outline, court or curb, where walls stand
	Loose          int // in cells with too few points on the roof
	NoNumber       int // without a place or an elevation; not counted on the area
	Cells          int // medians kept as shots
	CellFt         float64
	DensityPerSqFt float64 // of the points on the area
	NoiseIn        float64 // one standard deviation of a point about planes 2 m wide, inches
	CellErrorIn    float64 // one standard error of a median from the noise alone, inches
	FloorIn        float64 // what no averaging takes away, one standard error, inches
	EmptySqft      float64 // of the roof in cells without a median
	Objects        []CloudObject
	Checks         CloudChecks
	Notes          problem.List // shots beside the cloud that were left out
}

// CloudObject is a thing on the roof that is not roof.
type CloudObject struct {
	At     geom.Pt // job feet, its middle
	Sqft   float64
	HighIn float64 // of its top above the roof about it: 95 of 100 points on it are lower
	AtEdge bool    // it runs along outline, court or curb: a parapet, a wall
}

// CloudChecks says how shots read on the roof agree with the cloud beside them.
type CloudChecks struct {
	Compared  int     // shots with the cloud's roof about them
	OffsetIn  float64 // median of shot less cloud, inches
	ScatterIn float64 // one standard deviation of the rest, robust, inches; 0 for one shot
	Shifted   bool    // the cloud was shifted by the offset
	LeftOut   int     // shots that disagree with it; each has a note
}

// Words are sentences on the cloud for a report.
func (r *CloudReport) Words(sys unit.System) []string {
	thin := func(in float64) string { return unit.Inches(in).FormatThin(sys) }
	fine := func(in float64) string { return unit.Inches(in).FormatError(sys) }
	out := []string{
		fmt.Sprintf("point cloud %s: %d points, %d on the area (%s), %d used: the medians of %d cells of %s",
			r.File, r.InFile, r.OnArea, density(r.DensityPerSqFt, sys), r.Used, r.Cells,
			unit.Feet(r.CellFt).FormatThin(sys)),
		fmt.Sprintf("one point scatters by %s about the roof, a median by %s; the surface, smoothed over many, is held no "+
			"better than %s, since whole parts of a cloud can be shifted or bent", fine(r.NoiseIn), fine(r.CellErrorIn), fine(r.FloorIn)),
		fmt.Sprintf("left out: %d points above the roof (objects, people, parapets), %d below (strays, lower ground), "+
			"%d within %s of an outline, court or curb, %d in cells with too few; %s", r.Above, r.Below, r.NearEdge,
			thin(12*looseFt), r.Loose, r.objectWords()),
	}
	if r.EmptySqft > 0 {
		out = append(out, fmt.Sprintf("%s of the roof lies in cells with too few points or none, and is told by the cells about it as far as they speak", unit.SquareFeet(r.EmptySqft).Format(sys)))
	}
	if r.NoiseIn > gravelIn {
		out = append(out, "so much scatter is gravel or a poor cloud; on gravel the surface is that of the stones, "+
			"not of the membrane")
	}
	if r.DensityPerSqFt*widestCellFt*widestCellFt < pointsACell {
		out = append(out, fmt.Sprintf("the cloud is thin: dishes narrower than %s cannot be seen",
			unit.Feet(2*r.CellFt).FormatThin(sys)))
	}
	return append(out, r.Checks.words(sys))
}

// gravelIn is the scatter of single points over which a roof is gravel or the
// cloud poor. Airborne laser points of two smooth roofs scatter by 0.5 and 0.9
// in. Common practice, no source.
const gravelIn = 1.0

func density(perSqFt float64, sys unit.System) string {
	if sys == unit.Metric {
		return threeFigures(perSqFt*10.763910416709722) + " a square metre"
	}
	return threeFigures(perSqFt) + " a square foot"
}

// threeFigures prints a density to three figures, without an exponent.
func threeFigures(x float64) string {
	if x >= 100 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.3g", x)
}

func (r *CloudReport) objectWords() string {
	edge := 0
	for _, o := range r.Objects {
		if o.AtEdge {
			edge++
		}
	}
	if n := len(r.Objects) - edge; n != 1 {
		return fmt.Sprintf("%d objects stand on it and %d along its edges", n, edge)
	}
	return fmt.Sprintf("1 object stands on it and %d along its edges", edge)
}

func (c CloudChecks) words(sys unit.System) string {
	if c.Compared == 0 {
		return "no shot was read on the roof beside the cloud: read at least 5, drains and far corners among them, " +
			"before anything is ordered; a cloud from photographs can be bent by more than the slope in question"
	}
	side := "above"
	if c.OffsetIn < 0 {
		side = "below"
	}
	s := fmt.Sprintf("%s %s %s the cloud in the middle", problem.Count(c.Compared, "shot read on the roof stands", "shots read on the roof stand"),
		unit.Inches(math.Abs(c.OffsetIn)).FormatThin(sys), side)
	if c.Compared > 1 {
		s += fmt.Sprintf(" and scatter by %s", unit.Inches(c.ScatterIn).FormatError(sys))
	}
	switch {
	case c.Shifted:
		s += "; the cloud was shifted to them"
	case c.Compared < leastChecks:
		s += fmt.Sprintf("; too few to shift it by: read at least %d", leastChecks)
	default:
		s += "; it was left where it is"
	}
	if c.LeftOut > 0 {
		s += fmt.Sprintf("; %d that disagree were left out", c.LeftOut)
	}
	return s
}

// Check says which law of the report r breaks, nil when none: counts that add
// up, measures that are not negative.
func (r *CloudReport) Check() error {
	if r.Used+r.LeftOut != r.OnArea || r.Above+r.Below+r.NearEdge+r.Loose != r.LeftOut {
		return fmt.Errorf("%d points on the area, %d used, %d left out: %d above, %d below, %d near an edge, %d loose",
			r.OnArea, r.Used, r.LeftOut, r.Above, r.Below, r.NearEdge, r.Loose)
	}
	if r.OnArea+r.NoNumber > r.InFile || r.Used < r.Cells {
		return fmt.Errorf("%d points on the area of %d in the file; %d used in %d cells", r.OnArea, r.InFile, r.Used,
			r.Cells)
	}
	for _, v := range []float64{r.CellFt, r.DensityPerSqFt, r.NoiseIn, r.CellErrorIn, r.FloorIn, r.EmptySqft,
		r.Checks.ScatterIn} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("a measure of the cloud is %v", v)
		}
	}
	for _, o := range r.Objects {
		if !(o.Sqft > 0) || math.IsNaN(o.HighIn+o.At.X+o.At.Y) {
			return fmt.Errorf("object %+v", o)
		}
	}
	return nil
}
