package out

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"runnel/render"
)

// text is a file with fixed content.
func text(name, content string) render.File {
	return render.File{Name: name, Write: func(w io.Writer) error {
		_, err := io.WriteString(w, content)
		return err
	}}
}

// tree lists all files under dir with their content, links as links.
func tree(t *testing.T, dir string) []string {
	t.Helper()
	var list []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		line := rel
		if d.Type().IsRegular() {
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			line += "=" + string(data)
		}
		list = append(list, line)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestWrite_NewAndAgain(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "out")
	if err := Write(dir, []render.File{text("a.csv", "1"), text("b.png", "2")}); err != nil {
		t.Fatal(err)
	}
	want := []string{".", "out", "out/.runnel=a.csv\nb.png\n", "out/a.csv=1", "out/b.png=2"}
	if got := tree(t, top); !slices.Equal(got, want) {
		t.Fatalf("got %q, want %q", got, want)
	}
	if err := Write(dir, []render.File{text("a.csv", "new")}); err != nil {
		t.Fatal(err)
	}
	want = []string{".", "out", "out/.runnel=a.csv\n", "out/a.csv=new"}
	if got := tree(t, top); !slices.Equal(got, want) {
		t.Fatalf("the second run left %q, want %q: old files must go", got, want)
	}
}

// TestWrite_TakesAnEmptyFolder: nothing is lost in a folder that was made for
// the run.
func TestWrite_TakesAnEmptyFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Write(dir, []render.File{text("a.csv", "1")}); err != nil {
		t.Fatal(err)
	}
	if got, want := tree(t, dir), []string{".", ".runnel=a.csv\n", "a.csv=1"}; !slices.Equal(got, want) {
		t.Errorf("left %q, want %q", got, want)
	}
}

// TestWrite_Refuses: each error leaves everything as it was.
func TestWrite_Refuses(t *testing.T) {
	must := func(err error) {
		if err != nil {
			t.Helper()
			t.Fatal(err)
		}
	}
	good := []render.File{text("a.csv", "1")}
	cases := []struct {
		story   string
		prepare func(top string)
		dir     string
		files   []render.File
		says    string
	}{
		{"somebody else's folder", func(top string) {
			must(os.Mkdir(filepath.Join(top, "out"), 0o755))
			must(os.WriteFile(filepath.Join(top, "out", "thesis.txt"), []byte("x"), 0o644))
		}, "out", good, "not made by Runnel"},
		{"a file of the user's in Runnel's folder", func(top string) {
			must(Write(filepath.Join(top, "out"), good))
			must(os.WriteFile(filepath.Join(top, "out", "notes.txt"), []byte("x"), 0o644))
		}, "out", good, "notes.txt"},
		{"a hidden folder of the user's in Runnel's folder", func(top string) {
			must(Write(filepath.Join(top, "out"), good))
			must(os.Mkdir(filepath.Join(top, "out", ".git"), 0o755))
		}, "out", good, ".git"},
		{"a file in the way", func(top string) {
			must(os.WriteFile(filepath.Join(top, "out"), []byte("x"), 0o644))
		}, "out", good, "is a file"},
		{"a link to one of Runnel's folders", func(top string) {
			must(Write(filepath.Join(top, "real"), good))
			must(os.Symlink("real", filepath.Join(top, "out")))
		}, "out", good, "is a link"},
		{"a marker that is a link", func(top string) {
			must(os.Mkdir(filepath.Join(top, "out"), 0o755))
			must(os.WriteFile(filepath.Join(top, "other"), []byte("x"), 0o644))
			must(os.Symlink("../other", filepath.Join(top, "out", marker)))
		}, "out", good, "not made by Runnel"},
		{"no folder above", func(string) {}, "no/such/out", good, "no such folder"},
		{"the folder above is a file", func(top string) {
			must(os.WriteFile(filepath.Join(top, "job.yaml"), nil, 0o644))
		}, "job.yaml/out", good, "folder"},
		{"a writer that breaks over an old run", func(top string) {
			must(Write(filepath.Join(top, "out"), good))
		}, "out", []render.File{text("a.csv", "2"), {Name: "b.csv", Write: func(w io.Writer) error {
			_, _ = io.WriteString(w, "half")
			return errors.New("pen broke")
		}}}, "write b.csv: pen broke"},
		{"a writer that breaks on a first run", func(string) {}, "out",
			[]render.File{{Name: "b.csv", Write: func(io.Writer) error { return errors.New("pen broke") }}}, "pen broke"},
		{"a name that leads out", func(string) {}, "out", []render.File{text("../evil", "1")}, "cannot name"},
		{"a name in a folder", func(string) {}, "out", []render.File{text("sub/a.csv", "1")}, "cannot name"},
		{"a name that would be the marker", func(string) {}, "out", []render.File{text(marker, "1")}, "cannot name"},
		{"no name", func(string) {}, "out", []render.File{text("", "1")}, "cannot name"},
		{"one name twice", func(string) {}, "out", append(good, good...), "a.csv"},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			top := t.TempDir()
			c.prepare(top)
			before := tree(t, top)
			err := Write(filepath.Join(top, c.dir), c.files)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want one that says %q", err, c.says)
			}
			if after := tree(t, top); !slices.Equal(before, after) {
				t.Errorf("left %q, before it was %q", after, before)
			}
		})
	}
}

// TestWrite_Panic: not even a writer that panics leaves a folder behind.
func TestWrite_Panic(t *testing.T) {
	top := t.TempDir()
	err := Write(filepath.Join(top, "out"), []render.File{{Name: "a", Write: func(io.Writer) error { panic("x") }}})
	if err == nil || !strings.Contains(err.Error(), "write a: a fault of Runnel's own") {
		t.Errorf("error %v", err)
	}
	if got := tree(t, top); len(got) != 1 {
		t.Errorf("left %q", got)
	}
}

// TestWrite_ParentIsALink: the folder above may be reached through a link.
func TestWrite_ParentIsALink(t *testing.T) {
	top := t.TempDir()
	if err := os.Mkdir(filepath.Join(top, "real"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", filepath.Join(top, "link")); err != nil {
		t.Fatal(err)
	}
	if err := Write(filepath.Join(top, "link", "out"), []render.File{text("a.csv", "1")}); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(filepath.Join(top, "real", "out", "a.csv")); err != nil || string(data) != "1" {
		t.Errorf("got %q, %v", data, err)
	}
}

// TestWrite_KeepsLinkedTargets: a link that stands in an old run is removed,
// not what it leads to.
func TestWrite_KeepsLinkedTargets(t *testing.T) {
	top := t.TempDir()
	dir, target := filepath.Join(top, "out"), filepath.Join(top, "target")
	if err := Write(dir, []render.File{text("a.csv", "1")}); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(target, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(target, "keep"), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "a.csv")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, filepath.Join(dir, "a.csv")); err != nil {
		t.Fatal(err)
	}
	if err := Write(dir, []render.File{text("a.csv", "2")}); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(target, "keep")); err != nil {
		t.Errorf("the target of a link went with the old run: %v", err)
	}
}
