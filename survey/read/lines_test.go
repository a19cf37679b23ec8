package read

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// top is the sound job's folder with a line of its own before scope, on line 9.
func top(line string) bad {
	return bad{fsys: jobWith("scope: tear-off", line+"\nscope: tear-off"), file: "job.yaml", line: 9}
}

// under is the sound job's folder with a line of its own under taper, on line 15.
func under(line string) bad {
	return bad{fsys: jobWith("start: 1/2 in", "start: 1/2 in\n  "+line), file: "job.yaml", line: 15}
}

// on is the sound job's folder with a line of its own under its area, on line 27.
func on(line string) bad {
	return bad{fsys: folder("job.yaml", soundJob+"    "+line+"\n"), file: "job.yaml", line: 27}
}

func (b bad) says(name, field, why, mend string) bad {
	b.name, b.field, b.why, b.mend = name, field, why, mend
	return b
}

var badLines = []bad{
	under("edges: equal").says("unknown edges", "taper.edges", "unknown word", "equal-slopes"),
	under("cricket: {bord: 1/2 in/ft}").says("unknown cricket key", "taper.cricket.bord", "unknown key", "board"),
	under("cricket: some").says("a cricket of one word", "taper.cricket", "a group of keys", "board"),
	under("cricket: {board: 5 in/ft}").says("a cricket as a steep roof", "taper.cricket.board", "3 in/ft", "1:48"),
	under("cricket: {board: 1/4 in/ft, valley: 1/4 in/ft}").says("a valley as steep as its boards", "taper.cricket.valley",
		"less than the boards", "flatter valley"),
	under("sump: {size: 4 ft, board: 1/4 in/ft}").says("a sump as flat as the field", "taper.sump.board",
		"1/4 in/ft is no steeper than the field round it, of 1/4 in/ft", "steeper"),
	under("sump: {board: 1/2 in/ft}").says("a sump board without a size", "taper.sump.size", "no size", "4 ft"),

	top("lines: [{at: [[30,0], [30,40]]}]").says("a line of no kind", "lines[0].kind", "what the line is", "kind: ridge or kind: valley"),
	top("lines: [{kind: hip, at: [[30,0], [30,40]]}]").says("a line of unknown kind", "lines[0].kind", "unknown word", "ridge"),
	top("lines: [{kind: ridge}]").says("a line without places", "lines[0].at", "no places", "[[x, y], [x, y]]"),
	top("lines: [{kind: ridge, at: [[30,0]]}]").says("a line of one place", "lines[0].at", "from 2 to 100000 places, and here is 1 place", "[[x, y], [x, y]]"),
	top("lines: [{kind: ridge, at: [[30,0], [30,0], [30,40]]}]").says("a place twice", "lines[0].at[1]", "place 1", "take one"),
	top("lines: [{kind: ridge, at: [[30,50], [40,50]]}]").says("a line off the roof", "lines[0].at", "meets no area", "over the roof"),
	top("lines: [{kind: ridge, at: [[30,0], [30,.inf]]}]").says("a line without end", "lines[0].at[1][1]", "", "write"),
	top("lines: [{kind: ridge, at: [[500,0], [30,40]]}]").says("a ridge from far off the roof", "lines[0].at[0]", "leaves the roof at (500.00, 0.00)", "outline"),
	top("lines: {kind: ridge}").says("no list of lines", "lines", "a list was expected", "dash"),

	top("regions: [{scheme: one-way}]").says("a region without an outline", "regions[0].outline", "no outline", "[[x, y], ...]"),
	top("regions: [{outline: [[0,0], [9,9], [9,0], [0,9]]}]").says("a region that crosses itself", "regions[0].outline",
		"cross or touch at (4.50, 4.50)", "in order"),
	top("regions: [{outline: [[60,0], [80,0], [80,9]]}]").says("a region that only touches", "regions[0].outline", "on no area", "coordinates"),
	top("regions: [{outline: [[0,0], [9,0], [9,9]]}, {outline: [[5,0], [20,0], [20,9]]}]").says("regions overlap", "regions[1].outline",
		"regions 0 and 1 overlap by 4.8 sq ft", "once"),
	top("regions: [{outline: [[0,0], [9,0], [9,9]], scheme: compare}]").says("a region that compares", "regions[0].scheme", "unknown word", "four-way"),
	top("regions: [{outline: [[0,0], [9,0], [9,9]], slope: 0.25}]").says("a region's slope without unit", "regions[0].slope", "no unit", "1/4 in/ft"),

	top("foreman: {rate: 1500}").says("a rate without a unit", "foreman.rate", "no unit", "write"),
	top("foreman: {rate: 2 sq ft}").says("a crew that does nothing", "foreman.rate", "does no roof", "1500 sq ft"),
	top("foreman: {hi: 104.5}").says("a set-up without a unit", "foreman.hi", "no unit", "104.5 ft"),
	top("foreman: {hi: 0 ft}").says("a set-up in the ground", "foreman.hi", "more than 0", "4 in"),
	top("foreman: {high: 104 ft}").says("a crew's key misspelt", "foreman.high", "unknown key", "hi"),

	top("fastening: {embed: 1 in}").says("nothing that holds", "fastening.attach", "what holds", "attach: screws"),
	top("fastening: {attach: nails, step: 1 in}").says("held by nails", "fastening.attach", "unknown word", "screws"),
	top("fastening: {attach: adhesive, embed: 1 in}").says("an embedment of adhesive", "fastening.embed", "adhesive alone", "take embed out"),
	top("fastening: {attach: base-screws, step: 1 in, plates: [1 ft]}").says("plates of a base", "fastening.plates", "thick everywhere", "take plates out"),
	top("fastening: {attach: screws, step: 1 in, kit: 400 ft}").says("a kit of nothing", "fastening.kit", "no adhesive", "take kit out"),
	top("fastening: {attach: screws, step: 1 in, embed: 3 m}").says("a screw as a pile", "fastening.embed", "a length from", "mend"),
	top("fastening: {attach: screws, step: 1 in, lengths: [6 in]}").says("two kinds of lengths", "fastening.step", "steps or", "keep one"),
	top("fastening: {attach: screws, lengths: [7 in, 6 in]}").says("lengths not by size", "fastening.lengths[1]", "more than the one before", "by size"),
	top("fastening: {attach: screws, lengths: []}").says("no lengths", "fastening.lengths", "a list of 1", "lengths: ["),
	top("fastening: {attach: screws, step: 1 in, per_board: 8, zones: {by: height, height: 20 ft}}").says("one number for all zones", "fastening.per_board", "one value is stated", "a value for each"),
	top("fastening: {attach: screws, step: 1 in, per_board: +50%}").says("a share of nothing", "fastening.per_board", "a share more than in the field", "a whole number"),
	top("fastening: {attach: screws, step: 1 in, per_board: {}}").says("no field", "fastening.per_board.field", "field is missing", "field:"),
	top("fastening: {attach: screws, step: 1 in, per_board: {field: 8, corner: 12}}").says("corners that are nowhere", "fastening.per_board.corner", "no zones", "zones: {"),
	top("fastening: {attach: screws, step: 1 in, per_board: {field: 0}}").says("no screws", "fastening.per_board.field", "whole number", "1 to 200"),
	top("fastening: {attach: screws, step: 1 in, per_board: {field: 8, perimeter: +x %, corner: 9}, zones: {by: height, height: 20 ft}}").says(
		"a share of words", "fastening.per_board.perimeter", "a share more", "+50 %"),
	top("fastening: {attach: screws, step: 1 in, per_board: {field: 8, perimeter: 9}, zones: {by: height, height: 20 ft}}").says(
		"a zone without screws", "fastening.per_board", "nothing is stated for the corner", "corner:"),
	top("fastening: {attach: screws, step: 1 in, per_board: {field: 8}, area_each: {field: 4 sq ft}}").says("two patterns", "fastening.area_each", "two ways", "keep one"),
	top("fastening: {attach: screws, step: 1 in, area_each: {field: 0.01 sq ft}}").says("a carpet of screws", "fastening.area_each.field", "no pattern", "4 sq ft"),
	top("fastening: {attach: screws, step: 1 in, pressure: {field: 45 psf}}").says("uplift alone", "fastening.screw", "one screw may hold", "360 lb"),
	top("fastening: {attach: screws, step: 1 in, pressure: {field: 45}, screw: 360 lb}").says("uplift without unit", "fastening.pressure.field", "no unit", "45 psf"),
	top("fastening: {attach: screws, step: 1 in, screw: 360 lb}").says("a capacity alone", "fastening.screw", "without the uplift", "pressure:"),
	top("fastening: {attach: screws, step: 1 in, zones: {height: 20 ft}}").says("zones of no rule", "fastening.zones.by", "what rule", "least-width"),
	top("fastening: {attach: screws, step: 1 in, zones: {by: height}}").says("zones of no height", "fastening.zones.height", "height of the roof", "20 ft"),
	top("fastening: {attach: screws, step: 1 in, zones: {by: height, height: 20 ft, width: 9 ft}}").says("a width that is not asked for",
		"fastening.zones.width", "do not look", "least-width"),
	top("fastening: {attach: adhesive, beads: {inner: 12 in, field: 9 in, perimeter: 6 in, corner: 4 in}, zones: {by: least-width, height: 9 ft}}").says(
		"an inner zone of the older rule", "fastening.beads.inner", "no inner one", "by: height"),

	top("thermal: {required_r: 30, r_per_inch: 5.7}").says("an R without a rule", "thermal.r_rule", "no rule is taken for granted", "heat-flow"),
	top("thermal: {required_r: 30, r_rule: lest, r_per_inch: 5.7}").says("an unknown rule on R", "thermal.r_rule", "unknown word", "did you mean least"),
	top("thermal: {r_rule: least, r_per_inch: 5.7}").says("a rule without an R", "thermal.required_r", "which R", "required_r: 30"),
	top("thermal: {required_u: 0.18, r_rule: least, r_per_inch: 5.7}").says("a U in a job in feet", "thermal.required_u", "W/m2K", "required_r: 30"),
	top("thermal: {required_r: 0, r_rule: least, r_per_inch: 5.7}").says("an R of nothing", "thermal.required_r", "1 to 200", "30"),
	top("thermal: {required_r: 30, r_rule: least, r_per_inch: 0.025}").says("a conductivity as an R", "thermal.r_per_inch", "1 to 60", "5.7"),
	top("thermal: {required_r: 30, r_rule: least, conductivity: 5.7}").says("an R as a conductivity", "thermal.conductivity", "conductivity in W/mK", "0.025"),
	top("thermal: {required_r: 30, r_rule: least, conductivity: 0.025, r_per_inch: 5.7}").says("two words on one insulation", "thermal.conductivity",
		"an R of an inch and a conductivity", "keep one"),

	on("breaklines: [[[30,0], [30,41]]]").says("a breakline off the area", "areas[0].breaklines[0][1]", "the breakline leaves area A at (30.00, 41.00)",
		"end it at the outline"),
	{name: "a gutter among the outlets", fsys: jobWith("{id: D1, kind: drain, at: [30,20], size: 4 in}", "{id: D1, kind: drain, at: [30,20], size: 4 in}\n      - {id: G1, kind: open, edge: 1}"),
		file: "job.yaml", line: 24, field: "areas[0].outlets[1].kind", why: "no outlet of its own", mend: "{edge: 1, kind: open}"},
	on("joints: [[[30,-1], [30,40]]]").says("a joint off the area", "areas[0].joints[0][0]", "the joint leaves area A", "end it at the outline"),
	on("breaklines: [[[30,0]]]").says("a breakline of one place", "areas[0].breaklines[0]", "from 2 to 100000 places, and here is 1 place", "[[x, y], [x, y]]"),
	on("crickets: [{from: [0,20]}]").says("a cricket of one end", "areas[0].crickets[0].to", "but one end", "to: [x, y]"),
	on("crickets: [{from: [0,20], to: [0.5,20]}]").says("a cricket of no length", "areas[0].crickets[0]", `lie 6" apart`, "to a wall"),
	on("crickets: [{from: [0,20], to: [70,20]}]").says("a cricket off the area", "areas[0].crickets[0].to", "the cricket leaves area A", "outline"),
	on("crickets: [{from: [0,20], to: [30,20], width: 0}]").says("a cricket of no width", "areas[0].crickets[0].width", "more than 0", "100 mm"),
	on("crickets: [{from: [0,20], to: [30,20], on: top}]").says("a cricket on no side", "areas[0].crickets[0].on", "unknown word", "left"),
	on("crickets: none").says("a word for crickets", "areas[0].crickets", "a list was expected", "brackets"),

	{"one shot", folder("shots.csv", "x,y,rod\n5,5,4.80\n"), "job.yaml", 3, "survey.shots", "area A has 1 shot on it", "coordinate frame"},
	{"an unknown way to cut", jobWith("start: 1/2 in", "start: 1/2 in\n  cutting: loose"), "job.yaml", 15, "taper.cutting", "unknown word", "crew"},
	{"kerf without unit", jobWith("start: 1/2 in", "start: 1/2 in\n  kerf: 0.125"), "job.yaml", 15, "taper.kerf", "no unit", "in"},
	{"no layer allowed", jobWith("start: 1/2 in", "start: 1/2 in\n  most_layers: 0"), "job.yaml", 15, "taper.most_layers", "whole number", "1 to 40"},
	{"a board held by nails", folder("stock.csv", "kind,slope,thin,thick,along,depth,attach\ntapered,1/4 in/ft,1/2 in,1-1/2 in,4 ft,4 ft,nails\n"), "stock.csv", 2, "attach", "unknown way", "screws"},
	{"sliver of a hair", jobWith("start: 1/2 in", "start: 1/2 in\n  sliver: 1/8 in"), "job.yaml", 15, "taper.sliver", "so wide", "3 in"},
	{"sliver of half a board", jobWith("start: 1/2 in", "start: 1/2 in\n  sliver: 2 ft"), "job.yaml", 15, "taper.sliver", "so wide", "3 in"},
	{"kerf as wide as a joist", jobWith("start: 1/2 in", "start: 1/2 in\n  kerf: 2 in"), "job.yaml", 15, "taper.kerf", "cuts so wide", "1/8 in"},
	{"half a bundle", jobWith("start: 1/2 in", "start: 1/2 in\n  bundles: half"), "job.yaml", 15, "taper.bundles", "unknown word", "full"},
	{"a bundle of halves", folder("stock.csv", soundStock+"flat,,,3 in,4 ft,8 ft,no,,2.5\n"), "stock.csv", 5, "bundle", "whole number", "24"},
	{"a bundle of none", folder("stock.csv", soundStock+"flat,,,3 in,4 ft,8 ft,no,,0\n"), "stock.csv", 5, "bundle", "whole number", "24"},
	{"a strip that starts thick", folder("stock.csv", soundStock+"strip,1/2 in/ft,1/4 in,3/4 in,4 ft,1 ft,,\n"), "stock.csv", 5, "thin",
		"starts at nothing", "leave it empty"},
	{"a strip against its slope", folder("stock.csv", soundStock+"strip,1/2 in/ft,,3/4 in,4 ft,1 ft,,\n"), "stock.csv", 5, "thick",
		"0.75 in thicker at one edge, its slope makes 0.5 in", "mend"},
	{"strips alone", folder("stock.csv", "kind,slope,thick,along,depth\nstrip,1/2 in/ft,1/2 in,4 ft,1 ft\n"), "stock.csv", 0, "",
		"no tapered boards", "kind tapered"},
}

