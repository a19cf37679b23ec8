package render

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
)

// WriteGeoJSON writes everything in plan as a GeoJSON feature collection, a
// feature a line, in job coordinates (feet). Outer rings run
// counter-clockwise, holes clockwise.
//
// Places are rounded to 1e-9 ft, figures to nine digits; planes of thickness
// and elevations of shots carry all digits. What does not apply is null. Of an
// area without a survey nothing is written that an assumed deck would show:
// no existing ponds, paths, contours or drainage areas.
//
// Source: IETF RFC 7946, The GeoJSON Format (2016); coordinates are plan feet
// and not degrees, so the file is for tools that take plane coordinates.
func WriteGeoJSON(w io.Writer, r *Result) error {
	p := &planWriter{out: bufio.NewWriter(w), say: say{r.Job.Units}}
	p.raw(`{"type":"FeatureCollection"`)
	for i := range r.Areas {
		if r.Areas[i].assumed() != "" {
			p.raw(`,"note":"` + assumedDeck + `"`)
			break
		}
	}
	p.raw(`,"features":[`)
	for i := range r.Areas {
		p.area(&r.Areas[i])
	}
	p.raw("\n]}\n")
	if p.err == nil {
		p.err = p.out.Flush()
	}
	if p.err != nil {
		return fmt.Errorf("write plan: %w", p.err)
	}
	return nil
}

// planWriter writes features; after the first error it writes nothing more.
type planWriter struct {
	out     *bufio.Writer
	say     say
	started bool
	err     error
	name    string     // of the area at hand
	frame   geom.Frame // of the area at hand
}

func (p *planWriter) raw(s string) {
	if p.err == nil {
		_, p.err = p.out.WriteString(s)
	}
}

// feature writes one feature of the area at hand; more are its properties
// beside kind, area and id.
func (p *planWriter) feature(kind, id string, g shape, more ...prop) {
	all := append(props{{"kind", kind}, {"area", p.name}, {"id", id}}, more...)
	line, err := json.Marshal(struct {
		Type       string `json:"type"`
		Geometry   shape  `json:"geometry"`
		Properties props  `json:"properties"`
	}{"Feature", g, all})
	if err != nil && p.err == nil {
		p.err = fmt.Errorf("%s %s of area %s: %w", kind, id, p.name, err)
	}
	if p.started {
		p.raw(",")
	}
	p.started = true
	p.raw("\n" + string(line))
}

func (p *planWriter) area(a *AreaResult) {
	p.name, p.frame = a.Area.Name, a.Site.Frame
	p.roof(a)
	if a.Existing != nil && a.Fit != nil {
		p.water("existing", a.Existing)
	}
	if a.Proof != nil && a.Proof.Report != nil {
		p.water("finished", a.Proof.Report)
	}
	if a.Design != nil {
		p.design(a.Site, a.Design)
	}
	p.proposals(a)
}

// roof writes what the job says of the area.
func (p *planWriter) roof(a *AreaResult) {
	p.feature("outline", p.name, polygonOf(geom.Poly{Outer: a.Area.Outline}),
		prop{"roof_sqft", figure(a.Site.RoofArea().SquareFeet())})
	for n, c := range a.Area.Courts {
		p.feature("court", p.name+"-court-"+strconv.Itoa(n), polygonOf(geom.Poly{Outer: c}))
	}
	for n, v := range a.Area.Outline {
		e := survey.Edge{}
		if n < len(a.Area.Edges) {
			e = a.Area.Edges[n]
		}
		p.feature("edge", p.name+"-"+strconv.Itoa(n), lineOf(v, a.Area.Outline.At(n+1)),
			append(props{{"edge", n}, {"edge_kind", e.Kind.String()}}, heightProps("height_in", e.Height)...)...)
	}
	for n := range a.Site.Outlets {
		p.outlet(&a.Site.Outlets[n])
	}
	for n, c := range a.Area.Curbs {
		ring := a.Site.Curbs[n].Map(p.frame.ToJob)
		p.feature("curb", c.ID, polygonOf(geom.Poly{Outer: ring}), heightProps("height_in", c.Height)...)
	}
	for _, s := range a.Area.Shots {
		more := props{{"elevation_ft", s.Elev.Feet()}, {"code", s.Code}, {"used", s.Left == ""}}
		if s.Left != "" {
			more = append(more, prop{"left_out", s.Left})
		}
		p.feature("shot", s.ID, pointOf(s.At), more...)
	}
}

func heightProps(key string, h survey.Height) props {
	if !h.Stated() {
		return nil
	}
	return props{{key, figure(h.Value.Inches())}, {"above", h.Above.String()}}
}

func (p *planWriter) outlet(o *survey.SiteOutlet) {
	g := pointOf(p.frame.ToJob(o.P))
	more := props{{"outlet_kind", o.Kind.String()}, {"overflow", o.Overflow}}
	if !o.Unstated {
		more = append(more, prop{"state", o.State.String()})
	}
	switch o.Kind {
	case survey.Drain:
		more = append(more, prop{"size_in", stated(o.Size.Inches())})
	case survey.Scupper:
		more = append(more, prop{"width_in", stated(o.Width.Inches())},
			prop{"opening_in", stated(o.Opening.Inches())})
	case survey.GutterOutlet, survey.OpenOutlet:
		g = lineOf(p.frame.ToJob(o.A), p.frame.ToJob(o.B))
	}
	p.feature("outlet", o.ID, g, append(more, heightProps("inlet_in", o.Inlet)...)...)
}

