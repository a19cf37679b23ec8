package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestPlanOnly: without a survey no verdict is claimed anywhere, and every
// output says so.
func TestPlanOnly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	code, text, errOut := runnel(t, "run", jobsDir+"plan-only", "-o", dir)
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var sum struct {
		Areas []struct {
			Rung     string `json:"rung"`
			Existing struct {
				PondsFree   string   `json:"ponds_free_by_survey"`
				MeetsDesign string   `json:"meets_design_slope"`
				Ponds       *int     `json:"ponds"`
				Below       *float64 `json:"below_minimum_pct"`
			} `json:"existing"`
			Finished struct {
				PondsFree   string `json:"ponds_free_by_survey"`
				MeetsDesign string `json:"meets_design_slope"`
			} `json:"finished"`
			Boards struct {
				Pieces int `json:"pieces"`
			} `json:"boards"`
		} `json:"areas"`
	}
	decode(t, filepath.Join(dir, "summary.json"), &sum)
	a := sum.Areas[0]
	if a.Rung != "unknown" || a.Existing.PondsFree != "unknown" || a.Existing.MeetsDesign != "unknown" ||
		a.Finished.PondsFree != "unknown" || a.Finished.MeetsDesign != "unknown" || a.Boards.Pieces == 0 {
		t.Errorf("without a survey: %+v", a)
	}
	if a.Existing.Ponds != nil || a.Existing.Below != nil {
		t.Error("figures of a surface that nobody measured")
	}
	const banner = "LEVEL DECK ASSUMED, NOT SURVEYED"
	if !strings.Contains(text, banner) {
		t.Errorf("the report lacks %q", banner)
	}
	for _, name := range []string{"boards.csv", "cuts.csv", "plan.geojson", "summary.json"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || !strings.Contains(string(data), banner) {
			t.Errorf("%s lacks %q (%v)", name, banner, err)
		}
	}
	var plan struct {
		Features []struct {
			Properties map[string]any `json:"properties"`
		} `json:"features"`
	}
	decode(t, filepath.Join(dir, "plan.geojson"), &plan)
	for _, f := range plan.Features {
		if v := f.Properties["verdict"]; v != nil && v != "unknown" {
			t.Fatalf("path %v: verdict %v on a deck that nobody measured", f.Properties["id"], v)
		}
	}
}

// TestEveryPathFails: 60 x 40 ft of 1/4 in/ft planes fail the rule that every
// path slopes 1/4 on their valleys (0.25/sqrt 2) by geometry, and the slope
// that would pass, 0.354, is named.
func TestEveryPathFails(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	code, text, errOut := runnel(t, "run", jobsDir+"bare-rectangle", "-o", dir, "--strict", "--set", "rules=every-path")
	if code != exitDoesNotPass {
		t.Fatalf("exit %d, want %d: %s", code, exitDoesNotPass, errOut)
	}
	if !strings.Contains(text, "0.3536 in/ft") {
		t.Errorf("the slope that would pass is not named:\n%s", text)
	}
	var sum struct {
		Areas []struct {
			Finished struct {
				Ponds       int    `json:"ponds"`
				MeetsDesign string `json:"meets_design_slope"`
			} `json:"finished"`
			Proof struct {
				Passes        bool
				Field, Valley string
			} `json:"proof"`
		} `json:"areas"`
	}
	decode(t, filepath.Join(dir, "summary.json"), &sum)
	a := sum.Areas[0]
	if a.Finished.MeetsDesign != "falls-short" || a.Finished.Ponds != 0 || a.Proof.Passes ||
		a.Proof.Field != "meets" || a.Proof.Valley != "falls-short" {
		t.Errorf("%+v", a)
	}
}
