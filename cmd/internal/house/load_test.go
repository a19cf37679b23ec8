// Package house holds the code of this repository to its own rules: units,
// one-way imports, a pure core, one vocabulary, short functions, clean files.
// It has tests only. A rule that finds a slip names the file and the line; a
// package that does not build is reported once and passed over.
package house

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

const module = "runnel"

// pkg is one package of ours.
type pkg struct {
	Path        string // runnel/survey/unit
	Name        string // survey/unit
	Files       []*ast.File
	Info        *types.Info
	Imports     []string
	TestImports []string
	Err         error // it does not build
}

// source is all our code, read once.
type source struct {
	Root    string
	Fset    *token.FileSet
	Pkgs    []*pkg
	Files   []string // every file of the repository, relative, with slashes
	exports map[string]string
	lib     types.Importer
}

var load = sync.OnceValues(func() (*source, error) {
	root, err := repoRoot()
	if err != nil {
		return nil, err
	}
	s := &source{Root: root, Fset: token.NewFileSet(), exports: map[string]string{}}
	if s.Files, err = repoFiles(root); err != nil {
		return nil, err
	}
	listed, err := goList(root)
	if err != nil {
		return nil, err
	}
	for _, l := range listed {
		if l.Export != "" {
			s.exports[l.ImportPath] = l.Export
		}
	}
	s.lib = importer.ForCompiler(s.Fset, "gc", func(path string) (io.ReadCloser, error) {
		if f, ok := s.exports[path]; ok {
			return os.Open(f)
		}
		return nil, fmt.Errorf("no export data of %s: it does not build", path)
	})
	for _, l := range listed {
		if !l.DepOnly && (l.ImportPath == module || strings.HasPrefix(l.ImportPath, module+"/")) {
			s.Pkgs = append(s.Pkgs, s.check(l))
		}
	}
	return s, nil
})

// sources gives all our code.
func sources(t *testing.T) *source {
	t.Helper()
	s, err := load()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// repoRoot is the folder of go.mod.
func repoRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("no go.mod above the test")
		}
		dir = up
	}
}

// listedPkg is what go list says of a package.
type listedPkg struct {
	ImportPath, Dir, Export            string
	GoFiles                            []string
	Imports, TestImports, XTestImports []string
	DepOnly                            bool
	Error                              *struct{ Err string }
}

// goList asks the go command for all packages of ours and their export data.
func goList(root string) ([]listedPkg, error) {
	cmd := exec.Command("go", "list", "-e", "-export", "-deps",
		"-json=ImportPath,Dir,Export,GoFiles,Imports,TestImports,XTestImports,DepOnly,Error", "./...")
	cmd.Dir = root
	var complaints strings.Builder
	cmd.Stderr = &complaints
	out, runErr := cmd.Output() // fails too where one package does not build
	var listed []listedPkg
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var l listedPkg
		if err := dec.Decode(&l); err == io.EOF {
			break
		} else if err != nil {
			return nil, fmt.Errorf("go list: %w\n%s", err, complaints.String())
		}
		listed = append(listed, l)
	}
	if len(listed) == 0 {
		return nil, fmt.Errorf("go list found nothing: %w\n%s", runErr, complaints.String())
	}
	return listed, nil
}

// check parses and type-checks one package.
func (s *source) check(l listedPkg) *pkg {
	p := &pkg{Path: l.ImportPath, Name: strings.TrimPrefix(l.ImportPath, module+"/"), Imports: l.Imports,
		TestImports: append(append([]string{}, l.TestImports...), l.XTestImports...)}
	if l.Error != nil {
		p.Err = errors.New(l.Error.Err)
	}
	for _, name := range l.GoFiles {
		f, err := parser.ParseFile(s.Fset, filepath.Join(l.Dir, name), nil, parser.ParseComments)
		if err != nil {
			p.Err = err
			continue
		}
		p.Files = append(p.Files, f)
	}
	if p.Err == nil && len(p.Files) > 0 {
		p.Info, p.Err = s.types(p.Path, p.Files)
	}
	return p
}

// types type-checks parsed files against the export data of what they import.
func (s *source) types(path string, files []*ast.File) (*types.Info, error) {
	info := &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{},
		Defs:  map[*ast.Ident]types.Object{},
		Uses:  map[*ast.Ident]types.Object{},
	}
	conf := types.Config{Importer: s.lib}
	_, err := conf.Check(path, s.Fset, files, info)
	return info, err
}

// toy type-checks a planted source as package path.
func (s *source) toy(t *testing.T, path, src string) *pkg {
	t.Helper()
	f, err := parser.ParseFile(s.Fset, "planted.go", src, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	p := &pkg{Path: module + "/" + path, Name: path, Files: []*ast.File{f}}
	if p.Info, err = s.types(p.Path, p.Files); err != nil {
		t.Fatal(err)
	}
	for _, i := range f.Imports {
		p.Imports = append(p.Imports, strings.Trim(i.Path.Value, `"`))
	}
	return p
}

// at is a place as file:line, relative to the repository.
func (s *source) at(pos token.Pos) string {
	p := s.Fset.Position(pos)
	if rel, err := filepath.Rel(s.Root, p.Filename); err == nil && filepath.IsAbs(p.Filename) {
		p.Filename = filepath.ToSlash(rel)
	}
	return fmt.Sprintf("%s:%d", p.Filename, p.Line)
}

// slip is one broken rule.
type slip struct {
	pos  token.Pos
	what string
}

// report fails the test for each slip.
func (s *source) report(t *testing.T, slips []slip) {
	t.Helper()
	for _, f := range slips {
		t.Errorf("%s: %s", s.at(f.pos), f.what)
	}
}

func TestAllPackagesBuild(t *testing.T) {
	s := sources(t)
	for _, p := range s.Pkgs {
		if p.Err != nil {
			t.Errorf("%s does not build and is not checked: %v", p.Path, p.Err)
		}
	}
	if len(s.Pkgs) < 6 {
		t.Errorf("only %d packages found", len(s.Pkgs))
	}
}
