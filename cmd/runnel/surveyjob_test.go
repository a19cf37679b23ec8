package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestSurveyJob: the survey of a job is told in full, verdicts of later stages
// are not, and its pictures are written only where asked.
func TestSurveyJob(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "evidence")
	code, text, errOut := runnel(t, "survey", jobsDir+"heron-wharf", "-o", dir)
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	for _, want := range []string{"How it was measured", "How far it can be trusted", "150 shots used", "Leave-one-out error",
		"INFERRED DECK", "URGENT: Test drain D3", "To ask of the whole job", "Measure again before ordering"} {
		if !strings.Contains(text, want) {
			t.Errorf("the survey does not say %q", want)
		}
	}
	if strings.Contains(text, "Least work") {
		t.Error("the survey tells what the roof needs")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if want := []string{".runnel", "existing.png", "survey.png"}; !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
	if code, _, errOut := runnel(t, "survey", jobsDir+"heron-wharf/shots.csv", "-o", dir); code != exitFailed ||
		!strings.Contains(errOut, "--out is for a job") {
		t.Errorf("a bare file with --out: exit %d: %s", code, errOut)
	}
}
