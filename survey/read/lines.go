package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// lines reads the ridges and valleys that the designer draws. The areas must
// have been read.
func (r *jobReader) lines(j *survey.Job, v item) {
	if r.tooMany(v) {
		return
	}
	r.unbuilt(j, v)
	for _, l := range v.list() {
		f, ok := l.fields("line")
		if !ok {
			continue
		}
		line := survey.OwnLine{Kind: ownLineKind(f.get("kind"))}
		at := f.get("at")
		if at.absent {
			at.fault("the line has no places", "write at: [[x, y], [x, y]]")
		}
		line.At, ok = at.polyline()
		switch {
		case ok && !r.meetsRoof(line.At):
			at.fault("the line meets no area", "let it run over the roof")
		case ok:
			r.holdsOnRoof(at, line.At)
			if line.Kind == survey.OwnRidge {
				r.drawn = append(r.drawn, drawn{item: at, what: "ridge", at: line.At})
			}
		}
		j.Lines = append(j.Lines, line)
	}
}

func ownLineKind(v item) survey.OwnLineKind {
	if v.absent {
		v.fault("it is not stated what the line is", "write kind: ridge or kind: valley")
	}
	switch v.word("ridge", "valley") {
	case "ridge":
		return survey.OwnRidge
	case "valley":
		return survey.OwnValley
	}
	return survey.UnsetOwnLine
}

// unbuilt notes what a job without taper has no use for.
func (r *jobReader) unbuilt(j *survey.Job, v item) {
	if !v.absent && j.Taper == nil && len(v.n.Content) > 0 {
		v.note("without taper nothing is designed, and this is not used", "write taper, or take it out")
	}
}

// meetsRoof says whether part of a line lies on an area or along its border; so
// it does where an area has faults of its own.
func (r *jobReader) meetsRoof(line []geom.Pt) bool {
	for _, a := range r.areas {
		if !a.sound {
			return true
		}
		for i, p := range line {
			if a.Outline.Dist(p) < nearFt || i > 0 && crosses(a.Outline, line[i-1], p) {
				return true
			}
		}
	}
	return len(r.areas) == 0
}

// regions reads the parts that are designed by themselves. The areas must have
// been read.
func (r *jobReader) regions(j *survey.Job, v item) {
	if r.tooMany(v) {
		return
	}
	r.unbuilt(j, v)
	for i, g := range v.list() {
		f, ok := g.fields("region")
		if !ok {
			continue
		}
		reg := survey.Region{Scheme: regionScheme(f.get("scheme")), Slope: ruleSlope(f.get("slope"))}
		outline := f.get("outline")
		if outline.absent {
			outline.fault("the region has no outline", "write outline: [[x, y], ...]")
		}
		if reg.Outline, ok = outline.ring(); ok && r.simple(outline, "outline of the region", reg.Outline) {
			r.regionLies(j, outline, i, reg.Outline)
			r.drawn = append(r.drawn, drawn{item: outline, what: "border of the region", at: append(reg.Outline[:len(reg.Outline):len(reg.Outline)], reg.Outline[0])})
		} else {
			reg.Outline = nil
		}
		j.Regions = append(j.Regions, reg)
	}
}

func regionScheme(v item) survey.Scheme {
	return schemes[v.word("four-way", "one-way", "two-way-crickets", "crickets-only", "eight-way")]
}

// regionLies holds region i to lie on an area and off the regions before it.
func (r *jobReader) regionLies(j *survey.Job, v item, i int, ring geom.Ring) {
	known, on := len(r.areas) > 0, 0.0
	for _, a := range r.areas {
		sqft, ok := 0.0, a.sound
		if ok {
			sqft, ok = v.overlap(ring, a.poly(), "area "+a.Name)
		}
		known, on = known && ok, on+sqft
	}
	if known && on <= leastOverlapSqft {
		v.fault("the region lies on no area", "mend its coordinates, or take it out")
	}
	for k, other := range j.Regions {
		if len(other.Outline) == 0 {
			continue // its own fault is told
		}
		name := fmt.Sprintf("region %d", k)
		if sqft, _ := v.overlap(ring, geom.Poly{Outer: other.Outline.CCW()}, name); sqft > leastOverlapSqft {
			v.fault(fmt.Sprintf("regions %d and %d overlap by %s", k, i, unit.SquareFeet(sqft).Format(r.units)), "draw the border between them once")
		}
	}
}

