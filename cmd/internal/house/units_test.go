package house

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
	"testing"
)

const unitPath = module + "/survey/unit"

// measure is the name of a measure type, or nothing for other types.
func measure(t types.Type) string {
	n, ok := types.Unalias(t).(*types.Named)
	if !ok || n.Obj().Pkg() == nil || n.Obj().Pkg().Path() != unitPath {
		return ""
	}
	switch n.Obj().Name() {
	case "Length", "Area", "Volume", "Slope", "RainRate", "Flow", "Load":
		return n.Obj().Name()
	}
	return ""
}

// unitRule looks for measures that are born, read or changed in kind without
// naming a unit. The compiler lets all of this pass.
type unitRule struct {
	info  *types.Info
	slips []slip
}

// unitSlips gives all slips of a package; survey/unit itself makes the
// measures and is free.
func unitSlips(p *pkg) []slip {
	if p.Path == unitPath || p.Info == nil {
		return nil
	}
	r := &unitRule{info: p.Info}
	for _, f := range p.Files {
		ast.Inspect(f, r.look)
	}
	return r.slips
}

func (r *unitRule) add(n ast.Node, format string, args ...any) {
	r.slips = append(r.slips, slip{n.Pos(), fmt.Sprintf(format, args...)})
}

// of is the measure of an expression.
func (r *unitRule) of(e ast.Expr) string {
	if t := r.info.Types[e].Type; t != nil {
		return measure(t)
	}
	return ""
}

// bare says whether e is a number without a unit that the compiler turned into
// a measure: a constant in which no measure is named. Nought is the same in
// all units.
func (r *unitRule) bare(e ast.Expr) bool {
	tv := r.info.Types[e]
	if tv.Value == nil || measure(tv.Type) == "" || constant.Sign(tv.Value) == 0 {
		return false
	}
	named := false
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if o := r.info.Uses[id]; o != nil && o.Type() != nil && measure(o.Type()) != "" {
				named = true
			}
		}
		return !named
	})
	return !named
}

// look visits one node; expressions that are judged by their parent are walked
// here and not again.
func (r *unitRule) look(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		return r.binary(n)
	case *ast.CallExpr:
		return r.call(n)
	case *ast.AssignStmt:
		return r.assign(n)
	case *ast.IncDecStmt:
		if m := r.of(n.X); m != "" {
			r.add(n, "%s on a unit.%s adds a bare 1", n.Tok, m)
		}
	case ast.Expr:
		if r.bare(n) {
			r.add(n, "bare number as unit.%s; name its unit: 4*unit.Foot", r.of(n))
			return false
		}
	}
	return true
}

// scale walks the operand of a product or quotient that may be a bare number.
func (r *unitRule) scale(e ast.Expr) {
	if !r.bare(e) {
		ast.Inspect(e, r.look)
	}
}

func (r *unitRule) binary(n *ast.BinaryExpr) bool {
	if r.bare(n) {
		r.add(n, "bare number as unit.%s; name its unit: 4*unit.Foot", r.of(n))
		return false
	}
	x, y := r.of(n.X) != "" && !r.bare(n.X), r.of(n.Y) != "" && !r.bare(n.Y)
	switch {
	case n.Op == token.MUL && (x || y):
		if x && y {
			r.add(n, "product of two measures is none of its own kind; use unit.AreaOf or unit.VolumeOf")
		}
		r.scale(n.X)
		r.scale(n.Y)
		return false
	case n.Op == token.QUO && (x || y):
		if y {
			r.add(n, "quotient by a measure; use unit.SlopeOf or unit.RatioOf")
		}
		r.scale(n.X)
		r.scale(n.Y)
		return false
	}
	return true
}

func (r *unitRule) assign(n *ast.AssignStmt) bool {
	if n.Tok != token.MUL_ASSIGN && n.Tok != token.QUO_ASSIGN || r.of(n.Lhs[0]) == "" {
		return true
	}
	if y := n.Rhs[0]; r.of(y) != "" && !r.bare(y) && r.info.Types[y].Value == nil {
		r.add(n, "%s with a measure changes its kind", n.Tok)
	}
	r.scale(n.Rhs[0])
	return false
}

