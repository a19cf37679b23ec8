package pipeline

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey/problem"
	"runnel/survey/read"
	"runnel/survey/unit"
)

// bookText is the demo's list of shots, header and lines, and its job.
func bookText(t *testing.T) (lines []string, job string) {
	t.Helper()
	var text [2]string
	for i, name := range []string{"shots.csv", "job.yaml"} {
		data, err := os.ReadFile(jobsDir + "heron-wharf/" + name)
		if err != nil {
			t.Fatal(err)
		}
		text[i] = string(data)
	}
	return strings.Split(strings.TrimSpace(text[0]), "\n"), text[1]
}

// readBook reads the demo with another list of shots.
func readBook(t *testing.T, lines []string, job string) problem.List {
	t.Helper()
	cores, err := os.ReadFile(jobsDir + "heron-wharf/cores.csv")
	if err != nil {
		t.Fatal(err)
	}
	read, found := read.Job(fstest.MapFS{"job.yaml": {Data: []byte(job)}, "cores.csv": {Data: cores},
		"shots.csv": {Data: []byte(strings.Join(lines, "\n") + "\n")}}, "job.yaml", nil)
	if read != nil {
		found = append(found, read.Notes...)
	}
	return found
}

// rodOf is the reading of a line of the demo's list.
func rodOf(t *testing.T, line string) (parts []string, rod unit.Length) {
	t.Helper()
	parts = strings.SplitN(line, ",", 5)
	rod, err := unit.ParseFieldBook(strings.Trim(strings.ReplaceAll(parts[3], `""`, `"`), ` `))
	if err != nil {
		t.Fatal(err)
	}
	return parts, rod
}

// decimalBook is the list in decimal feet, every reading to two decimals.
func decimalBook(t *testing.T, lines []string) []string {
	out := slices.Clone(lines)
	for i := range out[1:] {
		parts, rod := rodOf(t, out[i+1])
		parts[3] = fmt.Sprintf("%.2f", rod.Feet())
		out[i+1] = strings.Join(parts, ",")
	}
	return out
}

// Feet and inches with a point between, 5.4 for 5 ft 4 in, in one line of the
// list: in a book of feet and inches the reader asks about it, in a book of
// decimal feet its one decimal stands out among two; each planted 20 times at
// random lines and named by its line every time. Books without it are read
// without a word about it.
func TestRead_PlantedFeetInches(t *testing.T) {
	lines, job := bookText(t)
	rng := rand.New(rand.NewPCG(plantSeed(t), 300))
	inDecimals := strings.Replace(job, "unit: ft-in", "unit: ft", 1)
	for _, book := range []struct {
		name, job, words string
		lines            []string
	}{
		{"feet and inches", job, "ft or %d ft %d in", lines},
		{"decimal feet", inDecimals, "it may be %d ft %d in", decimalBook(t, lines)},
	} {
		said := func(found problem.List, line int, words string) bool {
			return slices.ContainsFunc(found, func(p problem.Problem) bool {
				return p.File == "shots.csv" && p.Line == line && strings.Contains(p.Why, words) && p.Mend != ""
			})
		}
		for _, p := range readBook(t, book.lines, book.job) {
			if strings.Contains(p.Why, " ft ") && p.File == "shots.csv" {
				t.Errorf("%s: a sound book: %v", book.name, p)
			}
		}
		const tries = 20
		named := 0
		for range tries {
			i := 1 + rng.IntN(len(lines)-1)
			_, rod := rodOf(t, lines[i])
			ft, in := int(rod.Feet()), int(rod.Inches())%12
			spoilt := slices.Clone(book.lines)
			parts := strings.SplitN(spoilt[i], ",", 5)
			parts[3] = fmt.Sprintf("%d.%d", ft, in)
			spoilt[i] = strings.Join(parts, ",")
			if said(readBook(t, spoilt, book.job), i+1, fmt.Sprintf(book.words, ft, in)) {
				named++
			}
		}
		t.Logf("5.4 for 5 ft 4 in, one line of a book of %-16s named %2d of %d", book.name, named, tries)
		if named < tries {
			t.Errorf("%s: named %d of %d", book.name, named, tries)
		}
	}
}

// The same fault where the list does not show it (a sheet drops the zero of
// 5.40) is left to the neighbours of the shot. It is off by 0.2 in for each inch
// read: by size, each 20 times. 1 in to 5 in are under 1 in off, which the roof
// itself bends by between shots; 9 in are 1.8 in off, 14 standard errors.
func TestScreen_FeetInchesBySize(t *testing.T) {
	demo := readJob(t, "heron-wharf")
	rng := rand.New(rand.NewPCG(plantSeed(t), 400))
	const tries = 20
	for in := 1; in <= 9; in++ {
		named := 0
		for range tries {
			tr := newTrial(rng, demo)
			i := tr.any()
			tr.raise(i, -0.2*float64(in))
			if ok := tr.shotNamed(i, "what its neighbours say"); ok(tr.screen()) {
				named++
			}
		}
		t.Logf("%d.%d for %d ft %d in: off by %.1f in (%4.1f sigma): named %2d of %d", 4, in, 4, in, 0.2*float64(in),
			0.2*float64(in)/readingIn, named, tries)
		if in == 9 && named < 14 {
			t.Errorf("a fault of 1.8 in is named %d of %d times", named, tries)
		}
	}
}
