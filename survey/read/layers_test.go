package read

import (
	"reflect"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

func TestLayersOf(t *testing.T) {
	got, told, why, _ := layersOf(`1/2 in gravel + 1-1/2 in fibreboard wet + 2" perlite dry+25 mm wood fibre (wet)`)
	want := []survey.Layer{{Name: "gravel", Thickness: unit.Inches(0.5)}, {Name: "fibreboard", Thickness: unit.Inches(1.5), Wet: true},
		{Name: "perlite", Thickness: unit.Inches(2)}, {Name: "wood fibre", Thickness: unit.Millimetres(25), Wet: true}}
	if why != "" || told || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v %s, want %+v", got, why, want)
	}
	for _, bad := range []string{"2", "perlite", "2 perlite", "2 in", "2 in wet", "1/2 in gravel +", "-2 in perlite", "1 in a + 2", strings.Repeat("1 in a+", 25) + "1 in b"} {
		if got, _, why, mend := layersOf(bad); why == "" || mend == "" {
			t.Errorf("%q is read as %+v", bad, got)
		}
	}
}

// Of a core either the whole is stated, or the layers, or both where they agree.
func TestCores_Layers(t *testing.T) {
	const layers = "1/2 in gravel + 2 in fibreboard wet + 2 in perlite"
	for _, c := range []struct {
		name, list string
		core       survey.Core
		fault      string
	}{
		{"layers alone", "id,x,y,layers\nC1,20,10," + layers + "\n", survey.Core{Thickness: unit.Inches(4.5), Wet: true, WetKnown: true}, ""},
		{"both", "id,x,y,thickness,layers\nC1,20,10,4-1/2 in," + layers + "\n", survey.Core{Thickness: unit.Inches(4.5), Wet: true, WetKnown: true}, ""},
		{"a whole read by itself", "id,x,y,thickness,layers\nC1,20,10,4-5/8 in," + layers + "\n", survey.Core{Thickness: unit.Inches(4.625), Wet: true, WetKnown: true}, ""},
		{"some with layers", "id,x,y,thickness,layers,wet\nC1,20,10,3 in,,no\n", survey.Core{Thickness: unit.Inches(3), WetKnown: true}, ""},
		{"every layer dry", "id,x,y,layers\nC1,20,10,1 in gravel dry + 2 in wool (dry)\n", survey.Core{Thickness: unit.Inches(3), WetKnown: true}, ""},
		{"one layer of which nothing is said", "id,x,y,layers\nC1,20,10,1 in gravel + 2 in wool dry\n", survey.Core{Thickness: unit.Inches(3)}, ""},
		{"layers that do not add up", "id,x,y,thickness,layers\nC1,20,10,4 in," + layers + "\n", survey.Core{}, "add up to 4 1/2"},
		{"a wet layer in a dry core", "id,x,y,layers,wet\nC1,20,10," + layers + ",no\n", survey.Core{}, "a layer of the core is wet"},
		{"a count of roofs", "id,x,y,thickness,layers\nC1,20,10,4 in,1\n", survey.Core{}, "no layer with a thickness"},
		{"neither", "id,x,y,thickness,layers\nC1,20,10,,\n", survey.Core{}, "missing"},
		{"no column for it", "id,x,y\nC1,20,10\n", survey.Core{}, "no column thickness"},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, found := Job(folder("cores.csv", c.list), "job.yaml", nil)
			if c.fault != "" {
				if f := found.Faults(); len(f) != 1 || !strings.Contains(f[0].Why, c.fault) {
					t.Errorf("%v, want %q", found, c.fault)
				}
				return
			}
			if err := found.Err(); err != nil {
				t.Fatal(err)
			}
			got := job.Areas[0].Cores[0]
			if got.Thickness != c.core.Thickness || got.Wet != c.core.Wet || got.WetKnown != c.core.WetKnown {
				t.Errorf("core %+v, want %+v", got, c.core)
			}
		})
	}
}

