package house

import (
	"fmt"
	"go/ast"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// notNames are words that no exported name holds, each with the word to use.
// Plurals count too.
var notNames = map[string]string{
	"project":     "job",
	"boundary":    "outline",
	"side":        "edge",
	"sample":      "shot",
	"sink":        "outlet",
	"penetration": "curb, pipe",
	"terrain":     "surface",
	"dem":         "surface",
	"pitch":       "slope",
	"depression":  "pond",
	"trace":       "path",
	"basin":       "drainage area",
	"catchment":   "drainage area",
	"panel":       "facet, board",
	"face":        "facet",
	"diamond":     "cricket",
	"course":      "row",
	"tile":        "board",
	"spec":        "rule set",
	"status":      "verdict",
	"util":        "a name that says what it does",
	"helper":      "a name that says what it does",
	"manager":     "a name that says what it does",
}

// notInText are words that no text for people holds. The list is shorter, since
// sentences use common words in their common sense.
var notInText = map[string]string{
	"project":     "job",
	"boundary":    "outline",
	"dem":         "surface",
	"terrain":     "surface",
	"pitch":       "slope",
	"depression":  "pond",
	"basin":       "drainage area",
	"catchment":   "drainage area",
	"panel":       "facet, board",
	"diamond":     "cricket",
	"penetration": "curb, pipe",
	// That a bay is not so only its engineer may say.
	"susceptible": "the slope and the water of a bay",
}

// kernel says whether a package mirrors papers and may keep their words.
func kernel(name string) bool {
	return strings.Contains(name, "internal/") && layer(name) < layer("cmd")
}

// foreignFiles is the package that tells what survey files hold. Those have
// faces, in LandXML and DXF alike, which are no facets of ours.
const foreignFiles = "survey/read/bare"

// camel splits a Go name into lower-case words.
func camel(name string) []string {
	var words []string
	start := 0
	r := []rune(name)
	for i := 1; i <= len(r); i++ {
		if i == len(r) || unicode.IsUpper(r[i]) && (!unicode.IsUpper(r[i-1]) || i+1 < len(r) && unicode.IsLower(r[i+1])) {
			words = append(words, strings.ToLower(string(r[start:i])))
			start = i
		}
	}
	return words
}

// better looks a word up, in the singular too.
func better(list map[string]string, word string) (string, bool) {
	for _, w := range []string{word, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es"),
		strings.TrimSuffix(word, "ies") + "y"} {
		if use, ok := list[w]; ok {
			return use, true
		}
	}
	return "", false
}

// exported gives the exported names that a file declares.
func exported(f *ast.File) []*ast.Ident {
	var out []*ast.Ident
	add := func(ids ...*ast.Ident) {
		for _, id := range ids {
			if id.IsExported() {
				out = append(out, id)
			}
		}
	}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			add(d.Name)
		case *ast.GenDecl:
			ast.Inspect(d, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.TypeSpec:
					add(n.Name)
				case *ast.ValueSpec:
					add(n.Names...)
				case *ast.StructType:
					for _, field := range n.Fields.List {
						add(field.Names...)
					}
				case *ast.InterfaceType:
					for _, m := range n.Methods.List {
						add(m.Names...)
					}
				}
				return true
			})
		}
	}
	return out
}

var letters = regexp.MustCompile(`[A-Za-z]+`)

// texts gives the string literals of a file that may reach people: not the
// import paths, struct tags and patterns.
func texts(f *ast.File) []*ast.BasicLit {
	var out []*ast.BasicLit
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			return n.Tag == nil
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				out = append(out, n)
			}
		}
		return true
	})
	return out
}

// wordSlips gives the words of a package that the vocabulary has not.
func wordSlips(p *pkg) []slip {
	if kernel(p.Name) {
		return nil
	}
	var out []slip
	for _, f := range p.Files {
		for _, id := range exported(f) {
			for _, w := range camel(id.Name) {
				if use, bad := better(notNames, w); bad && !(p.Name == foreignFiles && use == notNames["face"]) {
					out = append(out, slip{id.Pos(), fmt.Sprintf("%s: the word here is %s, not %s", id.Name, use, w)})
				}
			}
		}
		for _, l := range texts(f) {
			text, err := strconv.Unquote(l.Value)
			if err != nil {
				continue
			}
			for _, w := range letters.FindAllString(text, -1) {
				if use, bad := better(notInText, strings.ToLower(w)); bad {
					out = append(out, slip{l.Pos(), fmt.Sprintf("text says %q; the word here is %s", w, use)})
				}
			}
		}
	}
	return out
}

func TestWords_AllPackages(t *testing.T) {
	s := sources(t)
	for _, p := range s.Pkgs {
		s.report(t, wordSlips(p))
	}
}

func TestWords_PlantedSlips(t *testing.T) {
	const src = `package planted

type RoofProject struct{ Boundaries int } // slip slip
type job struct{ project int }

const Low = "the low point"
const DEMGrid = 1 // slip
const Message = "2 catchments" // slip
const Sound = "not susceptible" // slip
const Fine = "inside the outline" + "projected"

func (job) PitchOf() {} // slip
func Basinet() {}
`
	s := sources(t)
	found := map[int]int{}
	for _, f := range wordSlips(s.toy(t, "taper/planted", src)) {
		found[s.Fset.Position(f.pos).Line]++
	}
	for i, line := range strings.Split(src, "\n") {
		if want := strings.Count(line, " slip"); found[i+1] != want {
			t.Errorf("line %d found %d times, want %d: %s", i+1, found[i+1], want, line)
		}
	}
	if got := wordSlips(s.toy(t, "drainage/internal/planted", src)); len(got) > 0 {
		t.Error("a kernel may keep the words of its paper")
	}
	if got := camel("DEMGridOf2Ponds"); !slices.Equal(got, []string{"dem", "grid", "of2", "ponds"}) {
		t.Errorf("DEMGridOf2Ponds splits into %v", got)
	}
}
