package pipeline

import (
	"maps"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

// edit is a file with one line changed: the first that holds all of some words;
// without words, wherever from is found.
func edit(t *testing.T, text string, words []string, from, to string) string {
	t.Helper()
	re := regexp.MustCompile(from)
	if len(words) == 0 && re.MatchString(text) {
		return re.ReplaceAllString(text, to)
	}
	lines := strings.Split(text, "\n")
	n := slices.IndexFunc(lines, func(l string) bool {
		return re.MatchString(l) && !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(l, w) })
	})
	if n < 0 {
		t.Fatalf("no line with %q has %s", words, from)
	}
	lines[n] = re.ReplaceAllString(lines[n], to)
	return strings.Join(lines, "\n")
}

// Faults that are planted in the files of a sound run are seen, and by the law that
// each breaks.
func TestLawsBroken_SeesPlantedFaults(t *testing.T) {
	job := zooJob(t, "ell")
	dressed(job)
	a, err := designFor(job, true)
	if err != nil {
		t.Fatal(err)
	}
	sound := filesOf(t, job, a)
	look := func(f runFiles) []string { return lawsBroken(f, rand.New(rand.NewPCG(1, 2)), 800) }
	if got := look(sound); len(got) > 0 {
		t.Fatalf("the sound run is faulted: %q", got)
	}
	board := func(typ, cut string) []string {
		return []string{`"kind":"board"`, `"type":"` + typ + `"`, `"cut":` + cut}
	}
	const plan, cuts, summary = "plan.geojson", "cuts.csv", "summary.json"
	for _, c := range []struct {
		law, file string
		words     []string
		from, to  string
	}{
		{"facets are a partition", plan, []string{`"kind":"facet"`}, `"kind":"facet"`, `"kind":"spare"`},
		{"thickness", plan, []string{`"kind":"facet"`}, `"t0_in":`, `"t0_in":1`},
		{"one board a layer", plan, board("base", "false"), `"layer":1`, `"layer":2`},
		{"joints apart", plan, board("base", "false"), `"layer":1`, `"layer":2`},
		{"each base layer once", plan, board("fill", "false"), `"type":"fill"`, `"type":"base"`},
		{"cover on top", plan, board("tapered", "false"), `"type":"tapered"`, `"type":"cover"`},
		{"no crease crossed", plan, nil, `"type":"base"`, `"type":"cover"`},
		{"areas", plan, board("cover", "false"), `"kind":"board"`, `"kind":"spare"`},
		{"thick edge", plan, board("tapered", "false"), `"uphill_deg":`, `"uphill_deg":1`},
		{"thick edge", plan, board("tapered", "true"), `"tx_in_per_ft":[-0-9.e]*`, `"tx_in_per_ft":0.1`},
		{"one mark a row", plan, board("tapered", "true"), `"thin_in":`, `"thin_in":1`},
		{"rows meet", plan, []string{`"kind":"board"`, `"type":"fill"`}, `"thin_in":`, `"thin_in":1`},
		{"volume", summary, nil, `("insulation": {\s*"volume_cuft": )`, `${1}1`},
		{"one count", "boards.csv", []string{",tapered,"}, `^(A,\d+,tapered,[^,]*,4x4,)`, `${1}1`},
		{"one count", summary, []string{`"to_order"`}, `"to_order": `, `"to_order": 1`},
		{"one count", plan, board("tapered", "false"), `"cut":false`, `"cut":true`},
		{"a piece once", cuts, []string{",tapered,"}, `,\d+,([^,]*,[^,]*,0,(true|false),)`, `,77777,${1}`},
		{"rows.csv", "rows.csv", []string{",tapered,"}, `,tapered,`, `,fill,`},
		{"in its board", cuts, []string{",4,4,tapered,"}, `,0,0,0,false,`, `,0.1,0,0,false,`},
		{"thick edge", cuts, []string{",4,4,tapered,"}, `,0,0,0,false,`, `,0,0.1,0,false,`},
		{"thick edge", cuts, []string{",tapered,"}, `,0,(true|false),`, `,180,${1},`},
		{"no overlap", cuts, []string{",true,", ",tapered,"}, `,true,`, `,false,`},
		{"its box", cuts, []string{","}, `,(?:90|270),(true|false),`, `,0,${1},`},
		{"its box", cuts, []string{",4,4,tapered,"}, `,4,4,tapered,`, `,4,3.9,tapered,`},
		{"bounds", summary, []string{"area_bound"}, `"area_bound": `, `"area_bound": 1`},
		{"bounds", summary, []string{"cut_bound"}, `"cut_bound": `, `"cut_bound": 1`},
	} {
		files := maps.Clone(sound)
		files[c.file] = []byte(edit(t, string(files[c.file]), c.words, c.from, c.to))
		if got := look(files); !slices.ContainsFunc(got, func(f string) bool { return strings.HasPrefix(f, c.law+": ") }) {
			t.Errorf("%s, %s for %s: %q is not seen, but %q", c.file, c.to, c.from, c.law, got)
		}
	}
}

// dressed gives a job two base layers, a cover board and pieces that are cut
// face-down.
func dressed(job *survey.Job) {
	choice := *job.Taper
	choice.Base, choice.Cover, choice.TurnBoard = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}, unit.Inch/2, true
	job.Taper = &choice
}
