package ask

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// wideFt is the widest usual distance between shots on a big field: common
// practice, no source.
const wideFt = 20

// shots asks for shots where there are none, too few or bad ones.
func (l *list) shots(k Known) {
	if l.job.Survey.None {
		l.urgent("survey", "Survey the roof: shots on a grid of "+l.either("10 ft", "3 m")+
			", at every drain rim, ridge, valley, corner and curb.", "every verdict is unknown: a level deck is assumed")
		return
	}
	if k.UnknownPct > 0.05 {
		l.urgent("gaps", fmt.Sprintf("Take shots where the survey sheet says that it is too far from one: %.1f %% of the area.",
			k.UnknownPct), "nothing can be said of the water there")
	}
	if k.SpacingFt > wideFt {
		l.add("spacing", "Take shots between those there are: they stand about "+
			unit.Feet(k.SpacingFt).Format(l.job.Units)+" apart.", "dishes narrower than twice that cannot be seen")
	}
	var left []string
	for _, sh := range l.a.Shots {
		if sh.Left != "" && !sh.Again && !slices.Contains(left, sh.ID) {
			left = append(left, sh.ID)
		}
	}
	if len(left) > 0 {
		name := named("shot", left)
		l.add(name, "Read "+name+" again, or say what is special there.", "left out of the surface")
	}
}

// cores asks for cuts through the old roof, and for what those made showed.
func (l *list) cores() {
	if len(l.a.Cores) == 0 {
		l.noCores()
		return
	}
	var unlayered, uncounted, wet, untold []string
	for _, c := range l.a.Cores {
		if len(c.Layers) == 0 {
			unlayered = append(unlayered, c.ID)
		}
		if c.Roofs == 0 {
			uncounted = append(uncounted, c.ID)
		}
		switch {
		case c.Wet:
			wet = append(wet, c.ID)
		case !c.WetKnown:
			untold = append(untold, c.ID)
		}
	}
	// No third roof over two: International Building Code 2015, section 1511.3.1,
	// from memory.
	overlay := l.job.Scope == survey.Recover
	if len(wet) > 0 {
		q := "How far does the wet insulation reach round " + named("core", wet) + "? Have a moisture survey made."
		l.grade(overlay, named("core", wet), q, "a wet roof may not be laid over, and it is heavier than it looks")
	}
	if len(untold) > 0 {
		name := named("core", untold)
		l.grade(overlay, name, "Is the old roof wet or dry at "+name+"?", "a wet roof may not be laid over")
	}
	if len(uncounted) > 0 {
		name := named("core", uncounted)
		l.grade(overlay, name, "How many old roofs lie at "+name+"?", "over two roofs no third may be laid in most codes")
	}
	if len(unlayered) > 0 {
		name := named("core", unlayered)
		l.add(name, "Which layers show in "+name+" from the top down, each how thick, wet or dry?",
			"fastener lengths, and whether a slope lies in the deck or in the old insulation")
	}
}

func (l *list) grade(urgent bool, about, ask, why string) {
	if urgent {
		l.urgent(about, ask, why)
		return
	}
	l.add(about, ask, why)
}

// noCores asks for cores where the scope needs to know what lies under the
// membrane.
func (l *list) noCores() {
	onDeck := l.job.Survey.Surface == survey.Deck || len(l.a.DeckShots) > 0
	switch {
	case l.job.Scope == survey.Recover:
		l.urgent("cores", "Cut cores, three at least: layers, each how thick, wet or dry, one roof or two.",
			"a wet roof, or two of them, may not be laid over")
	case !onDeck && !l.job.Survey.None:
		l.urgent("cores", "Cut cores at high and at low places, three at least: layers, each how thick, wet or dry.",
			"the deck is taken parallel to the membrane; a slope in the old insulation goes with the tear-off")
	default:
		l.add("cores", "Cut cores: layers, each how thick, wet or dry.", "the weight of the old roof and the length of fasteners")
	}
}

// edges asks for heights along the outline.
func (l *list) edges() {
	var parapets, walls []string
	for n := range l.a.Outline {
		var e survey.Edge
		if n < len(l.a.Edges) {
			e = l.a.Edges[n]
		}
		if e.Height.Stated() {
			continue
		}
		switch e.Kind {
		case survey.Parapet:
			parapets = append(parapets, strconv.Itoa(n))
		case survey.Wall:
			walls = append(walls, strconv.Itoa(n))
		case survey.GutterEdge, survey.OpenEdge, survey.Joint, survey.LimitEdge:
		}
	}
	if len(parapets) > 0 {
		name := named("edge", parapets)
		l.add(name, "Is there a parapet along "+name+", and how high above the membrane or the deck?",
			"taken as closed; the flashing height left above the new surface is not known")
	}
	if len(walls) > 0 {
		name := named("edge", walls)
		l.add(name, "How high above the membrane are the top of the wall and the lowest door sill, weep and "+
			"counterflashing along "+name+"?", "the rain that the wall sheds and the flashing height left are not known")
	}
}

// curbs asks for heights without a datum.
func (l *list) curbs() {
	var ids []string
	for _, c := range l.a.Curbs {
		if !c.Height.Stated() {
			ids = append(ids, c.ID)
		}
	}
	if len(ids) > 0 {
		name := named("curb", ids)
		l.add(name, "What is the height of "+name+", and above what: membrane or deck?",
			"the flashing height left above the new surface is not known")
	}
}

// deck asks what the deck is and how it is carried.
func (l *list) deck() {
	d := l.a.Deck
	var open []string
	if d.Type == "" {
		open = append(open, "of what make it is")
	}
	if d.SpanDeg == nil {
		open = append(open, "which way it spans")
	}
	if d.Framing == "" || strings.EqualFold(d.Framing, "unknown") {
		open = append(open, "how joists and beams run")
	}
	if (d.SagOf > 0 || d.Camber > 0) && (d.Bays == nil || d.SpanDeg == nil) {
		l.add("deck", "Where do its bays lie, and which way does it span?", "the deflection to be tried is one of each bay along its span")
	}
	if len(open) > 0 {
		l.add("deck", "What is known of the deck: "+joined(open)+"?",
			"fastening, which bays sag under water, and where a slope comes from")
	}
}