func TestBadLines(t *testing.T) {
	for _, b := range badLines {
		t.Run(b.name, func(t *testing.T) {
			job, found := Job(b.fsys, "job.yaml", nil)
			faults := found.Faults()
			if job != nil || len(faults) != 1 {
				t.Fatalf("%d faults, want 1: %v", len(faults), found)
			}
			checkProblem(t, b, faults[0])
		})
	}
}

// In a metric job the mends name metric figures.
func TestBadLines_MetricSaysMetric(t *testing.T) {
	text := with(with(soundJob, "units: us", "units: metric"), "slope: 1/4 in/ft", "slope: 0 in/ft")
	text = with(text, "rules: us-reroof", "rules: {mode: planes, design: 1:3}")
	text = with(text, "start: 1/2 in", "start: 1/2 in\n  sump: {board: 1:20}\n  base: {layers: 1}")
	text = with(text, "scope:", "thermal: {required_r: 30, r_rule: least, r_per_inch: 5.7}\nscope:")
	_, found := Job(folder("job.yaml", with(text, "along: 12 ft", "along: 12")), "job.yaml", nil)
	mends := map[string]string{}
	for _, p := range found.Faults() {
		mends[p.Field] = p.Mend
	}
	want := map[string]string{"taper.slope": "write a slope such as 1:40", "thermal.required_r": "write required_u: 0.18, in W/m2K",
		"rules.field": "write field: 1:80", "rules.design": "write a slope such as 1:40 or 2.5%",
		"taper.sump.size": "write size: 1200 mm, a side of its square", "taper.base.thickness": "write thickness: 50 mm, of each layer"}
	if !reflect.DeepEqual(mends, want) {
		t.Errorf("mends %v, want %v", mends, want)
	}
}

