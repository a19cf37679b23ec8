package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestReadmeOutput: the output that the README shows is what its command
// prints, line by line from the start. RUNNEL_UPDATE=1 writes it anew.
func TestReadmeOutput(t *testing.T) {
	const path = "../../README.md"
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, ok := strings.Cut(string(data), "<!-- output: begin -->\n```\n")
	shown, tail, ok2 := strings.Cut(rest, "```\n<!-- output: end -->")
	if !ok || !ok2 {
		t.Fatal("README.md has no output block")
	}
	if !strings.Contains(head, "go run ./cmd/runnel run testdata/jobs/heron-wharf -o out") {
		t.Error("README.md does not name the demo command above its output")
	}
	code, out, errOut := runnel(t, "run", jobsDir+"heron-wharf", "-o", filepath.Join(t.TempDir(), "out"))
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	want, _, _ := strings.Cut(out, "Boards by layer")
	want = strings.TrimRight(want, "\n") + "\n"
	if os.Getenv("RUNNEL_UPDATE") == "1" {
		text := head + "<!-- output: begin -->\n```\n" + want + "```\n<!-- output: end -->" + tail
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if shown != want {
		t.Errorf("README.md shows\n%s\nthe command prints\n%s", shown, want)
	}
}
