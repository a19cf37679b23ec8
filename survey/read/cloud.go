package read

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// What makes a list a point cloud, and what of one is kept.
const (
	leastCloud  = survey.LeastCloud
	cloudNearFt = 0.5        // points this far off the roof are kept
	mostPoints  = 10_000_000 // of a file
	noiseClass  = 7          // low points, by the LAS specification
	mostWork    = 20e9       // stretches of outlines that one file is compared with
)

// cloudFile sorts the points of one file to the areas.
type cloudFile struct {
	of    *shotFile
	lay   *layout         // nil: points are counted only
	parts []*survey.Cloud // beside the areas; nil where no point lies
	off   int             // points on no area
	loose map[string]int  // points whose area column names none, by its words
	box   [3][2]float64   // of all points, feet
	n     int
	work  float64
}

// take takes one point, in job feet; false ends the reading.
func (c *cloudFile) take(at geom.Pt, zFt float64, area string) bool {
	if c.n++; c.n > mostPoints {
		c.of.fault("the file holds more than 10,000,000 points", "cut it to the roof, or thin it")
		return false
	}
	for i, v := range [3]float64{at.X, at.Y, zFt} {
		if c.n == 1 {
			c.box[i] = [2]float64{v, v}
		}
		c.box[i] = [2]float64{min(c.box[i][0], v), max(c.box[i][1], v)}
	}
	if c.lay == nil {
		return true
	}
	if c.work += c.lay.costNear(at); c.work > mostWork {
		c.of.fault("the outlines are too ragged to sort so many points to them", "draw them with fewer vertices, or thin the cloud")
		return false
	}
	if area != "" && !c.lay.has(area) {
		c.strange(area)
		return true
	}
	k := c.lay.cloudArea(at, area)
	if k < 0 {
		c.off++
		return true
	}
	if c.parts[k] == nil {
		c.parts[k] = newCloud(c.of.file, c.lay.areas[k], zFt)
	}
	p := c.parts[k]
	p.Pts = append(p.Pts, survey.CloudPt{X: float32(at.X - p.Origin.X), Y: float32(at.Y - p.Origin.Y),
		Z: float32(zFt - p.ZeroFt)})
	return true
}

// strange counts a point whose area column names no area of the job.
func (c *cloudFile) strange(area string) {
	if c.loose == nil {
		c.loose = map[string]int{}
	}
	if _, known := c.loose[area]; !known && len(c.loose) >= told {
		area = "other names"
	}
	c.loose[strings.Clone(area)]++
}

// newCloud is an empty cloud about the middle of an area and, to the foot, its
// first point.
func newCloud(file string, a *areaRead, zFt float64) *survey.Cloud {
	return &survey.Cloud{File: file, Origin: a.Outline.Box().Centre(), ZeroFt: math.Floor(zFt)}
}

// layCloud gives each area its part of the cloud and says what was left out; small
// prints a length.
func (s *shotFile) layCloud(small func(unit.Length) string) {
	c := s.cloud
	if c.lay == nil || c.n == 0 || s.out.Faults > 0 {
		return
	}
	kept := 0
	for k, p := range c.parts {
		if p == nil {
			continue
		}
		kept += len(p.Pts)
		p.InFile = c.n
		a := c.lay.areas[k]
		if a.Cloud == nil {
			p.Pts = slices.Clip(p.Pts)
			a.Cloud = p
			continue
		}
		joinClouds(a.Cloud, p)
	}
	for _, name := range slices.Sorted(maps.Keys(c.loose)) {
		s.note(fmt.Sprintf("%d points name the area %q, which the job has not, and are left out", c.loose[name], problem.Clip(name)),
			"write the name of an area")
	}
	if kept == 0 {
		s.fault(fmt.Sprintf("none of its %d points lies on an area: x runs from %.1f to %.1f ft, y from %.1f to %.1f ft; the outlines reach %s",
			c.n, c.box[0][0], c.box[0][1], c.box[1][0], c.box[1][1], c.lay.reach()),
			"check the units, and that outline and points are in one coordinate frame")
		return
	}
	s.note(fmt.Sprintf("a point cloud: %d of its %d points lie on the roof and are kept; %d lie more than %s off it",
		kept, c.n, c.off, small(unit.Feet(cloudNearFt))), "nothing to do")
}