// Everything that a designer draws and asks for reaches the job.
func TestJob_DesignersOwn(t *testing.T) {
	text := with(soundJob, "scheme: four-way", "scheme: compare")
	text = with(text, "start: 1/2 in", "start: 1/2 in\n  edges: equal-heights\n  cricket: {board: 1/2 in/ft, valley: 0.15 in/ft}\n  sump: {size: 4 ft, board: 3/8 in/ft}")
	text = with(text, "scope: tear-off", `lines: [{kind: ridge, at: [[36,0], [36,40]]}, {kind: valley, at: [[0,20], [10,20], [20,30]]}]
regions: [{outline: [[0,0], [9,0], [9,9]], scheme: one-way, slope: 3/8 in/ft}, {outline: [[20,0], [29,0], [29,9]]}]
scope: tear-off`) + `    breaklines: [[[0,20], [60,20]]]
    joints: [[[33,0], [33,40]], [[0,5], [5,5], [5,0]]]
    crickets: [{from: [0,12], to: [30,20], width: 9, on: left, board: 1/2 in/ft}, {from: [30,20], to: [60,20]}]
`
	job, found := mustRead(t, folder("job.yaml", text))
	if len(found) > 0 {
		t.Errorf("problems %v", found)
	}
	c := *job.Taper
	half, eighths := unit.InchesPerFoot(0.5), unit.InchesPerFoot(0.375)
	want := survey.TaperChoice{Scheme: survey.Compare, Slope: unit.InchesPerFoot(0.25), Start: unit.Inches(0.5), Sump: unit.Feet(4),
		SumpBoard: eighths, EqualEdges: true, Cricket: survey.CricketChoice{Board: half, Valley: unit.InchesPerFoot(0.15)},
		Sliver: 3 * unit.Inch}
	if c != want {
		t.Errorf("taper %+v, want %+v", c, want)
	}
	lines := []survey.OwnLine{{Kind: survey.OwnRidge, At: []geom.Pt{{X: 36}, {X: 36, Y: 40}}},
		{Kind: survey.OwnValley, At: []geom.Pt{{Y: 20}, {X: 10, Y: 20}, {X: 20, Y: 30}}}}
	regions := []survey.Region{{Outline: geom.Ring{{}, {X: 9}, {X: 9, Y: 9}}, Scheme: survey.OneWay, Slope: eighths},
		{Outline: geom.Ring{{X: 20}, {X: 29}, {X: 29, Y: 9}}}}
	if !reflect.DeepEqual(job.Lines, lines) || !reflect.DeepEqual(job.Regions, regions) {
		t.Errorf("lines %+v, regions %+v", job.Lines, job.Regions)
	}
	a := job.Areas[0]
	crickets := []survey.CricketPlace{{From: geom.Pt{Y: 12}, To: geom.Pt{X: 30, Y: 20}, Width: unit.Feet(9), On: survey.OnLeft, Board: half},
		{From: geom.Pt{X: 30, Y: 20}, To: geom.Pt{X: 60, Y: 20}}}
	if !reflect.DeepEqual(a.Crickets, crickets) || !a.OwnCrickets {
		t.Errorf("crickets %+v, own %v", a.Crickets, a.OwnCrickets)
	}
	if !reflect.DeepEqual(a.Breaks, [][]geom.Pt{{{Y: 20}, {X: 60, Y: 20}}}) ||
		!reflect.DeepEqual(a.Joints, [][]geom.Pt{{{X: 33}, {X: 33, Y: 40}}, {{Y: 5}, {X: 5, Y: 5}, {X: 5}}}) {
		t.Errorf("breaks %v, joints %v", a.Breaks, a.Joints)
	}
	again(t, job)
}

