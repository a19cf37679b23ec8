package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// The figures that fastening can have; beyond, a unit is wrong. Common practice,
// no source.
const (
	mostScrews   = 200              // in one board
	mostScrewIn  = 60 * unit.Inch   // long
	leastStep    = unit.Inch / 8    // between lengths
	mostHeight   = 3000 * unit.Foot // of a roof above ground
	leastBead    = unit.Inch        // between beads
	mostBead     = 4 * unit.Foot    // between beads
	mostLengths  = 100              // of screws
	mostPlates   = 12               // lines in a board
	mostPlateOff = 16 * unit.Foot   // from the thin edge
)

// fastening reads how boards are held down. Nothing is taken for granted but the
// steps that screws come in.
func (r *jobReader) fastening(j *survey.Job, v item) {
	f, ok := v.fields("fastening")
	if !ok {
		return
	}
	c := &survey.Fastening{}
	j.Fastening = c
	at := f.get("attach")
	switch at.word("screws", "base-screws", "adhesive") {
	case "screws":
		c.Attach = survey.Screws
	case "base-screws":
		c.Attach = survey.BaseScrews
	case "adhesive":
		c.Attach = survey.Adhesive
	default:
		if at.absent {
			at.fault("it is not stated what holds the boards", "write attach: screws, base-screws (screws through the base, "+
				"adhesive from there up) or adhesive")
		}
		return
	}
	r.needless(f, c.Attach)
	c.GluedCover = f.get("cover").word("screwed", "glued") == "glued"
	c.Embed = f.get("embed").within(0, mostScrewIn)
	c.Room = f.get("room").within(0, mostScrewIn)
	r.screwLengths(c, f)
	c.Plates = growing(f.get("plates"), mostPlates, mostPlateOff, "plates: [1 ft, 3 ft], from the thin edge of a board")
	r.zoneChoice(c, f.get("zones"))
	r.screwCount(c, f)
	c.Beads = byZone(f.get("beads"), func(v item) unit.Length { return v.within(leastBead, mostBead) })
	c.Kit = f.get("kit").within(0, 1e6*unit.Foot)
	r.everyZone(c, f)
}

// needless refuses keys that say nothing where boards are held in this way.
func (r *jobReader) needless(f fields, a survey.Attach) {
	refuse := func(why string, keys ...string) {
		for _, k := range keys {
			if v := f.get(k); !v.absent {
				v.fault(why, "take "+k+" out, or mend attach")
			}
		}
	}
	switch a {
	case survey.Adhesive:
		refuse("adhesive alone holds the boards, and this is of screws", "cover", "embed", "room", "step", "lengths", "plates", "per_board",
			"area_each", "pressure", "screw")
	case survey.BaseScrews:
		refuse("a base is as thick everywhere, and the cover is glued on", "cover", "plates")
	case survey.Screws:
		if f.get("cover").absent || f.get("cover").n.Value != "glued" {
			refuse("no adhesive holds these boards", "beads", "kit")
		}
	case survey.UnsetAttach:
	}
}

// within reads a length of more than 0 that is not less than least nor more than most; 0
// where it is absent or no such length.
func (v item) within(least, most unit.Length) unit.Length {
	l, ok := v.positive(0, false)
	if ok && (l < least || l > most) {
		v.fault(fmt.Sprintf("a length from %s to %s was expected", least.Format(v.r.units), most.Format(v.r.units)), "mend the length or its unit")
		return 0
	}
	return l
}

// screwLengths reads the lengths that screws come in. Steps of 1 in, in metric jobs
// 10 mm: common practice, no source.
func (r *jobReader) screwLengths(c *survey.Fastening, f fields) {
	step, list := f.get("step"), f.get("lengths")
	c.Lengths = growing(list, mostLengths, mostScrewIn, "lengths: [6 in, 7 in, 8 in]")
	c.Step = step.within(leastStep, mostScrewIn)
	switch {
	case !step.absent && !list.absent:
		step.fault("screws come in steps or in the lengths listed", "keep one of step and lengths")
	case c.Attach != survey.Adhesive && step.absent && list.absent:
		c.Step = unit.Inch
		if r.units == unit.Metric {
			c.Step = unit.Millimetres(10)
		}
		step.note("the lengths that screws come in are not stated; steps of "+r.say("1 in", "10 mm")+" are taken, as is common practice",
			"write "+r.say("step: 1 in, or lengths: [6 in, 7 in, 8 in]", "step: 10 mm, or lengths: [160 mm, 180 mm, 200 mm]"))
	}
}