// A recover over a wet roof or two is refused, over one of which that is not
// stated it is asked about; so is a tear-off in part where the old roof stays.
func TestCores_MayStay(t *testing.T) {
	const part = "scope: {partial: [[0,0], [30,0], [30,40], [0,40]]}" // holds C1 at (20, 10)
	for _, c := range []struct {
		name, scope, rest string
		fault, note       string
	}{
		{"dry, one roof", "scope: recover", "20,10,4 in,no,1", "", ""},
		{"wet", "scope: recover", "20,10,4 in,yes,1", "wet here", ""},
		{"two roofs", "scope: recover", "20,10,4 in,no,2", "2 old roofs", ""},
		{"nothing stated", "scope: recover", "20,10,4 in,,", "", "neither wetness nor"},
		{"wetness not stated", "scope: recover", "20,10,4 in,,1", "", "whether the old roof is wet"},
		{"roofs not stated", "scope: recover", "20,10,4 in,no,", "", "how many old roofs"},
		{"wet and torn off", "scope: tear-off", "20,10,4 in,yes,2", "", ""},
		{"wet in the part torn off", part, "20,10,4 in,yes,2", "", ""},
		{"wet where the old roof stays", part, "55,10,4 in,yes,1", "wet here", ""},
		{"not stated where it stays", part, "55,10,4 in,,", "", "neither wetness nor"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fsys := folder("job.yaml", with(soundJob, "scope: tear-off", c.scope), "cores.csv", "id,x,y,thickness,wet,roofs\nC1,"+c.rest+"\n")
			job, found := Job(fsys, "job.yaml", nil)
			for _, want := range []struct {
				word string
				got  int
				text string
			}{{c.fault, len(found.Faults()), "fault"}, {c.note, len(found.Notes()), "note"}} {
				if want.word == "" && want.got > 0 || want.word != "" && (want.got != 1 || !strings.Contains(found[0].Why, want.word)) {
					t.Errorf("%s: %v, want %q", want.text, found, want.word)
				}
			}
			if job != nil && c.scope == part && (job.Scope != survey.Partial || len(job.Part) != 4) {
				t.Errorf("scope %v, part %v", job.Scope, job.Part)
			}
		})
	}
}

func TestEvidence(t *testing.T) {
	text := with(soundJob, "  hi: 105 ft\n", `  hi: 105 ft
  method: rotary laser and rod
  instrument: laser, 1/16 in at 100 ft
  checked: "2026-11-20, turned half round, 1/16 in"
  date: 2026-11-24
  by: K. L. and an apprentice
  weather: dry, 8 deg C, no wind
  photos:
    - {file: IMG_12.jpg, at: [30, 20], note: "drain D1, strainer gone"}
    - {file: IMG_13.jpg, at: [10, 33]}
  closings:
    - {on: BM1, found: 100.01 ft, known: 100.00 ft, allowed: 0.02 ft}
`)
	text = with(text, "    courts:", "    deck: {type: steel, span: 30 deg, framing: unknown}\n    courts:")
	job, found := mustRead(t, folder("job.yaml", text))
	e := job.Survey.Evidence
	if e.Method != "rotary laser and rod" || e.Date != "2026-11-24" || e.Checked != "2026-11-20, turned half round, 1/16 in" ||
		e.By == "" || e.Weather == "" || e.Instrument == "" {
		t.Errorf("evidence %+v", e)
	}
	if p := job.Survey.Photos; len(p) != 2 || p[0] != (survey.Photo{File: "IMG_12.jpg", At: pt(30, 20), Note: "drain D1, strainer gone"}) {
		t.Errorf("photos %+v", p)
	}
	if d := job.Areas[0].Deck; d.Type != "steel" || *d.SpanDeg != 30 || d.Framing != "unknown" {
		t.Errorf("deck %+v", d)
	}
	if c := job.Survey.LooseClosings(); len(c) != 1 || c[0].On != "BM1" || c[0].By != "the job" {
		t.Errorf("closings %+v", c)
	}
	if len(found) > 0 {
		t.Errorf("notes %v", found)
	}
}

// Photos and ponds seen that lie off every area are told, with their line; a
// photo from a ladder, from a court, or of a pond over the edge is not.
func TestMarksOffTheRoof(t *testing.T) {
	for _, c := range []struct {
		key, value string
		field, why string // of the note; empty: none
	}{
		{"photos", "{file: a.jpg, at: [99, 99]}", "survey.photos[0].at", "the photo was taken at (99.00, 99.00), on no area"},
		{"photos", "{file: a.jpg, at: [-5, 20]}", "", ""},
		{"photos", "{file: a.jpg, at: [45, 15]}", "", ""},
		{"seen", "{pond: [[80,80], [84,80], [84,84]], depth: 1 in, hours: 40}", "seen[0].pond", "the pond was seen at (80.00, 80.00), on no area"},
		{"seen", "{pond: [[20,20], [24,20], [24,24]], depth: 1 in, hours: 40}", "", ""},
		{"seen", "{pond: [[-90,-90], [900,-90], [0,900]], depth: 1 in, hours: 40}", "", ""},
	} {
		text := with(soundJob, "scope:", "seen: ["+c.value+"]\nscope:")
		if c.key == "photos" {
			text = with(soundJob, "  hi: 105 ft\n", "  hi: 105 ft\n  photos: ["+c.value+"]\n")
		}
		_, found := mustRead(t, folder("job.yaml", text))
		switch {
		case c.why == "" && len(found) == 0:
		case c.why == "" || len(found) != 1 || found[0].Field != c.field || found[0].Line != 9 || !strings.Contains(found[0].Why, c.why):
			t.Errorf("%s %s: %v", c.key, c.value, found)
		}
	}
}
