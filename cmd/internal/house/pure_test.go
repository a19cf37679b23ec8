package house

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"testing"
)

// pure says whether a package belongs to the core that computes and neither
// reads, writes nor looks at the clock. The readers may open files through
// fs.FS and know the file system's errors.
func pure(name string) bool {
	return layer(name) >= 0 && layer(name) < layer("cmd") && name != readers
}

// impure are the packages that the core does not import, with all below them.
var impure = []string{"os", "net", "log", "time", "math/rand", "crypto/rand", "syscall", "unsafe", "plugin",
	"runtime/debug", "flag", "io/ioutil"}

// pureSlips gives what a core package does beside computing.
func pureSlips(p *pkg) []slip {
	if !pure(p.Name) {
		return nil
	}
	var out []slip
	for _, f := range p.Files {
		for _, i := range f.Imports {
			path := strings.Trim(i.Path.Value, `"`)
			if slices.ContainsFunc(impure, func(b string) bool { return within(path, b) }) {
				out = append(out, slip{i.Pos(), "the core imports no " + path})
			}
		}
		if p.Info != nil {
			out = append(out, printing(p.Info, f)...)
			out = append(out, changed(p.Info, f)...)
		}
	}
	return out
}

// printing finds calls that write to the console.
func printing(info *types.Info, f *ast.File) []slip {
	var out []slip
	ast.Inspect(f, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		if !ok {
			return true
		}
		switch o := info.Uses[id].(type) {
		case *types.Builtin:
			if o.Name() == "print" || o.Name() == "println" {
				out = append(out, slip{id.Pos(), "the core prints nothing"})
			}
		case *types.Func:
			if o.Pkg() != nil && o.Pkg().Path() == "fmt" && strings.HasPrefix(o.Name(), "Print") {
				out = append(out, slip{id.Pos(), "the core prints nothing"})
			}
		}
		return true
	})
	return out
}

// changed finds package variables that something writes to, or whose address
// goes elsewhere.
func changed(info *types.Info, f *ast.File) []slip {
	var out []slip
	check := func(e ast.Expr) {
		if v := packageVar(info, e); v != nil {
			out = append(out, slip{e.Pos(), "package variable " + v.Name() + " is changed"})
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, e := range n.Lhs {
				check(e)
			}
		case *ast.IncDecStmt:
			check(n.X)
		case *ast.UnaryExpr:
			if n.Op == token.AND {
				check(n.X)
			}
		}
		return true
	})
	return out
}

// packageVar is the package variable that an expression reaches into.
func packageVar(info *types.Info, e ast.Expr) *types.Var {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			v, ok := info.Uses[x].(*types.Var)
			if ok && v.Pkg() != nil && v.Parent() == v.Pkg().Scope() {
				return v
			}
			return nil
		case *ast.SelectorExpr:
			if v, ok := info.Uses[x.Sel].(*types.Var); ok && !v.IsField() {
				return v
			}
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return nil
		}
	}
}

func TestPureCore_AllPackages(t *testing.T) {
	s := sources(t)
	for _, p := range s.Pkgs {
		s.report(t, pureSlips(p))
	}
}

func TestPureCore_PlantedSlips(t *testing.T) {
	const src = `package planted

import (
	"fmt"
	"io"
	"os"      // slip
	"math/rand/v2" // slip
	"time"    // slip
)

var count int
var table = []int{1, 2}
var errGone = io.EOF

func do() {
	fmt.Println("hello") // slip
	println("hello")     // slip
	count++              // slip
	table[0] = 3         // slip
	_ = &count           // slip
	n := 0
	n++
	_ = fmt.Sprintln(n, table[1], errGone, time.Now(), rand.Int(), os.Args)
}
`
	s := sources(t)
	found := map[int]int{}
	for _, f := range pureSlips(s.toy(t, "taper/planted", src)) {
		found[s.Fset.Position(f.pos).Line]++
	}
	for i, line := range strings.Split(src, "\n") {
		want := 0
		if strings.HasSuffix(line, "// slip") {
			want = 1
		}
		if found[i+1] != want {
			t.Errorf("line %d found %d times, want %d: %s", i+1, found[i+1], want, strings.TrimSpace(line))
		}
	}
	if got := pureSlips(s.toy(t, "cmd/planted", src)); len(got) > 0 {
		t.Error("the command may talk, but is held to the core's rule")
	}
}
