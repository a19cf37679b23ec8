package read

import (
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

// itemJob is the sound job's folder with a sill or a weep, on line 28.
func itemJob(list, item string) string {
	return soundJob + "    " + list + ":\n      - {" + item + "}\n"
}

func TestBadSillsAndWeeps(t *testing.T) {
	for list, what := range map[string]string{"sills": "sill", "weeps": "weep"} {
		for _, c := range []struct{ item, field, why, mend string }{
			{"edge: 2, along: 9 ft, height: 6 in, above: deck", "[0].id", "the " + what + " has no id", "id: E1"},
			{"id: W1, height: 6 in, above: deck", "[0].at", "no place", "along: 12 ft"},
			{"id: W1, edge: 2, along: 9 ft", "[0].height", "no height", "above: membrane"},
			{"id: W1, edge: 2, along: 9 ft, height: 6 in", "[0].height", "measured above", "above: membrane"},
			{"id: W1, edge: 2, along: 9 ft, at: [9, 40], height: 6 in, above: deck", "[0].at", "in an edge and at a place", "or at:"},
			{"id: W1, edge: 2, along: 59 ft, width: 3 ft, height: 6 in, above: deck", "[0].along", what + " W1 reaches past the end of edge 2", "smaller along"},
			{"id: W1, at: [45, 15], height: 6 in, above: deck", "[0].at", what + " W1", "in its wall"},
		} {
			b := bad{what, folder("job.yaml", itemJob(list, c.item)), "job.yaml", 28, "areas[0]." + list + c.field, c.why, c.mend}
			job, found := Job(b.fsys, "job.yaml", nil)
			faults := found.Faults()
			if job != nil || len(faults) != 1 {
				t.Errorf("%s {%s}: %d faults, want 1: %v", list, c.item, len(faults), found)
				continue
			}
			checkProblem(t, b, faults[0])
		}
		twice := itemJob(list, "id: W1, at: [40, 15], height: 6 in, above: deck}\n      - {id: W1, at: [40, 12], height: 6 in, above: deck")
		_, found := Job(folder("job.yaml", twice), "job.yaml", nil)
		if len(found.Faults()) != 1 || !strings.Contains(found.Faults()[0].Why, "two "+list+" of area A") {
			t.Errorf("two %s of one id: %v", list, found)
		}
	}
}

// A door, a sill and a weep may share an id: each is named with what it is.
func TestSillsAndWeeps(t *testing.T) {
	job, found := Job(folder("job.yaml", itemJob("sills", "id: W1, at: [40, 15], height: 9 in, above: deck")+
		"    weeps:\n      - {id: W1, edge: 3, along: 5 ft, width: 3 ft, height: 1 ft, above: membrane}\n"), "job.yaml", nil)
	if job == nil || len(found) > 0 {
		t.Fatalf("job %v, problems %v", job, found)
	}
	a := job.Areas[0]
	sill := survey.WallItem{ID: "W1", Edge: -1, At: pt(40, 15), Height: survey.Height{Value: 9 * unit.Inch, Above: survey.AboveDeck}}
	weep := survey.WallItem{ID: "W1", Edge: 3, Along: 5 * unit.Foot, At: pt(0, 35), Width: 3 * unit.Foot,
		Height: survey.Height{Value: unit.Foot, Above: survey.AboveMembrane}}
	if len(a.Sills) != 1 || a.Sills[0] != sill || len(a.Weeps) != 1 || a.Weeps[0] != weep {
		t.Errorf("sills %+v, weeps %+v", a.Sills, a.Weeps)
	}
}
