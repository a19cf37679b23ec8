package house

import (
	"bytes"
	"fmt"
	"go/ast"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// topLevel is all that the repository's own folder holds.
var topLevel = []string{".ci", ".gitignore", "DEVELOPERS.md", "README.md", "cmd", "drainage", "go.mod", "go.sum",
	"render", "survey", "taper", "testdata"}

// optional may stand there too.
var optional = []string{".gitattributes"}

// repoFiles lists the files that are or would be committed. All folders are
// read, so that a kept test result is thrown away when a file is added.
func repoFiles(root string) ([]string, error) {
	var all []string
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == ".git":
			return filepath.SkipDir
		case d.IsDir():
			_, err := os.ReadDir(p)
			return err
		}
		rel, err := filepath.Rel(root, p)
		all = append(all, filepath.ToSlash(rel))
		return err
	})
	if err != nil {
		return nil, err
	}
	cmd := exec.Command("git", "ls-files", "-coz", "--exclude-standard")
	cmd.Dir = root
	out, err := cmd.Output()
	if err != nil { // no git here: the folder as it is
		return all, nil
	}
	kept := strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
	slices.Sort(kept)
	return slices.DeleteFunc(all, func(f string) bool {
		_, ok := slices.BinarySearch(kept, f)
		return !ok
	}), nil
}

func TestTopLevel(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range sources(t).Files {
		seen[strings.Split(f, "/")[0]] = true
	}
	for name := range seen {
		if !slices.Contains(topLevel, name) && !slices.Contains(optional, name) {
			t.Errorf("%s stands in the repository's own folder; the design has no place for it", name)
		}
	}
	for _, name := range topLevel {
		if !seen[name] {
			t.Errorf("%s is missing", name)
		}
	}
}

// textRule is something that no file holds, or only the named ones.
type textRule struct {
	what    string
	pattern *regexp.Regexp
	but     []string
}

// The patterns are written so that they do not match themselves.
var textRules = []textRule{
	{"a path of one machine", regexp.MustCompile(`(^|[^\w.])/(wor[k]|roo[t]|tm[p]|hom[e])/`), nil},
	{"words about how the project began", regexp.MustCompile(`(?i)seed[ ]document`), nil},
	{"a folder beside the repository", regexp.MustCompile(`share[d]/(data|reference|design)`), []string{".ci/run"}},
	{"something left to do", regexp.MustCompile(`\b(TOD[O]|FIXM[E]|XX[X])\b`), nil},
	{"a figure that is not computed yet", regexp.MustCompile(`(?i)not[ ]implemented`), nil},
}

// textSlips gives the broken text rules of one file.
func textSlips(name string, text []byte) []string {
	if bytes.IndexByte(text, 0) >= 0 || path.Base(name) == "go.sum" {
		return nil // no text
	}
	var out []string
	for _, r := range textRules {
		if slices.Contains(r.but, name) {
			continue
		}
		for _, at := range r.pattern.FindAllIndex(text, -1) {
			line := 1 + bytes.Count(text[:at[0]], []byte("\n"))
			out = append(out, fmt.Sprintf("%s:%d: %s: %q", name, line, r.what, text[at[0]:at[1]]))
		}
	}
	return out
}

func TestText_AllFiles(t *testing.T) {
	s := sources(t)
	for _, f := range s.Files {
		text, err := os.ReadFile(filepath.Join(s.Root, filepath.FromSlash(f)))
		if os.IsNotExist(err) {
			continue // gone since the listing
		}
		if err != nil {
			t.Error(err)
			continue
		}
		for _, slip := range textSlips(f, text) {
			t.Error(slip)
		}
	}
}

func TestText_PlantedSlips(t *testing.T) {
	for _, text := range []string{"open /wor" + "k/data", `"/tm` + `p/x"`, "see the Seed " + "document",
		"../share" + "d/data", "// TOD" + "O: later", "x\n// FIXM" + "E"} {
		if len(textSlips("taper/planted.go", []byte(text))) != 1 {
			t.Errorf("%q passes", text)
		}
	}
	for _, text := range []string{"https://example.org/wor" + "k/x", "framework/x", "a method", "out/boards.csv"} {
		if got := textSlips("taper/planted.go", []byte(text)); len(got) > 0 {
			t.Errorf("%q is flagged: %v", text, got)
		}
	}
	if len(textSlips(".ci/run", []byte("../share"+"d/data"))) > 0 {
		t.Error(".ci/run may not name the data folder")
	}
}

// The limits of length, in lines and parameters.
const (
	mostFuncLines = 60
	mostFileLines = 500
	mostParams    = 5
)

// longFuncs are the functions that may be longer, each with its reason.
var longFuncs = map[string]string{}

// lengthSlips gives the functions and files of a package that are too long.
func lengthSlips(s *source, p *pkg) []slip {
	var out []slip
	for _, f := range p.Files {
		if n := s.Fset.Position(f.FileEnd).Line; n > mostFileLines {
			out = append(out, slip{f.Package, fmt.Sprintf("%d lines in one file, %d at most", n, mostFileLines)})
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || longFuncs[p.Name+"."+fn.Name.Name] != "" {
				continue
			}
			n := s.Fset.Position(fn.End()).Line - s.Fset.Position(fn.Pos()).Line + 1
			if n > mostFuncLines {
				out = append(out, slip{fn.Pos(), fmt.Sprintf("%s has %d lines, %d at most", fn.Name.Name, n, mostFuncLines)})
			}
			if k := fn.Type.Params.NumFields(); k > mostParams {
				out = append(out, slip{fn.Pos(), fmt.Sprintf("%s has %d parameters, %d at most", fn.Name.Name, k, mostParams)})
			}
		}
	}
	return out
}

func TestLengths_AllPackages(t *testing.T) {
	s := sources(t)
	for _, p := range s.Pkgs {
		s.report(t, lengthSlips(s, p))
	}
}

func TestLengths_PlantedSlips(t *testing.T) {
	s := sources(t)
	body := strings.Repeat("\t_ = 1\n", mostFuncLines)
	p := s.toy(t, "taper/planted", "package planted\n\nfunc long() {\n"+body+"}\n\nfunc wide(a, b, c, d, e, f int) {}\n"+
		strings.Repeat("// line\n", mostFileLines))
	if got := lengthSlips(s, p); len(got) != 3 {
		t.Errorf("%d of 3 planted slips found: %v", len(got), got)
	}
}
