package read

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey/problem"
)

// soundJob is a job without a fault or a note; bad jobs are made from it.
const soundJob = `job: {name: Sound, units: us, north: 0 deg}
survey:
  shots: shots.csv
  surface: membrane
  cores: cores.csv
  reading: rod
  unit: ft
  hi: 105 ft
scope: tear-off
rules: us-reroof
taper:
  scheme: four-way
  slope: 1/4 in/ft
  start: 1/2 in
stock: stock.csv
areas:
  - name: A
    outline: [[0,0], [60,0], [60,40], [0,40]]
    courts: [[[40,10], [50,10], [50,20], [40,20]]]
    edges:
      - {edge: 0, kind: parapet, height: 24 in, above: membrane}
    outlets:
      - {id: D1, kind: drain, at: [30,20], size: 4 in}
      - {id: S1, kind: scupper, edge: 3, along: 12 ft, width: 12 in, inlet: 2 in, above: membrane, overflow: true}
    curbs:
      - {id: U1, at: [10,30], size: [8,6], height: 14 in, above: membrane}
`

const soundShots = `shot,x,y,rod,code
1,5,5,4.80,RF
2,55,5,4.82,RF
3,55,35,4.79,RF
4,5,20,4.85,RF
`

const soundCores = "id,x,y,thickness,wet,roofs\nC1,20,10,4-1/2 in,no,1\n"

// twoSurfaces is a file of two surfaces of the same place.
const twoSurfaces = `<LandXML version="1.2"><Units><Imperial linearUnit="foot"/></Units><Surfaces>
<Surface name="up"><Definition surfType="TIN"><Pnts><P id="1">5 5 100</P><P id="2">5 55 100</P><P id="3">35 5 100</P></Pnts>
<Faces><F>1 2 3</F></Faces></Definition></Surface>
<Surface name="down"><Definition surfType="TIN"><Pnts><P id="1">5 5 99</P><P id="2">5 55 99</P><P id="3">35 5 99</P></Pnts>
<Faces><F>1 2 3</F></Faces></Definition></Surface></Surfaces></LandXML>`

const soundStock = `kind,slope,thin,thick,along,depth,to_order,price,bundle
tapered,1/4 in/ft,1/2 in,1-1/2 in,4 ft,4 ft,no,21.50,
flat,,,2 in,4 ft,8 ft,no,,24
cover,,,1/2 in,4 ft,8 ft,,,
`

// withRules is the sound job with rules of its own.
func withRules(own string) fstest.MapFS { return jobWith("rules: us-reroof", "rules: "+own) }

// folder is a job folder; a later pair of name and text replaces an earlier.
func folder(files ...string) fstest.MapFS {
	fsys := fstest.MapFS{}
	all := append([]string{"job.yaml", soundJob, "shots.csv", soundShots, "cores.csv", soundCores,
		"stock.csv", soundStock}, files...)
	for i := 0; i+1 < len(all); i += 2 {
		fsys[all[i]] = &fstest.MapFile{Data: []byte(all[i+1])}
	}
	return fsys
}

// with is text with one change; the text to change must stand there.
func with(text, old, new string) string {
	if strings.Count(text, old) != 1 {
		panic(fmt.Sprintf("%q stands %d times in the text", old, strings.Count(text, old)))
	}
	return strings.Replace(text, old, new, 1)
}

// jobWith is the sound job's folder with one change to job.yaml.
func jobWith(old, new string) fstest.MapFS {
	return folder("job.yaml", with(soundJob, old, new))
}

// doorJob is the sound job's folder with a door, on line 28.
func doorJob(door string) fstest.MapFS {
	return folder("job.yaml", soundJob+"    doors:\n      - {"+door+"}\n")
}

// shotsWith is the sound job's folder with one change to shots.csv.
func shotsWith(old, new string) fstest.MapFS {
	return folder("shots.csv", with(soundShots, old, new))
}

// special is the sound job's folder with a pipe, device or socket in the place
// of a file; opening it, which could wait for ever, ends the test.
func special(name string, mode fs.FileMode) fs.FS {
	fsys := folder()
	fsys[name] = &fstest.MapFile{Mode: mode}
	return unopened{fsys, name}
}

type unopened struct {
	fstest.MapFS
	name string
}

func (u unopened) Open(name string) (fs.File, error) {
	if name == u.name {
		panic("opened " + name)
	}
	return u.MapFS.Open(name)
}

func without(name string) fstest.MapFS {
	f := folder()
	delete(f, name)
	return f
}

// bad is a bad job and the one fault that it must give.
type bad struct {
	name  string
	fsys  fs.FS
	file  string
	line  int
	field string
	why   string // part of it
	mend  string // part of it
}

func manyVertices(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "[%d,%d],", i, i*i%7)
	}
	return b.String()
}