// stated is a size, or null where the job does not give it.
func stated(x float64) any {
	if x == 0 {
		return nil
	}
	return figure(x)
}

// water writes what a drainage check found on the named surface.
func (p *planWriter) water(surface string, r *drainage.Report) {
	p.contours(surface, r.Surface)
	for _, pond := range r.Ponds {
		p.feature("pond", pond.ID, p.regions(pond.Outline),
			prop{"surface", surface}, prop{"area_sqft", figure(pond.SqFt)},
			prop{"max_depth_in", figure(pond.DepthIn)}, prop{"volume_cuft", figure(pond.CuFt)},
			prop{"spills_to", named(pond.SpillsTo)}, prop{"spill_elevation_ft", figure(pond.SpillIn / 12)},
			prop{"overflow", pond.Overflow}, prop{"misses", named(pond.Misses)},
			prop{"cause", pond.Cause.String()}, prop{"weight_lb", figure(pond.WeightLb())}, prop{"load_psf", figure(pond.LoadPsf())})
	}
	for n := range r.Paths {
		p.path(surface, &r.Paths[n])
	}
	for _, v := range r.Valleys {
		way := make([]geom.Pt, len(v.Points))
		for i, q := range v.Points {
			way[i] = p.frame.ToJob(q)
		}
		p.feature("valley", v.ID, lineOf(way...), prop{"surface", surface},
			prop{"length_ft", figure(v.LengthFt)}, prop{"drop_in", figure(v.DropIn)},
			prop{"mean_in_per_ft", figure(v.Mean.InchesPerFoot())}, prop{"least_in_per_ft", figure(v.Least.InchesPerFoot())},
			prop{"verdict", v.Verdict.String()}, prop{"ends_at", named(v.EndsAt)}, prop{"at_wall", v.AtWall})
	}
	for _, d := range r.Areas {
		if len(d.Regions) > 0 {
			p.feature("drainage-area", d.Outlet, p.regions(d.Regions),
				prop{"surface", surface}, prop{"area_sqft", figure(d.SqFt)})
		}
	}
}

// path writes the way of the water from one place; a way without length, from
// a place at an outlet, is no line and is left out.
func (p *planWriter) path(surface string, path *drainage.Path) {
	if path.LengthFt == 0 || len(path.Points) < 2 {
		return
	}
	way := make([]geom.Pt, len(path.Points))
	for i, q := range path.Points {
		way[i] = p.frame.ToJob(q)
	}
	field, valley := path.LeastField.InchesPerFoot(), path.LeastValley.InchesPerFoot()
	p.feature("path", path.ID, lineOf(way...),
		prop{"surface", surface}, prop{"length_ft", figure(path.LengthFt)},
		prop{"drop_in", figure(path.DropIn)}, prop{"mean_in_per_ft", figure(path.Mean.InchesPerFoot())},
		prop{"least_in_per_ft", slopeThere(lesserSlope(field, valley))},
		prop{"least_field_in_per_ft", slopeThere(field)},
		prop{"least_valley_in_per_ft", slopeThere(valley)},
		prop{"verdict", path.Verdict.String()}, prop{"ends_at", named(path.EndsAt)})
}

// lesserSlope is the lesser of two slopes, of which -1 stands for none.
func lesserSlope(a, b float64) float64 {
	if a < 0 || b < 0 {
		return math.Max(a, b)
	}
	return math.Min(a, b)
}

// slopeThere is a slope, or null where there is none.
func slopeThere(inPerFt float64) any {
	if inPerFt < 0 {
		return nil
	}
	return figure(inPerFt)
}

// named is a name, or null where there is none.
func named(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// mostContours is about how many contour lines a surface gets.
const mostContours = 20

// contours writes level lines of a surface at whole steps of elevation.
func (p *planWriter) contours(surface string, surf *survey.Surface) {
	if surf == nil {
		return
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for k, z := range surf.ElevIn {
		if surf.Roof[k] && surf.IsKnown(k) {
			lo, hi = math.Min(lo, z), math.Max(hi, z)
		}
	}
	for n, l := range ContourLines(surf, levelsBetween(lo, hi, 0, p.say.contourStep(hi-lo, mostContours))) {
		pts := l.Pts
		if l.Closed && len(pts) > 0 {
			pts = append(pts[:len(pts):len(pts)], pts[0])
		}
		if len(pts) < 2 {
			continue
		}
		way := make([]geom.Pt, len(pts))
		for i, q := range pts {
			way[i] = p.frame.ToJob(q)
		}
		p.feature("contour", surface+"-"+strconv.Itoa(n+1), lineOf(way...),
			prop{"surface", surface}, prop{"elevation_ft", figure(l.LevelIn / 12)})
	}
}