// What the starter shows of a designer's own keys can be taken as it stands.
func TestStarter_DesignersOwn(t *testing.T) {
	text := string(starterJob)
	for _, key := range []string{"cricket", "sump", "edges", "lines", "regions", "thermal", "foreman", "fastening", "breaklines", "joints", "crickets"} {
		text = with(text, "# "+key+": ", key+": ")
	}
	job, found := mustRead(t, folder("job.yaml", text, "shots.csv", string(starterShots)))
	// Its joint and its region meet in the one drain, so that both sides have it.
	if len(found) != 2 || !strings.Contains(found[0].Why, "runs through drain D1") || !strings.Contains(found[1].Why, "runs through drain D1") {
		t.Errorf("problems %v", found)
	}
	a, c := job.Areas[0], job.Taper
	if c.Cricket.Board == 0 || c.SumpBoard == 0 || !c.EqualEdges || len(job.Lines) != 1 || len(job.Regions) != 1 || job.Thermal == nil || job.Foreman.Rate == 0 || job.Fastening == nil ||
		len(a.Breaks) != 1 || len(a.Joints) != 1 || len(a.Crickets) != 1 {
		t.Errorf("job %+v", job)
	}
	again(t, job)
}

// Lines that part the field are told where they run through a drain or a curb, and
// not where they pass beside: D1 stands at (30, 20), U1 is 8 by 6 ft about (10, 30).
func TestJob_LinesThroughDrainsAndCurbs(t *testing.T) {
	for _, c := range []struct{ text, field, why string }{
		{"lines: [{kind: ridge, at: [[30,0], [30,40]]}]", "lines[0].at", "the ridge runs through drain D1 of area A"},
		{"lines: [{kind: ridge, at: [[27.9,0], [27.9,40]]}]", "", ""},
		{"lines: [{kind: valley, at: [[30,0], [30,40]]}]", "", ""}, // as it should
		{"lines: [{kind: ridge, at: [[10,0], [10,40]]}]", "lines[0].at", "the ridge runs through curb U1 of area A"},
		{"lines: [{kind: ridge, at: [[14,0], [14,40]]}]", "", ""}, // along its wall
		{"regions: [{outline: [[0,0], [9,0], [9,40], [0,40]]}]", "regions[0].outline", "the border of the region runs through curb U1"},
		{"regions: [{outline: [[0,0], [30,0], [30,22], [0,22]]}]", "regions[0].outline", "the border of the region runs through drain D1"},
		{"regions: [{outline: [[0,0], [9,0], [9,9]]}]", "", ""},
	} {
		_, found := mustRead(t, folder("job.yaml", with(soundJob, "scope: tear-off", c.text+"\nscope: tear-off")))
		if c.why == "" {
			if len(found) > 0 {
				t.Errorf("%s: %v", c.text, found)
			}
			continue
		}
		if len(found) != 1 || found[0].Field != c.field || found[0].Line != 9 || !strings.Contains(found[0].Why, c.why) {
			t.Errorf("%s: %v", c.text, found)
		}
	}
	_, found := mustRead(t, folder("job.yaml", soundJob+"    joints: [[[33,0], [33,40]], [[30,0], [30,40]]]\n"))
	if len(found) != 1 || found[0].Field != "areas[0].joints[1]" || !strings.Contains(found[0].Why, "the joint runs through drain D1") {
		t.Errorf("joints: %v", found)
	}
}