// call judges conversions, and measures that fmt would print bare.
func (r *unitRule) call(n *ast.CallExpr) bool {
	if r.info.Types[n.Fun].IsType() && len(n.Args) == 1 {
		to, from := measure(r.info.Types[n.Fun].Type), r.of(n.Args[0])
		switch {
		case to != "" && to != from:
			r.add(n, "naked conversion to unit.%s; use unit.Feet, unit.Inches or the like", to)
			return false
		case from != "" && to != from:
			r.add(n, "naked conversion of a unit.%s; read it with .Feet(), .Inches() or the like", from)
			return false
		}
		if to != "" && r.bare(n.Args[0]) {
			r.add(n, "naked conversion to unit.%s; use unit.Feet, unit.Inches or the like", to)
			return false
		}
	}
	if sel, ok := n.Fun.(*ast.SelectorExpr); ok {
		if o := r.info.Uses[sel.Sel]; o != nil && o.Pkg() != nil && o.Pkg().Path() == "fmt" {
			for _, a := range n.Args {
				if m := r.of(a); m != "" {
					r.add(a, "a unit.%s printed without its unit", m)
				}
			}
		}
	}
	return true
}

func TestUnits_AllPackages(t *testing.T) {
	s := sources(t)
	for _, p := range s.Pkgs {
		s.report(t, unitSlips(p))
	}
}

// planted has one slip on each line that ends in "slip", and right lines.
const planted = `package planted

import (
	"fmt"

	"runnel/survey/unit"
)

const four = 4
const limit = 10 * unit.Foot

type board struct{ w unit.Length }

func take(unit.Length) {}

func wrong(l, m unit.Length, s unit.Slope) {
	var w unit.Length = 4            // slip
	w = four                         // slip
	w = 2*four + 1                   // slip
	w = -3                           // slip
	_ = []unit.Length{1}             // slip
	_ = unit.Length(w.Feet())        // slip
	_ = float64(w)                   // slip
	_ = l * m                        // slip
	_ = l / m                        // slip
	_ = l + 4                        // slip
	_ = 2 / l                        // slip
	take(12)                         // slip
	_ = board{w: 3}                  // slip
	_ = l > 5                        // slip
	w++                              // slip
	w += 2                           // slip
	w *= m                           // slip
	_ = int(l)                       // slip
	_ = unit.Slope(l)                // slip
	_ = unit.Length(7)               // slip
	_ = max(l, 6)                    // slip
	_ = fmt.Sprint(l)                // slip
	_ = unit.Foot * unit.Foot        // slip
	switch l { case 8: }             // slip
}

func right(l, m unit.Length, a unit.Area) unit.Length {
	var w unit.Length = 4 * unit.Foot
	w = four * unit.Foot
	w = unit.Feet(2.5) + 3*unit.Inch
	w = -3 * unit.Inch
	w = 0
	_ = w == 0
	_ = l / 2
	_ = 2 * l * 3
	_ = (2 + 1) * l
	w *= 2
	w /= 3
	w += limit
	_ = unit.AreaOf(l, m)
	_ = unit.SlopeOf(l, m) > 0.25*unit.InchPerFoot
	_ = fmt.Sprint(l.Feet())
	_ = max(l, 6*unit.Inch)
	_ = unit.Length(w)
	_ = []unit.Length{unit.Foot, 2 * unit.Foot, 0}
	_ = map[string]unit.Length{"a": limit / 2}
	var n float64 = 4
	_ = n * 2
	return unit.Inches(n * l.Inches())
}
`

// TestUnits_PlantedSlips holds the rule itself: every planted slip is found, on
// its line, and no right line is flagged.
func TestUnits_PlantedSlips(t *testing.T) {
	s := sources(t)
	p := s.toy(t, "taper/planted", planted)
	found := map[int]int{}
	for _, f := range unitSlips(p) {
		found[s.Fset.Position(f.pos).Line]++
	}
	planted := strings.Split(planted, "\n")
	n := 0
	for i, line := range planted {
		want := 0
		if strings.HasSuffix(line, "// slip") {
			want = 1
			n++
		}
		if found[i+1] != want {
			t.Errorf("line %d found %d times, want %d: %s", i+1, found[i+1], want, strings.TrimSpace(line))
		}
	}
	if n < 13 {
		t.Errorf("only %d slips are planted", n)
	}
}