// growing reads a list of lengths, each more than the one before.
func growing(v item, count int, most unit.Length, such string) []unit.Length {
	if v.absent {
		return nil
	}
	rows := v.list()
	if len(rows) == 0 || len(rows) > count {
		v.fault(fmt.Sprintf("a list of 1 to %d lengths was expected", count), "write "+such)
		return nil
	}
	var out []unit.Length
	for _, row := range rows {
		l := row.within(0, most)
		if n := len(out); l > 0 && n > 0 && l <= out[n-1] {
			row.fault("a length must be more than the one before it", "write the lengths by size, each once")
			continue
		}
		out = append(out, l)
	}
	return out
}

// byZone reads a value for each zone; one value alone stands for the field.
func byZone[T any](v item, read func(v item) T) (out survey.ByZone[T]) {
	if !v.absent && v.n.Kind == yaml.ScalarNode {
		out.Field = read(v)
		return out
	}
	f, ok := v.fields("by zone")
	if !ok {
		return out
	}
	for _, z := range survey.Zones() {
		if at := f.get(z.String()); !at.absent {
			*out.Of(z) = read(at)
		}
	}
	if at := f.get("field"); at.absent {
		at.fault("the value of the field is missing", "write field: and its value")
	}
	return out
}

// zoneChoice reads how zones are drawn.
func (r *jobReader) zoneChoice(c *survey.Fastening, v item) {
	f, ok := v.fields("zones")
	if !ok {
		return
	}
	by, height, width := f.get("by"), f.get("height"), f.get("width")
	switch by.word("least-width", "height") {
	case "least-width":
		c.Zones.By = survey.ZonesByWidth
	case "height":
		c.Zones.By = survey.ZonesByHeight
		if !width.absent {
			width.fault("zones by height do not look at the width", "take it out, or write by: least-width")
		}
	default:
		if by.absent {
			by.fault("it is not stated by what rule zones are drawn", "write by: least-width (older editions) or by: height (newer ones)")
		}
	}
	if height.absent {
		height.fault("zones need the height of the roof above ground", "write height: "+r.say("20 ft", "6 m"))
	}
	c.Zones.Height, c.Zones.Width = height.within(0, mostHeight), width.within(0, mostHeight)
}

// screwCount reads what fixes the number of screws.
func (r *jobReader) screwCount(c *survey.Fastening, f fields) {
	board, each, lift, screw := f.get("per_board"), f.get("area_each"), f.get("pressure"), f.get("screw")
	stated := 0
	for _, v := range []item{board, each, lift} {
		if v.absent {
			continue
		}
		if stated++; stated > 1 {
			v.fault("the number of screws is stated in two ways", "keep one of per_board, area_each and pressure")
		}
	}
	c.PerBoard = byZone(board, func(v item) int { return v.screws(fieldOf(board)) })
	c.AreaEach = byZone(each, func(v item) unit.Area {
		a, ok := v.area()
		if ok && a.SquareFeet() < 0.05 {
			v.fault("a screw for each 0.05 sq ft (0.005 m2) or less is no pattern", "write the area that one screw has, such as "+r.say("4 sq ft", "0.4 m2"))
		}
		return a
	})
	c.Pressure = byZone(lift, func(v item) unit.Load { return parsed(v, unit.ParseLoad) })
	c.Screw = parsed(screw, unit.ParseForce)
	switch {
	case !lift.absent && screw.absent:
		screw.fault("it is not stated what one screw may hold", "write screw: "+r.say("360 lb", "1.6 kN")+", its capacity after the safety factor")
	case lift.absent && !screw.absent:
		screw.fault("what one screw may hold says nothing without the uplift", "write pressure: {field: "+r.say("45 psf", "2.1 kPa")+", ...}")
	}
}

// fieldOf is the plain number of the field, which shares such as +50 % are of.
func fieldOf(v item) int {
	n, _ := strconv.Atoi(strings.TrimSpace(v.key("field").n.Value))
	return n
}