// Problems of a later stage get the file, the line and the value of their field.
func TestLocated(t *testing.T) {
	text := with(soundJob, "scope: tear-off", "lines:\n  - {kind: ridge, at: [[1,2], [3,4]]}\nscope: tear-off")
	got := Located(folder("job.yaml", text), "job.yaml", problem.List{{Field: "lines[0].at", Why: "a"}, {Field: "areas[0].joints[3]", Why: "b"},
		{Field: "areas[-1].name", Why: "c"}, {File: "shots.csv", Line: 3, Field: "x", Why: "d"}, {Field: "survey.hi", Why: "e"}})
	want := problem.List{{File: "job.yaml", Line: 10, Field: "lines[0].at", Value: "[[1, 2], [3, 4]]", Why: "a"},
		{File: "job.yaml", Field: "areas[0].joints[3]", Why: "b"}, {File: "job.yaml", Field: "areas[-1].name", Why: "c"},
		{File: "shots.csv", Line: 3, Field: "x", Why: "d"}, {File: "job.yaml", Line: 8, Field: "survey.hi", Value: "105 ft", Why: "e"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// No crickets of one's own is said by an empty list, none at all under taper.
func TestJob_NoCrickets(t *testing.T) {
	text := with(soundJob, "start: 1/2 in", "start: 1/2 in\n  cricket: none") + "    crickets: []\n"
	job, _ := mustRead(t, folder("job.yaml", text))
	if a := job.Areas[0]; !job.Taper.Cricket.None || !a.OwnCrickets || len(a.Crickets) > 0 {
		t.Errorf("taper %+v, own crickets %v %v", job.Taper.Cricket, a.OwnCrickets, a.Crickets)
	}
	again(t, job)
}

// A U in W/m2K and a conductivity in W/mK against the published factors:
// 1 Btu/(h sq ft F) = 5.678263 W/m2K and 1 Btu in/(h sq ft F) = 0.1442279 W/mK
// (NIST SP 811, appendix B, from memory).
func TestThermal_MetricFiguresAgainstPublishedFactors(t *testing.T) {
	text := with(with(soundJob, "units: us", "units: metric"), "scope:",
		"thermal: {required_u: 0.18, r_rule: heat-flow, conductivity: 0.025}\nscope:")
	job, found := mustRead(t, folder("job.yaml", with(text, "along: 12 ft", "along: 12")))
	th := job.Thermal
	if len(found) > 0 || th.Rule != survey.HeatFlowR {
		t.Errorf("rule %v, problems %v", th.Rule, found)
	}
	if want := 5.678263 / 0.18; math.Abs(th.RequiredR-want) > 1e-6*want {
		t.Errorf("R %.7f, want %.7f", th.RequiredR, want)
	}
	if want := 0.1442279 / 0.025; math.Abs(th.RPerInch-want) > 1e-6*want {
		t.Errorf("R of an inch %.7f, want %.7f", th.RPerInch, want)
	}
	again(t, job)
}
