package fit

import (
	"context"
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// How a point cloud is cut into cells. Common practice, no source.
const (
	mostCells    = 18000   // of the roof, about: each gives one shot
	leastCellFt  = 0.5     //
	widestCellFt = 5.0     // for want of points; a larger roof may take wider ones
	pointsACell  = 8.0     // wanted
	mostLattice  = 1000000 // cells of the roof's box
)

// FloorIn is the least standard error that a surface from a point cloud is
// credited with, however many points are averaged: set-ups, targets and the
// instrument shift whole parts of a cloud together. Common practice, no source.
const FloorIn = 1.0 / 8

// DroneFloorIn is the same for a cloud made of photographs from the air: its
// picture elements are 0.75 to 1.26 cm wide in a published study of roofs, and
// the larger is taken.
const DroneFloorIn = 0.5

// CloudOptions say how a point cloud is taken up. The zero value is useful.
type CloudOptions struct {
	FloorIn  float64               // least standard error of the surface, inches; 0: FloorIn
	Units    unit.System           // of the notes
	AxesDeg  *float64              // building axes, as SiteOf takes them
	Progress func(done, total int) // nil: silent
}

// IsCloud says whether an area has a point cloud: one read as such, or a list
// of so many shots that no person with a rod took them.
func IsCloud(a survey.Area) bool {
	return a.Cloud != nil || tooMany(a)
}

// tooMany says whether the shots of an area are too many for a person with a rod.
func tooMany(a survey.Area) bool {
	bare := survey.Area{Outline: a.Outline, Courts: a.Courts}
	return isCloud(len(a.Shots), survey.SiteOf(&bare, nil).RoofArea().SquareFeet())
}

// isCloud says whether n shots on a roof are too many for a person with a rod.
func isCloud(n int, roofSqft float64) bool {
	return n > mostCells || n > survey.LeastCloud && float64(n) > survey.DensestShots*roofSqft
}

// CloudShots makes the point cloud of an area (see IsCloud) into shots: for
// each cell of a raster on the building axes, the median elevation of the
// points on the roof at their mean place. The area returned holds them behind
// its own shots, marked FromCloud, and its cloud no more. What is not roof is
// left out and counted; objects are listed.
//
// What is roof: a cell's level is the lowest at which a good share of its
// points stand together, which passes over people and strays; cells in a row
// whose levels differ by no step make up a surface; the largest is the roof,
// with those that lie about level with it. Then every point near the plane
// through the roof's cells about it counts, and no other: the walls of objects,
// parapet tops, lower ground and strays do not.
//
// Shots that stand beside a cloud check it: see CloudChecks.
//
// The error, a problem, says that no roof was found in the cloud; or the
// context's error. Cost: O(n) for a bounded number of points a cell, on all
// processors; 32 bytes a point beside the cloud. The answer does not depend on
// the number of processors or the order of the points.
func CloudShots(ctx context.Context, a survey.Area, opt CloudOptions) (survey.Area, *CloudReport, error) {
	tell := opt.Progress
	if tell == nil {
		tell = func(int, int) {}
	}
	a = withCloud(a)
	bare := a
	bare.Shots = nil
	site := survey.SiteOf(&bare, opt.AxesDeg)
	r := &CloudReport{File: a.Cloud.File, InFile: max(a.Cloud.InFile, len(a.Cloud.Pts)), FloorIn: opt.FloorIn}
	if r.FloorIn == 0 {
		r.FloorIn = FloorIn
	}
	c, err := sortCloud(ctx, site, a.Cloud, r)
	if err != nil {
		return a, nil, err
	}
	tell(1, cloudSteps)
	for n, step := range []func(){c.flatten, c.levels, c.segments, c.refine, c.measure, c.objects} {
		if err := ctx.Err(); err != nil {
			return a, nil, err
		}
		step()
		tell(n+2, cloudSteps)
	}
	if len(c.found) < 3 {
		return a, nil, problem.Problem{File: r.File, Field: "area", Value: a.Name,
			Why: fmt.Sprintf("of %d points in the cloud %d stand on the area, and they show a roof in %d places; "+
				"a surface takes at least 3", r.InFile, r.OnArea, len(c.found)),
			Mend: "check the unit and the place of the cloud against the outline, or read shots by hand"}
	}
	c.report(site)
	a.Cloud = nil
	shots := c.shots(site)
	a.Shots = append(r.check(a, site, c, shots, opt.Units), shots...)
	tell(cloudSteps, cloudSteps)
	return a, r, nil
}

// cloudSteps is what progress counts.
const cloudSteps = 8

// withCloud is a with a list of shots that is a point cloud put into its cloud.
// Shots that were left out before are not taken.
func withCloud(a survey.Area) survey.Area {
	c := survey.Cloud{}
	if a.Cloud != nil {
		c = *a.Cloud
		if !tooMany(a) {
			return a
		}
	} else if len(a.Shots) > 0 {
		c.File, c.Origin = a.Shots[0].File, a.Outline.Box().Centre()
		c.ZeroFt = a.Shots[len(a.Shots)/2].Elev.Feet()
	}
	pts := make([]survey.CloudPt, 0, len(c.Pts)+len(a.Shots))
	pts = append(pts, c.Pts...)
	for _, s := range a.Shots {
		if s.Left == "" {
			p := s.At.Sub(c.Origin)
			pts = append(pts, survey.CloudPt{X: float32(p.X), Y: float32(p.Y), Z: float32(s.Elev.Feet() - c.ZeroFt)})
		}
	}
	c.InFile, c.Pts = max(c.InFile, len(c.Pts))+len(a.Shots), pts
	a.Cloud, a.Shots = &c, nil
	return a
}

// shots are the cells found, as shots of the area.
func (c *cloudCells) shots(site *survey.Site) []survey.Shot {
	out := make([]survey.Shot, 0, len(c.found))
	for n, f := range c.found {
		out = append(out, survey.Shot{
			ID: fmt.Sprintf("cell %d", n+1), At: site.Frame.ToJob(f.at), File: c.r.File,
			Elev: unit.Inches(f.zIn), FromCloud: true,
		})
	}
	return out
}

// report fills in what the cells tell.
func (c *cloudCells) report(site *survey.Site) {
	r := c.r
	r.Cells, r.CellFt = len(c.found), c.l.CellFt
	r.DensityPerSqFt = float64(r.OnArea) / math.Max(site.RoofArea().SquareFeet(), 1e-9)
	var counts []float64
	for _, f := range c.found {
		r.Used += f.n
		counts = append(counts, float64(f.n))
	}
	r.LeftOut = r.OnArea - r.Used
	r.CellErrorIn = medianLoss * r.NoiseIn / math.Sqrt(median(counts))
	with := make([]bool, c.l.Len())
	for _, f := range c.found {
		with[f.cell] = true
	}
	for k, roof := range survey.RoofCells(site, c.l) {
		if roof && !with[k] {
			r.EmptySqft += c.l.CellFt * c.l.CellFt
		}
	}
	for i := range r.Objects {
		r.Objects[i].At = site.Frame.ToJob(r.Objects[i].At)
	}
}

// medianLoss is the standard error of the median of n normal readings over
// that of their mean: the square root of half pi.
const medianLoss = 1.2533141373155003

// foundCell is the roof in one cell.
type foundCell struct {
	cell int // of the lattice
	at   geom.Pt
	zIn  float64
	n    int // points used
}