// screws reads a number in a board: 8, or +50 % of that of the field, rounded up.
func (v item) screws(field int) int {
	t, ok := v.text()
	if !ok {
		return 0
	}
	share, more := strings.CutSuffix(t, "%")
	if !more || !strings.HasPrefix(t, "+") {
		n, _ := v.whole(1, mostScrews)
		return n
	}
	x, plain := table.Number(strings.TrimSpace(share[1:]))
	n := int(math.Ceil(float64(field)*(1+x/100) - 1e-9))
	if !plain || x < 0 || x > 1000 || field <= 0 || n > mostScrews {
		v.fault("a share more than in the field was expected, and a whole number there", "write +50 %, or a whole number such as 12")
		return 0
	}
	return n
}

// parsed reads a measure that must be more than 0.
func parsed[T ~float64](v item, parse func(string) (T, error)) T {
	t, ok := v.text()
	if !ok {
		return 0
	}
	x, err := parse(t)
	if err == nil && x <= 0 {
		err = unit.Refusal{Why: "it must be more than 0", Mend: "write what the engineer states"}
	}
	if err != nil {
		v.refuse(err)
		return 0
	}
	return x
}

// everyZone wants a value for every zone that is drawn, and none for one that is not.
func (r *jobReader) everyZone(c *survey.Fastening, f fields) {
	for _, k := range []string{"per_board", "area_each", "pressure", "beads"} {
		v := f.get(k)
		if !v.absent && v.n.Kind == yaml.ScalarNode && c.Zones.By != survey.UnsetZones {
			v.fault("zones are drawn, and one value is stated for all of them", "write a value for each: {field: ..., perimeter: ..., corner: ...}")
		}
		if v.absent || v.n.Kind != yaml.MappingNode {
			continue
		}
		for _, z := range survey.Zones() {
			at := v.key(z.String())
			stated := at.n != v.n
			switch drawn := c.Zones.By != survey.UnsetZones; {
			case z == survey.FieldZone:
			case !drawn && stated:
				at.fault("no zones are stated that would say where this holds", "write zones: {by: height, height: "+r.say("20 ft", "6 m")+"}")
			case z == survey.InnerZone && stated && c.Zones.By == survey.ZonesByWidth:
				at.fault("zones by least width have no inner one", "take it out, or write by: height")
			case z != survey.InnerZone && drawn && !stated:
				v.fault("zones are drawn, and nothing is stated for the "+z.String(), "write "+z.String()+": and its value")
			}
		}
	}
}

// fastening writes how boards are held down.
func (w *jobWriter) fastening(root group) {
	c := w.job.Fastening
	if c == nil {
		return
	}
	g := block()
	g.put("attach", c.Attach.String())
	if c.GluedCover {
		g.put("cover", "glued")
	}
	g.put("embed", w.orNone(c.Embed))
	g.put("room", w.orNone(c.Room))
	g.put("step", w.orNone(c.Step))
	w.lengths(g, "lengths", c.Lengths)
	w.lengths(g, "plates", c.Plates)
	zones(g, "per_board", c.PerBoard, strconv.Itoa)
	zones(g, "area_each", c.AreaEach, areaText)
	zones(g, "pressure", c.Pressure, func(l unit.Load) string { return plainText(l.PoundsPerSquareFoot()) + " psf" })
	if c.Screw != 0 {
		g.put("screw", plainText(c.Screw.Pounds())+" lb")
	}
	if z := c.Zones; z.By != survey.UnsetZones {
		at := flow()
		at.put("by", z.By.String())
		at.put("height", w.length(z.Height))
		at.put("width", w.orNone(z.Width))
		g.node("zones", at.n)
	}
	zones(g, "beads", c.Beads, w.length)
	g.put("kit", w.orNone(c.Kit))
	root.node("fastening", g.n)
}

func (w *jobWriter) lengths(g group, key string, all []unit.Length) {
	if len(all) == 0 {
		return
	}
	n := &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle}
	for _, l := range all {
		n.Content = append(n.Content, scalar(w.length(l)))
	}
	g.node(key, n)
}

// zones writes the values that are stated.
func zones[T comparable](g group, key string, b survey.ByZone[T], text func(T) string) {
	if b == (survey.ByZone[T]{}) {
		return
	}
	at, none := flow(), *new(T)
	for _, z := range survey.Zones() {
		if x := *b.Of(z); x != none {
			at.put(z.String(), text(x))
		}
	}
	g.node(key, at.n)
}