var badJobs = []bad{
	// the file
	{"job file missing", without("job.yaml"), "job.yaml", 0, "", "no such file", "check the name"},
	{"a folder for the job file", fstest.MapFS{"job.yaml/x": {}}, "job.yaml", 0, "", "a folder", "name the file"},
	{"a pipe for the job file", special("job.yaml", fs.ModeNamedPipe), "job.yaml", 0, "", "not a regular file", "name a file"},
	{"empty job file", folder("job.yaml", ""), "job.yaml", 0, "", "empty", "runnel new"},
	{"comments alone", folder("job.yaml", "# nothing\n"), "job.yaml", 0, "", "empty", "runnel new"},
	{"job file is no text", folder("job.yaml", "job\x00\x01"), "job.yaml", 0, "", "no text file", "job.yaml"},
	{"job file is a list", folder("job.yaml", "- a\n- b\n"), "job.yaml", 1, "", "a list", "keys such as job"},
	{"bracket not closed", jobWith("[30,20]", "[30,20"), "job.yaml", 23, "", "not readable as YAML", "missing bracket"},
	{"tab indents", jobWith("  surface: membrane", "\tsurface: membrane"), "job.yaml", 4, "", "tab", "blanks"},
	{"two documents", folder("job.yaml", soundJob+"---\njob: {}\n"), "job.yaml", 0, "", "more than one document", "keep one"},
	{"a section without a name", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{from: [0,20], to: [60,20]}]\n"), "job.yaml", 16, "sections[0].name", "no name", "name: A"},
	{"a section with a name for no file", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{name: a/b, from: [0,20], to: [60,20]}]\n"), "job.yaml", 16, "sections[0].name", "12 letters", "picture"},
	{"two sections of one name", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{name: A, from: [0,20], to: [60,20]}, {name: a, from: [0,20], to: [60,20]}]\n"), "job.yaml", 16, "sections[1].name", "have this name", "of its own"},
	{"a section of one end", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{name: A, from: [0,20]}]\n"), "job.yaml", 16, "sections[0].to", "but one end", "from: [x, y]"},
	{"a section of no length", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{name: A, from: [5,20], to: [5,20]}]\n"), "job.yaml", 16, "sections[0]", "lie 0 ft apart", "from one edge"},
	{"a section off the roof", jobWith("stock: stock.csv\n", "stock: stock.csv\nsections: [{name: A, from: [0,50], to: [60,50]}]\n"), "job.yaml", 16, "sections[0]", "crosses no area", "over the roof"},
	{"anchor and alias", jobWith("start: 1/2 in", "start: &t 1/2 in\n  cover: *t"), "job.yaml", 14, "",
		"anchors and aliases", "write the value out"},
	{"ten to the sixth vertices", jobWith("[[0,0], [60,0],", "["+manyVertices(1_000_000)), "job.yaml", 0, "",
		"100000 vertices", "fewer vertices"},
	{"ten to the fifth vertices and some", jobWith("[[0,0], [60,0],", "["+manyVertices(100_001)), "job.yaml", 18,
		"areas[0].outline", "100003 vertices are more", "fewer vertices"},

	// keys and words
	{"unknown key, near one", jobWith("slope: 1/4", "slop: 1/4"), "job.yaml", 13, "taper.slop", "unknown key", "slope"},
	{"unknown key, near none", jobWith("scope: tear-off", "scope: tear-off\nweather: fine"), "job.yaml", 10,
		"weather", "unknown key", "the keys here are"},
	{"key stands twice", jobWith("scope: tear-off", "scope: tear-off\nscope: recover"), "job.yaml", 10, "scope",
		"twice, first at line 9", "take one"},
	{"key without value", jobWith("start: 1/2 in", "start:"), "job.yaml", 14, "taper.start", "nothing stands", "take the key out"},
	{"unknown word", jobWith("surface: membrane", "surface: membrain"), "job.yaml", 4, "survey.surface", "unknown word",
		"did you mean membrane"},
	{"unknown rule set", jobWith("rules: us-reroof", "rules: us-rerof"), "job.yaml", 10, "rules", "unknown word",
		"did you mean us-reroof"},
	{"own rules like an unknown set", withRules("{like: us-rerof}"), "job.yaml", 10, "rules.like", "unknown word", "did you mean us-reroof"},
	{"own rules named as a built-in set", withRules("{like: us-reroof, name: every-path}"), "job.yaml", 10, "rules.name", "built in",
		"like: every-path"},
	{"unknown rule key", withRules("{like: us-reroof, guter: 1/4 in/ft}"), "job.yaml", 10, "rules.guter", "unknown key", "gutter"},
	{"own rules without a field", withRules("{mode: planes, valley: 1/8 in/ft}"), "job.yaml", 10, "rules.field", "field", "1/4 in/ft"},
	{"a limit no low-slope roof has", withRules("{like: us-reroof, gutter: 4 in/ft}"), "job.yaml", 10, "rules.gutter", "3 in/ft", "1:48"},
	{"a limit of 0", withRules("{like: us-reroof, valley: 0 in/ft}"), "job.yaml", 10, "rules.valley", "more than 0", "1/4 in/ft"},
	{"designed for less than is to be reached", withRules("{mode: planes, field: 1:40, valley: 1:80, design: 1:80}"), "job.yaml", 10,
		"rules.design", "less than", "field"},
	{"a pond of 0", withRules("{like: us-reroof, pond: 0 in}"), "job.yaml", 10, "rules.pond", "more than 0", "in"},
	{"a pond of feet", withRules("{like: us-reroof, pond: 6 ft}"), "job.yaml", 10, "rules.pond", `72" is more than the 12"`, "unit"},
	{"no hours", withRules("{like: us-reroof, dry_hours: two days}"), "job.yaml", 10, "rules.dry_hours", "hours", "48"},
	{"one overflow height", withRules("{like: us-reroof, overflow: [2 in]}"), "job.yaml", 10, "rules.overflow", "two heights", "[2 in, 4 in]"},
	{"overflow heights turned round", withRules("{like: us-reroof, overflow: [4 in, 2 in]}"), "job.yaml", 10, "rules.overflow",
		"more than the most", "least first"},
	{"overflow heights without a unit", withRules("{like: us-reroof, overflow: [2, 4 in]}"), "job.yaml", 10, "rules.overflow[0]",
		"no unit", "2 in"},
	{"exception of maybe", withRules("{like: us-reroof, exception: maybe}"), "job.yaml", 10, "rules.exception", "unknown word", "yes"},
	{"flashing of 8 ft and more", withRules("{like: us-reroof, flashing: 11 ft}"), "job.yaml", 10, "rules.flashing", `132" is more`, "unit"},
	{"ponds of no depth", jobWith("scope: tear-off", "scope: tear-off\nponds: {depth: 0 in}"), "job.yaml", 10, "ponds.depth", "more than 0", "in"},
	{"nothing dries", jobWith("scope: tear-off", "scope: tear-off\nponds: {drying: 0 in}"), "job.yaml", 10, "ponds.drying", "more than 0", "in"},
	{"a bowl without a depth", jobWith("at: [30,20], size: 4 in}", "at: [30,20], size: 4 in, bowl: {size: 2 ft}}"), "job.yaml", 23,
		"areas[0].outlets[0].bowl.depth", "no depth", "1 in"},
	{"a scupper with a dam", jobWith("overflow: true}", "dam: 2 in}"), "job.yaml", 24, "areas[0].outlets[1].dam", "has no dam", "take it out"},
	{"ponds of no area", jobWith("scope: tear-off", "scope: tear-off\nponds: {area: 0 sq ft}"), "job.yaml", 10, "ponds.area", "more than 0",
		"4 sq ft"},
	{"own rules without mode", jobWith("rules: us-reroof", "rules: {field: 1/4 in/ft, valley: 1/8 in/ft}"), "job.yaml",
		10, "rules.mode", "mode", "planes"},
	{"units missing", jobWith("units: us, ", ""), "job.yaml", 1, "job.units", "not stated", "units: us"},
	{"a list where a value belongs", jobWith("scope: tear-off", "scope: [tear-off]"), "job.yaml", 9, "scope",
		"one value was expected", "single value"},
	{"fills as taper", jobWith("scheme: four-way", "scheme: fill-lows"), "job.yaml", 12, "taper.scheme",
		"a rung of the ladder", "leave taper out and read the ladder"},
	{"an unknown scheme", jobWith("scheme: four-way", "scheme: two-way"), "job.yaml", 12, "taper.scheme", "unknown word", "two-way-crickets"},
	{"a partial re-roof", jobWith("scope: tear-off", "scope: partial"), "job.yaml", 9, "scope", "not stated which part", "write scope: {partial:"},
	{"a partial re-roof off the roof", jobWith("scope: tear-off", "scope: {partial: [[70,0], [80,0], [80,9]]}"), "job.yaml", 9,
		"scope.partial", "on no area", "coordinates"},
	{"a partial re-roof that only touches", jobWith("scope: tear-off", "scope: {partial: [[60,0], [80,0], [80,9]]}"), "job.yaml", 9,
		"scope.partial", "on no area", "coordinates"},
	{"a partial re-roof that crosses itself", jobWith("scope: tear-off", "scope: {partial: [[0,0], [9,9], [9,0], [0,9]]}"),
		"job.yaml", 9, "scope.partial", "cross or touch at (4.50, 4.50)", "in order"},
	{"a partial re-roof without outline", jobWith("scope: tear-off", "scope: {}"), "job.yaml", 9, "scope.partial", "which part", "write partial"},

	{"no survey at all", folder("job.yaml", with(with(soundJob, "survey:\n  shots: shots.csv\n  surface: membrane\n"+
		"  cores: cores.csv\n  reading: rod\n  unit: ft\n  hi: 105 ft\n", ""), "rules", "rules")), "job.yaml", 1, "survey",
		"surveyed", "survey: none"},

	// measures
	{"thickness without unit", jobWith("start: 1/2 in", "start: 0.5"), "job.yaml", 14, "taper.start", "no unit", "0.5 in"},
	{"two units in one value", jobWith("start: 1/2 in", "start: 1 in 2 mm"), "job.yaml", 14, "taper.start", "", "write"},
	{"slope without unit", jobWith("slope: 1/4 in/ft", "slope: 0.25"), "job.yaml", 13, "taper.slope", "no unit", "1/4 in/ft"},
	{"sump without a size", jobWith("start: 1/2 in", "start: 1/2 in\n  sump: {}"), "job.yaml", 15, "taper.sump.size", "no size", "4 ft"},
	{"sump of no size", jobWith("start: 1/2 in", "start: 1/2 in\n  sump: {size: 0 ft}"), "job.yaml", 15, "taper.sump.size", "more than 0", "4 in"},
	{"sump without unit", jobWith("start: 1/2 in", "start: 1/2 in\n  sump: {size: 4}"), "job.yaml", 15, "taper.sump.size", "no unit", "4 ft"},
	{"sump as large as a roof", jobWith("start: 1/2 in", "start: 1/2 in\n  sump: {size: 40 ft}"), "job.yaml", 15, "taper.sump.size", "so large", "16 ft"},
	{"slope uphill", jobWith("slope: 1/4 in/ft", "slope: -1/4 in/ft"), "job.yaml", 13, "taper.slope", "more than 0", "1/4 in/ft"},
	{"height without datum", jobWith("height: 24 in, above: membrane", "height: 24 in"), "job.yaml", 21,
		"areas[0].edges[0].height", "measured above", "above: membrane, above: deck or above: elevation"},
	{"inlet without datum", jobWith("inlet: 2 in, above: membrane, ", "inlet: 2 in, "), "job.yaml", 24,
		"areas[0].outlets[1].inlet", "measured above", "above: deck"},
	{"datum without height", jobWith("size: 4 in", "size: 4 in, above: deck"), "job.yaml", 23, "areas[0].outlets[0].above",
		"without a height", "inlet: 4 in"},
	{"coordinate of 1e9", jobWith("[60,40]", "[60,1e9]"), "job.yaml", 18, "areas[0].outline[2][1]", "1e8 ft", "near the building"},
	{"coordinate that is no number", jobWith("[60,40]", "[60,.nan]"), "job.yaml", 18, "areas[0].outline[2][1]", "", "write"},
	{"base layers without thickness", jobWith("start: 1/2 in", "start: 1/2 in\n  base: {layers: 2}"), "job.yaml", 15,
		"taper.base.thickness", "not stated", "thickness: 2 in"},
	{"thickest under base and start", jobWith("start: 1/2 in", "start: 1/2 in\n  thickest: 1/4 in"), "job.yaml", 15,
		"taper.thickest", `1/2"`, "allow more"},

	// rain, bays and deflection
	{"rain without unit", jobWith("stock: stock.csv", "rain: {rate: 3.2}\nstock: stock.csv"), "job.yaml", 15, "rain.rate", "no unit", "3.2 in/h"},
	{"a rain of nothing", jobWith("stock: stock.csv", "rain: {rate: 0 in/h}\nstock: stock.csv"), "job.yaml", 15, "rain.rate", "nothing", "take it out"},
	{"rates exchanged", jobWith("stock: stock.csv", "rain: {rate: 6.4 in/h, overflow_rate: 3.2 in/h}\nstock: stock.csv"), "job.yaml", 15,
		"rain.overflow_rate", "lighter than rain.rate", "exchange"},
	{"a capacity that is no table", jobWith("size: 4 in", "capacity: [80 gpm]"), "job.yaml", 23, "areas[0].outlets[0].capacity[0]",
		"a head and a flow", "[1 in, 80 gpm]"},
	{"a capacity without unit", jobWith("size: 4 in", "capacity: [[1 in, 80]]"), "job.yaml", 23, "areas[0].outlets[0].capacity[0][1]",
		"no unit", "80 gpm"},
	{"a capacity of nothing", jobWith("size: 4 in", "capacity: [[1 in, 0 gpm]]"), "job.yaml", 23, "areas[0].outlets[0].capacity[0][1]",
		"nothing", "80 gpm"},
	{"a capacity that falls", jobWith("size: 4 in", "capacity: [[1 in, 80 gpm], [2 in, 70 gpm]]"), "job.yaml", 23,
		"areas[0].outlets[0].capacity[1]", "more than in the row before", "growing head"},
	{"onto no area", jobWith("size: 4 in", "onto: C"), "job.yaml", 23, "areas[0].outlets[0].onto", "no area C", "takes the water: A"},
	{"onto itself", jobWith("size: 4 in", "onto: A"), "job.yaml", 23, "areas[0].outlets[0].onto", "come back", "lower area"},
	{"onto each other", folder("job.yaml", with(soundJob, "size: 4 in", "onto: B")+with(secondArea("B", 70), "kind: gutter", "kind: gutter, onto: A"),
		"shots.csv", soundShots+farShots), "job.yaml", 23, "areas[0].outlets[0].onto", "come back", "lower area"},
	{"a parapet onto an area", jobWith("height: 24 in, above: membrane", "height: 24 in, above: membrane, onto: A"), "job.yaml", 21,
		"areas[0].edges[0].onto", "no water leaves", "kind: gutter"},
	{"bays without a size", jobWith("    curbs:", "    deck: {bays: {from: [0, 0]}}\n    curbs:"), "job.yaml", 25, "areas[0].deck.bays.size", "no size", "[30, 40]"},
	{"bays without a place", jobWith("    curbs:", "    deck: {bays: {size: [30, 40]}}\n    curbs:"), "job.yaml", 25, "areas[0].deck.bays.from", "begin", "[0, 0]"},
	{"bays too small", jobWith("    curbs:", "    deck: {bays: {size: [30, 1], from: [0, 0]}}\n    curbs:"), "job.yaml", 25, "areas[0].deck.bays.size", "2 ft", "[30, 40]"},
	{"a sag in inches", jobWith("    curbs:", "    deck: {sag: 2 in}\n    curbs:"), "job.yaml", 25, "areas[0].deck.sag", "share of the span", "L/240"},
	{"a sag of half the span", jobWith("    curbs:", "    deck: {sag: L/2}\n    curbs:"), "job.yaml", 25, "areas[0].deck.sag", "share of the span", "L/240"},
	{"a sag and a camber", jobWith("    curbs:", "    deck: {sag: L/240, camber: 1 in}\n    curbs:"), "job.yaml", 25, "areas[0].deck.camber", "one at a time", "keep one"},

	// the roof
	{"outline crosses itself", jobWith("[[0,0], [60,0], [60,40], [0,40]]", "[[0,0], [60,40], [60,0], [0,40]]"), "job.yaml",
		18, "areas[0].outline", "cross or touch at (30.00, 20.00)", "in order"},
	{"outline of two vertices", jobWith("[[0,0], [60,0], [60,40], [0,40]]", "[[0,0], [60,0]]"), "job.yaml", 18,
		"areas[0].outline", "three vertices", "all its corners"},
	{"vertex twice in a row", jobWith("[[0,0], [60,0],", "[[0,0], [60,0], [60,0],"), "job.yaml", 18, "areas[0].outline",
		"vertex 1 of the outline stands twice", "take one"},
	{"outline in one line", jobWith("[[0,0], [60,0], [60,40], [0,40]]", "[[0,0], [60,0], [30,0], [15,0]]"), "job.yaml", 18,
		"areas[0].outline", "", "corners in order"},
	{"an area over 1e6 sq ft", jobWith("[[0,0], [60,0], [60,40], [0,40]]", "[[0,0], [6000,0], [6000,4000], [0,4000]]"),
		"job.yaml", 18, "areas[0].outline", "1e6", "divide"},
	{"court outside", jobWith("[[40,10], [50,10], [50,20], [40,20]]", "[[70,10], [80,10], [80,20], [70,20]]"), "job.yaml",
		19, "areas[0].courts[0]", "outside the outline", "inside"},
	{"court across the outline", jobWith("[[40,10], [50,10], [50,20], [40,20]]", "[[40,10], [70,10], [70,20], [40,20]]"),
		"job.yaml", 19, "areas[0].courts[0]", "court 0 meets the outline at (60.00, 1", "move it off"},
	{"courts overlap", jobWith("[[[40,10], [50,10], [50,20], [40,20]]]",
		"[[[40,10], [50,10], [50,20], [40,20]], [[45,5], [55,5], [55,15], [45,15]]]"), "job.yaml", 19, "areas[0].courts[1]",
		"court 1 meets court 0", "both as one"},
	{"court in a court", jobWith("[[[40,10], [50,10], [50,20], [40,20]]]",
		"[[[40,10], [50,10], [50,20], [40,20]], [[42,12], [44,12], [44,14], [42,14]]]"), "job.yaml", 19, "areas[0].courts[1]",
		"court 1 lies in court 0", "inner one"},
	{"drain outside", jobWith("at: [30,20]", "at: [30,45]"), "job.yaml", 23, "areas[0].outlets[0].at",
		"drain D1 at (30.00, 45.00) lies outside the outline", "move it onto the roof, or mend the outline"},
	{"drain in a court", jobWith("at: [30,20]", "at: [45,15]"), "job.yaml", 23, "areas[0].outlets[0].at",
		"lies in court 0", "move it onto the roof, or mend court 0"},
	{"drain under a curb", jobWith("at: [30,20]", "at: [10,30]"), "job.yaml", 23, "areas[0].outlets[0]",
		"drain D1 stands under curb U1", "move one"},
	{"drain without a place", jobWith("at: [30,20], ", ""), "job.yaml", 23, "areas[0].outlets[0].at", "no place", "at: [x, y]"},
	{"scupper beyond its edge", jobWith("along: 12 ft", "along: 39.8 ft"), "job.yaml", 24, "areas[0].outlets[1].along",
		"past the end of edge 3, which is 40.00 ft", "smaller along"},
	{"edge out of range", jobWith("edge: 3, along", "edge: 4, along"), "job.yaml", 24, "areas[0].outlets[1].edge",
		"it has 4, counted from 0", "0 to 3"},
	{"edge described twice", jobWith("above: membrane}\n    outlets", "above: membrane}\n      - {edge: 0, kind: wall}\n    outlets"),
		"job.yaml", 22, "areas[0].edges[1].edge", "twice, first at line 21", "take one"},
	{"no outlet", jobWith("      - {id: D1, kind: drain, at: [30,20], size: 4 in}\n", ""), "job.yaml", 17, "areas[0]",
		"water has no outlet", "kind gutter or open"},
	{"two drains at one place", jobWith("      - {id: S1", "      - {id: D2, kind: drain, at: [30.05,20.05]}\n      - {id: S1"),
		"job.yaml", 24, "areas[0].outlets[1]", "drain D2 stands at (30.05, 20.05), the place of drain D1", "take one"},
	{"two scuppers at one place", jobWith("    curbs:", "      - {id: S2, kind: scupper, edge: 3, along: 12 ft, width: 8 in, overflow: true}\n    curbs:"),
		"job.yaml", 25, "areas[0].outlets[2]", "scupper S2 stands at (0.00, 28.00), the place of scupper S1", "take one"},
	{"two outlets of one id", jobWith("id: S1", "id: D1"), "job.yaml", 24, "areas[0].outlets[1]", "are called D1", "another id"},
	{"gutter among the outlets", jobWith("kind: drain, at: [30,20], size: 4 in", "kind: gutter"), "job.yaml", 23,
		"areas[0].outlets[0].kind", "no outlet of its own", "under edges"},
	{"door without a place", doorJob("id: E1, sill: 3 in, above: membrane"), "job.yaml", 28, "areas[0].doors[0].at", "no place", "along: 12 ft"},
	{"door without a sill", doorJob("id: E1, edge: 2, along: 9 ft"), "job.yaml", 28, "areas[0].doors[0].sill", "no sill", "above: membrane"},
	{"door whose sill has no datum", doorJob("id: E1, edge: 2, along: 9 ft, sill: 3 in"), "job.yaml", 28, "areas[0].doors[0].sill",
		"measured above", "above: membrane"},
	{"door in an edge and at a place", doorJob("id: E1, edge: 2, along: 9 ft, at: [9, 40], sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].at", "in an edge and at a place", "or at:"},
	{"door not told where in its edge", doorJob("id: E1, edge: 2, sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].along", "no place in its edge", "along: 12 ft"},
	{"door past the end of its edge", doorJob("id: E1, edge: 2, along: 59 ft, width: 3 ft, sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].along", "past the end of edge 2, which is 60.00 ft", "smaller along"},
	{"door in no edge of the outline", doorJob("id: E1, edge: 4, along: 9 ft, sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].edge", "no such edge", "from 0 to 3"},
	{"a width of a door in no edge", doorJob("id: E1, at: [40, 15], width: 3 ft, sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].width", "in no edge has no width", "take it out"},
	{"door in the middle of a court", doorJob("id: E1, at: [45, 15], sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].at", "off the roof", "in its wall"},
	{"door in the middle of a curb", doorJob("id: E1, at: [10, 30], sill: 3 in, above: deck"), "job.yaml", 28,
		"areas[0].doors[0].at", "inside curb U1", "in its wall"},
	{"door without an id", doorJob("at: [40, 15], sill: 3 in, above: deck"), "job.yaml", 28, "areas[0].doors[0].id", "no id", "id: E1"},
	{"two doors of one id", doorJob("id: E1, at: [40, 15], sill: 3 in, above: deck}\n      - {id: E1, at: [40, 12], sill: 3 in, above: deck"),
		"job.yaml", 29, "areas[0].doors[1]", "two doors of area A", "another id"},
	{"curb off the roof", jobWith("at: [10,30]", "at: [2,30]"), "job.yaml", 26, "areas[0].curbs[0]", "reaches off the roof", "inside"},
	{"curbs overlap", folder("job.yaml", soundJob+
		"      - {id: U2, at: [14,33], size: [4,4], height: 14 in, above: membrane}\n"), "job.yaml", 27,
		"areas[0].curbs[1]", "curbs U1 and U2 overlap", "draw both as one"},
	{"area without a name", jobWith("- name: A\n    outline", "- outline"), "job.yaml", 17, "areas[0].name", "no name", "name: A"},
	{"area name too long", jobWith("name: A\n", "name: "+strings.Repeat("A", 61)+"\n"), "job.yaml", 17, "areas[0].name",
		"60 characters, this one has 61", "shorter"},
	{"area name with control characters", jobWith("name: A\n", `name: "A\x1b[31m"`+"\n"), "job.yaml", 17, "areas[0].name",
		"control characters", "one line"},
	{"job name that turns the way of writing", jobWith("name: Sound", `name: "a\u202eb"`), "job.yaml", 1, "job.name",
		"control characters", "one line"},
	{"two areas of one name", folder("job.yaml", soundJob+secondArea("A", 70), "shots.csv", soundShots+farShots),
		"job.yaml", 27, "areas[1].name", "called A, the other at line 17", "another name"},
	{"areas overlap", folder("job.yaml", soundJob+secondArea("B", 58), "shots.csv", soundShots+farShots), "job.yaml", 28,
		"areas[1].outline", "areas A and B overlap by 80.0 sq ft", "once"},
}

// secondArea is an area of 40 by 40 ft that begins at x feet.
func secondArea(name string, x int) string {
	return fmt.Sprintf("  - name: %s\n    outline: [[%d,0], [%d,0], [%d,40], [%d,40]]\n"+
		"    edges: [{edge: 1, kind: gutter}]\n", name, x, x+40, x+40, x)
}

// farShots lie on every second area.
const farShots = "5,75,5,4.80,RF\n6,90,5,4.82,RF\n7,80,35,4.79,RF\n"

var badTables = []bad{
	// the files that the job names
	{"shot list missing", without("shots.csv"), "job.yaml", 3, "survey.shots", "no such file", "check the name"},
	{"a folder for the shot list", jobWith("shots: shots.csv", "shots: more"), "job.yaml", 3, "survey.shots", "no such file", "check"},
	{"shot list outside the folder", jobWith("shots: shots.csv", "shots: ../shots.csv"), "job.yaml", 3, "survey.shots",
		"outside the job's folder", "move it"},
	{"a pipe for the shot list", special("shots.csv", fs.ModeNamedPipe), "job.yaml", 3, "survey.shots", "not a regular file", "name a file"},
	{"a device for the shot list", special("shots.csv", fs.ModeDevice|fs.ModeCharDevice), "job.yaml", 3, "survey.shots", "not a regular file", "name a file"},
	{"a socket for the core list", special("cores.csv", fs.ModeSocket), "job.yaml", 5, "survey.cores", "not a regular file", "name a file"},
	{"a pipe for the boards", special("stock.csv", fs.ModeNamedPipe), "job.yaml", 15, "stock", "not a regular file", "name a file"},
	{"empty shot list", folder("shots.csv", ""), "shots.csv", 0, "", "empty", "name the file"},
	{"header alone", folder("shots.csv", "shot,x,y,rod\n"), "shots.csv", 0, "", "no shots", "add a line"},
	{"a workbook", folder("shots.csv", "PK\x03\x04abc"), "shots.csv", 0, "", "workbook", "CSV"},
	{"a header in other words", folder("shots.csv", "Punkt,Rechtswert,Hochwert,Latte\n1,5,5,4.80\n"), "shots.csv", 1, "",
		"the words of the first line (Punkt, Rechtswert, Hochwert, Latte) are not known as columns", "survey.columns"},
	{"a level book", folder("shots.csv", "Station,BS,IS,FS,Remark\nA,1.751,,,mark\nB,,0.540,,\n"), "job.yaml", 3, "survey.shots", "level book",
		"survey.places: places.csv"},
	{"a layer that is none", folder("job.yaml", with(soundJob, "shots: shots.csv", "shots: shots.csv#ROOF"), "shots.csv", twoSurfaces),
		"job.yaml", 3, "survey.shots", `no shots stand on a layer or surface named "ROOF"`, `the names are "up", "down"`},
	{"surfaces over each other", folder("shots.csv", twoSurfaces), "job.yaml", 3, "survey.shots", "2 surfaces that lie over each other",
		"shots.csv#NAME"},
	{"a drawing", folder("shots.csv", "  0\r\nSECTION\r\n  2\r\nENTITIES\r\n  0\r\nENDSEC\r\n  0\r\nEOF\r\n"), "shots.csv", 0, "",
		"no point", "as points"},
	{"a grid", folder("shots.csv", "ncols 15\nnrows 12\n"), "shots.csv", 0, "cellsize", "not given", "cellsize"},
	{"binary rubbish", folder("shots.csv", "\x01\x02\x00\x03"), "shots.csv", 0, "", "no text", "text table"},
	{"UTF-16", folder("shots.csv", "\xff\xfes\x00"), "shots.csv", 0, "", "UTF-16", "UTF-8"},
	{"headerless without columns", folder("shots.csv", "1,5,5,4.80\n2,55,5,4.82\n"), "shots.csv", 1, "", "no header", "survey.columns"},
	{"header against columns", jobWith("reading: rod", "columns: [point, n, e, z, code]\n  reading: rod"), "shots.csv", 1, "",
		`header says "x" where the job's columns say n`, "file's order"},
	{"unknown column in the job", folder("job.yaml", with(soundJob, "reading: rod", "columns: [shot, x, y, rodd, code]\n  reading: rod")),
		"job.yaml", 6, "survey.columns[3]", "unknown column", "did you mean rod"},
	{"no column of readings", folder("shots.csv", "shot,x,y,code\n1,5,5,RF\n"), "shots.csv", 1, "", "elevations or rod readings", "name it z"},
	{"two columns that mean the same", folder("shots.csv", "shot,x,e,y,rod\n1,5,5,5,4\n"), "shots.csv", 1, "", `"x" and "e" mean the same`, "rename"},
	{"elevations and rods", folder("job.yaml", with(soundJob, "  reading: rod\n", ""), "shots.csv", "x,y,z,rod\n1,2,3,4\n"),
		"shots.csv", 1, "", "elevations and rod readings", "survey.reading: rod"},

	// their values
	{"a short line", shotsWith("3,55,35,4.79,RF", "3,55,35"), "shots.csv", 4, "", "3 values where 5", "take the line out"},
	{"a long line", folder("shots.csv", "x,y,rod\n5,5,4.8\n55,5,4.8\n5,35,4,8\n"), "shots.csv", 4, "",
		"4 values where the header has 3", "take the extra values out"},
	{"a word for a reading", shotsWith("4.79", "n/a"), "shots.csv", 4, "rod", "", "write"},
	{"a reading that is NaN", shotsWith("4.79", "NaN"), "shots.csv", 4, "rod", "", "write"},
	{"two units in a reading", shotsWith("4.79", "4.5 ft 3"), "shots.csv", 4, "rod", "two units", "write 4.75 ft or 57 in"},
	{"no reading", shotsWith("4.79", ""), "shots.csv", 4, "rod", "missing", "take the line out"},
	{"a rod below 0", shotsWith("4.79", "-4.79"), "shots.csv", 4, "rod", "less than 0", "reading: elevation"},
	{"a coordinate of 1e9", shotsWith("3,55,35", "3,1e9,35"), "shots.csv", 4, "x", "1e8 ft", "near the building"},
	{"5.4 in a feet-inches book", folder("job.yaml", with(soundJob, "unit: ft\n", "unit: ft-in\n"), "shots.csv",
		"x,y,rod\n5,5,5'-4\"\n55,5,5.4\n5,35,5'-3\"\n"), "shots.csv", 3, "rod", "5.4 may be 5.4 ft or 5 ft 4 in", "5'-4"},
	{"105 in a feet-inches book", folder("job.yaml", with(with(soundJob, "unit: ft\n", "unit: ft-in\n"), "105 ft", "105"),
		"shots.csv", "x,y,rod\n5,5,5'-4\"\n55,5,5'\n5,35,5'-3\"\n"), "job.yaml", 8, "survey.hi", "105 may be 105 ft or 105 in", "write"},
	{"decimal commas and points", folder("shots.csv", "x;y;rod\n5;5;4.80\n55;5;4,82\n5;35;4.79\n"), "shots.csv", 3, "rod",
		"decimal commas and decimal points", "one of them"},
	{"two shots", folder("shots.csv", "x,y,rod\n5,5,4.80\n55,5,4.82\n"), "job.yaml", 3, "survey.shots",
		"area A has 2 shots on it", "coordinate frame"},
	{"three shots in a line", folder("shots.csv", "x,y,rod\n5,5,4.80\n30,5.02,4.8\n55,5,4.82\n"), "job.yaml", 3, "survey.shots",
		"in one line", "both sides"},
	{"x and y exchanged", folder("shots.csv", "x,y,rod\n5,5,4.80\n5,55,4.8\n35,55,4.82\n35,5,4.8\n20,45,4.8\n"), "shots.csv", 3, "shot",
		"3 of 5 shots lie off the roof, this one first; with x and y exchanged 0 would", "exchange the names"},
	{"every shot elsewhere", folder("shots.csv", "x,y,rod\n500,5,4.80\n600,5,4.8\n500,90,4.82\n"), "job.yaml", 3, "survey.shots",
		"area A has 0 shots on it", "coordinate frame"},
	{"rods without an instrument", jobWith("  hi: 105 ft\n", ""), "job.yaml", 6, "survey.reading", "height of the instrument", "hi: 104.50 ft"},
	{"elevations with an instrument", jobWith("reading: rod", "reading: elevation"), "job.yaml", 6, "survey.reading",
		"no height of instrument", "reading: rod"},
	{"hi and a benchmark", jobWith("  hi: 105 ft\n", "  hi: 105 ft\n  benchmark: {elevation: 100 ft, rod: 5 ft}\n"), "job.yaml", 9,
		"survey.benchmark", "twice, by hi and benchmark", "keep one"},
	{"a shot on a shared border", folder("job.yaml", soundJob+secondArea("B", 60), "shots.csv", soundShots+farShots+"8,60,20,4.8,RF\n"),
		"shots.csv", 9, "shot", "border between areas A and B", "area column"},
	{"a shot of an unknown area", folder("shots.csv", "x,y,rod,area\n5,5,4.8,A\n55,5,4.8,A\n5,35,4.8,C\n"), "shots.csv", 4, "area",
		"no such area", "name of an area"},
	{"a core without unit", folder("cores.csv", with(soundCores, "4-1/2 in", "4.5")), "cores.csv", 2, "thickness", "no unit", "thickness_in"},
	{"a core off the roof", folder("cores.csv", with(soundCores, "20,10", "20,90")), "cores.csv", 2, "core", "on no area", "mend"},
	{"a wet core under a recover", folder("job.yaml", with(soundJob, "tear-off", "recover"), "cores.csv", with(soundCores, "no,1", "yes,1")),
		"cores.csv", 2, "core", "wet", "tear-off"},
	{"two old roofs under a recover", folder("job.yaml", with(soundJob, "tear-off", "recover"), "cores.csv", with(soundCores, "no,1", "no,2")),
		"cores.csv", 2, "core", "2 old roofs", "tear-off"},
	{"a board against its slope", folder("stock.csv", with(soundStock, "1-1/2 in", "2-1/2 in")), "stock.csv", 2, "thick",
		"2 in thicker at one edge, its slope makes 1 in", "mend"},
	{"an unknown kind of board", folder("stock.csv", with(soundStock, "cover,", "covr,")), "stock.csv", 4, "kind", "unknown kind", "cover"},
	{"a stock without tapered boards", folder("stock.csv", "kind,thick,along,depth\nflat,2 in,4 ft,4 ft\n"), "stock.csv", 0, "",
		"no tapered boards", "kind tapered"},
}

func TestBadJobs(t *testing.T) {
	for _, b := range slices.Concat(badJobs, badTables, badLaid) {
		t.Run(b.name, func(t *testing.T) {
			job, found := Job(b.fsys, "job.yaml", nil)
			faults := found.Faults()
			if job != nil {
				t.Fatal("a bad job was taken")
			}
			if len(faults) != 1 {
				t.Fatalf("%d faults, want 1: %v", len(faults), found)
			}
			checkProblem(t, b, faults[0])
		})
	}
}

func checkProblem(t *testing.T, b bad, p problem.Problem) {
	t.Helper()
	if p.File != b.file || p.Line != b.line || p.Field != b.field {
		t.Errorf("blames %s:%d %q, want %s:%d %q", p.File, p.Line, p.Field, b.file, b.line, b.field)
	}
	if !strings.Contains(p.Why, b.why) || !strings.Contains(p.Mend, b.mend) || p.Why == "" || p.Mend == "" {
		t.Errorf("says %q; %q, want %q; %q", p.Why, p.Mend, b.why, b.mend)
	}
	if strings.HasSuffix(p.Why, ".") || strings.ToLower(p.Why[:1]) != p.Why[:1] {
		t.Errorf("%q is not in lower case without a full stop", p.Why)
	}
}

func TestSoundJob_HasNoProblems(t *testing.T) {
	if job, found := Job(folder(), "job.yaml", nil); job == nil || len(found) > 0 {
		t.Fatalf("job %v, problems %v", job, found)
	}
}

// An overflow may stand at the place of the outlet that it backs.
func TestSoundJob_OverflowAtItsOutlet(t *testing.T) {
	fsys := jobWith("      - {id: S1", "      - {id: D2, kind: drain, at: [30,20], inlet: 2 in, above: membrane, overflow: true}\n      - {id: S1")
	if job, found := Job(fsys, "job.yaml", nil); job == nil || len(found) > 0 {
		t.Errorf("job %v, problems %v", job, found)
	}
}

// A few shots off the roof are strays, however well they would lie exchanged.
func TestShots_AFewStraysAreNoExchange(t *testing.T) {
	list := "x,y,rod\n5,5,4.80\n35,35,4.8\n35,5,4.82\n20,5,4.8\n5,30,4.8\n20,45,4.8\n"
	job, found := Job(folder("shots.csv", list), "job.yaml", nil)
	if job == nil || len(found) != 1 || found[0].Line != 7 {
		t.Errorf("job %v, problems %v", job, found)
	}
}