// joinClouds adds the points of b to a.
func joinClouds(a, b *survey.Cloud) {
	dz := b.ZeroFt - a.ZeroFt
	for _, p := range b.Pts {
		a.Pts = append(a.Pts, survey.CloudPt{X: p.X, Y: p.Y, Z: float32(float64(p.Z) + dz)})
	}
	a.File += ", " + b.File
	a.InFile += b.InFile
}

// lasFile reads a point cloud in a stream, all classes but noise.
func (r *jobReader) lasFile(s *shotFile, in io.Reader) {
	plan, up, ok := s.unitsOf(r.plan, bare.Unstated)
	if !ok {
		return
	}
	s.toCloud()
	noise, far := 0, 0
	errEnough := errors.New("enough")
	count, err := bare.ScanLAS(in, func(x, y, z float64, class uint8) error {
		at, zFt := geom.Pt{X: ftOf(x, plan), Y: ftOf(y, plan)}, ftOf(z, up)
		switch {
		case class == noiseClass:
			noise++
		case !within(at, zFt):
			far++
		case !s.cloud.take(at, zFt, ""):
			return errEnough
		}
		return nil
	})
	s.seen = s.cloud.n
	var p problem.Problem
	switch {
	case errors.As(err, &p):
		p.File = s.file
		s.out.Add(p)
	case err != nil && !errors.Is(err, errEnough):
		why, mend := table.FileTrouble(err)
		s.fault(why, mend)
	case s.seen == 0:
		s.fault("the point cloud holds no points that can be used", "export it anew")
	}
	s.cloud.tell(count, noise, far)
	s.cloud.n = count.Read
}

// tell notes the points that were passed over.
func (c *cloudFile) tell(count bare.Scanned, noise, far int) {
	for _, left := range []struct {
		n   int
		why string
	}{
		{noise, "are of class 7 (noise)"},
		{count.Withheld, "are marked as withheld"},
		{count.Far + far, "lie further out than coordinates may"},
	} {
		if left.n > 0 {
			c.of.note(fmt.Sprintf("%d points %s and are left out", left.n, left.why), "nothing to do")
		}
	}
}

// unitsOf settles what plain numbers of a file measure, in plan and upward: in
// what the file states; else in the job's plan unit and the survey's unit.
func (s *shotFile) unitsOf(jobPlan unit.Length, states bare.Unit) (plan, up unit.Length, ok bool) {
	book := s.opt.Book
	if one := lengthOf(states); one != 0 {
		if b := book.One(); b != 0 && b != one || book == table.BookFeetInches && states != bare.Feet {
			s.fault(fmt.Sprintf("the file states %s and survey.unit says %s", unitWords(one), book),
				"mend survey.unit; or take it out, and write units into the header of text lists (z_ft) and beside elevations")
			return 0, 0, false
		}
		return one, one, true
	}
	if up = book.One(); up == 0 {
		s.fault("the file states no length unit, so its elevations cannot be read",
			"write survey.unit: ft, us-ft, in, m or mm")
		return 0, 0, false
	}
	s.note(fmt.Sprintf("the file states no length unit: x and y are taken as %s (the job's plan unit), elevations as %s (survey.unit)",
		unitWords(jobPlan), book), "write job.plan or survey.unit if that is wrong")
	return jobPlan, up, true
}

// lengthOf is one of a stated unit; 0 where none is stated.
func lengthOf(u bare.Unit) unit.Length {
	if u == bare.Unstated {
		return 0
	}
	return u.Length()
}

func unitWords(one unit.Length) string {
	switch one {
	case unit.Metre:
		return "metres"
	case unit.Millimetre:
		return "millimetres"
	case unit.SurveyFoot:
		return "US survey feet"
	case unit.Inch:
		return "inches"
	}
	return "feet"
}