// leastOverlapSqft is more than a border drawn twice can explain.
const leastOverlapSqft = 1

// overlap is how much of a ring lies on p, in square feet, and whether that can
// be reckoned.
func (v item) overlap(ring geom.Ring, p geom.Poly, name string) (sqft float64, ok bool) {
	if !p.Outer.Box().Overlaps(ring.Box()) {
		return 0, true
	}
	parts, err := geom.Intersect(geom.Poly{Outer: ring.CCW()}, p)
	if err != nil {
		v.fault("its overlap with "+name+" cannot be reckoned: "+err.Error(), "draw it with fewer vertices")
	}
	for _, q := range parts {
		sqft += q.Area()
	}
	return sqft, err == nil
}

// roofLines reads lines of an area, such as the breaklines of its deck.
func (r *jobReader) roofLines(a *areaRead, v item, what string) (out [][]geom.Pt) {
	if r.tooMany(v) {
		return nil
	}
	for _, l := range v.list() {
		line, ok := l.polyline()
		if ok && what == "joint" {
			r.drawn = append(r.drawn, drawn{item: l, what: what, at: line, area: a})
		}
		for i := range line {
			if ok {
				a.holdsPlace(l.list()[i], what, line[i])
			}
		}
		out = append(out, line)
	}
	return out
}

// holdsPlace refuses a place of an area's item outside the box of its outline.
func (a *areaRead) holdsPlace(v item, what string, p geom.Pt) {
	if len(a.Outline) > 0 && boxDist(a.Outline.Box(), p) > nearFt {
		v.fault(fmt.Sprintf("the %s leaves area %s at %s", what, a.Name, v.r.place(p)),
			"end it at the outline, or write it under the area it lies on")
	}
}

// crickets reads crickets that the designer places.
func (r *jobReader) crickets(a *areaRead, v item) {
	if r.tooMany(v) {
		return
	}
	a.OwnCrickets = !v.absent
	for _, c := range v.list() {
		if f, ok := c.fields("own cricket"); ok {
			a.Crickets = append(a.Crickets, r.cricketPlace(a, f))
		}
	}
}

// leastCricketFt is the shortest line that a cricket may stand on.
const leastCricketFt = 1

func (r *jobReader) cricketPlace(a *areaRead, f fields) survey.CricketPlace {
	var c survey.CricketPlace
	from, to := f.get("from"), f.get("to")
	for _, end := range []item{from, to} {
		if end.absent {
			end.fault("the cricket's line has but one end", "write from: [x, y] and to: [x, y]")
		}
	}
	var okFrom, okTo bool
	if c.From, okFrom = from.pair(); okFrom {
		a.holdsPlace(from, "cricket", c.From)
	}
	if c.To, okTo = to.pair(); okTo {
		a.holdsPlace(to, "cricket", c.To)
	}
	if far := c.From.Dist(c.To); okFrom && okTo && far < leastCricketFt {
		f.fault(fmt.Sprintf("the ends of the cricket's line lie %s apart", unit.Feet(far).FormatThin(r.units)),
			"draw it from one way out of the water to another, or to a wall")
	}
	c.Width, _ = f.get("width").positive(r.plan, false)
	switch f.get("on").word("both", "left", "right") {
	case "left":
		c.On = survey.OnLeft
	case "right":
		c.On = survey.OnRight
	}
	c.Board = ruleSlope(f.get("board"))
	return c
}
