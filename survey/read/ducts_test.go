package read

import (
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

func TestBadDucts(t *testing.T) {
	for _, c := range []struct{ item, field, why, mend string }{
		{"from: [5, 5], to: [9, 5], height: 2 ft, above: deck", "[0].id", "the duct has no id", "id: M1"},
		{"id: M1, to: [9, 5], height: 2 ft, above: deck", "[0].from", "no such end", "from: [x, y]"},
		{"id: M1, from: [5, 5], height: 2 ft, above: deck", "[0].to", "no such end", "to: [x, y]"},
		{"id: M1, from: [5, 5], to: [9, 5]", "[0].height", "no height", "underside"},
		{"id: M1, from: [5, 5], to: [9, 5], height: 2 ft", "[0].height", "measured above", "above: membrane"},
		{"id: M1, from: [500, 5], to: [900, 5], height: 2 ft, above: deck", "[0].from", "duct M1 from", "over the roof"},
	} {
		b := bad{"duct", folder("job.yaml", itemJob("ducts", c.item)), "job.yaml", 28, "areas[0].ducts" + c.field, c.why, c.mend}
		job, found := Job(b.fsys, "job.yaml", nil)
		faults := found.Faults()
		if job != nil || len(faults) != 1 {
			t.Errorf("{%s}: %d faults, want 1: %v", c.item, len(faults), found)
			continue
		}
		checkProblem(t, b, faults[0])
	}
	_, found := Job(folder("job.yaml", itemJob("ducts", "id: M1, from: [5, 5], to: [9, 5], height: 2 ft, above: deck}\n"+
		"      - {id: M1, from: [5, 9], to: [9, 9], height: 2 ft, above: deck")), "job.yaml", nil)
	if len(found.Faults()) != 1 || !strings.Contains(found.Faults()[0].Why, "two ducts of area A") {
		t.Errorf("two ducts of one id: %v", found)
	}
}

func TestDucts(t *testing.T) {
	job, found := Job(folder("job.yaml", itemJob("ducts", "id: M1, from: [-5, 5], to: [9, 5], height: 2 ft, above: deck")), "job.yaml", nil)
	if job == nil || len(found) > 0 {
		t.Fatalf("job %v, problems %v", job, found)
	}
	want := survey.Duct{ID: "M1", From: pt(-5, 5), To: pt(9, 5), Height: survey.Height{Value: 2 * unit.Foot, Above: survey.AboveDeck}}
	if got := job.Areas[0].Ducts; len(got) != 1 || got[0] != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}
