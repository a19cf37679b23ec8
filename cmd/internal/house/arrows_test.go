package house

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// layers are the top folders in the order of the work; imports run from right
// to left only.
var layers = []string{"survey", "drainage", "taper", "render", "cmd"}

func layer(name string) int { return slices.Index(layers, strings.Split(name, "/")[0]) }

// only lists the packages of ours that a package may import, where the layers
// alone would allow more.
var only = map[string][]string{
	"survey/unit":    {},
	"survey/problem": {},
	"survey/cite":    {},
	"survey/geom":    {"survey/unit"},
	"survey":         {"survey/unit", "survey/geom", "survey/problem", "survey/cite"},
	"survey/read": {"survey", "survey/unit", "survey/geom", "survey/problem", "survey/cite",
		"survey/level", "survey/read/bare", "survey/read/table"},
	"survey/read/bare":  {"survey/unit", "survey/geom", "survey/problem", "survey/level", "survey/read/table"},
	"survey/read/table": {"survey", "survey/unit", "survey/geom", "survey/problem"},
	"survey/fit":        {"survey", "survey/unit", "survey/geom", "survey/problem", "survey/cite"},
	"render/scene":      {"survey/unit", "survey/geom"},
	"render/png":        {"render/scene", "survey/unit", "survey/geom"},
}

// readers are imported by the command alone: what is computed does not depend
// on where it was read.
const readers = "survey/read"

// homes says where a library may be used: in this package and below.
var homes = map[string][]string{
	"github.com/fogleman/gg":               {"render/png"},
	"github.com/golang/freetype":           {"render/png"},
	"golang.org/x/image":                   {"render/png", "render/scene"},
	"github.com/spf13/viper":               {"cmd"},
	"github.com/spf13/cobra":               {"cmd"},
	"github.com/spf13/pflag":               {"cmd"},
	"github.com/go-viper/mapstructure":     {"cmd"},
	"github.com/peterstace/simplefeatures": {"survey/geom"},
	"github.com/google/go-cmp":             {},
	"pgregory.net/rapid":                   {},
}

func within(name, folder string) bool { return name == folder || strings.HasPrefix(name, folder+"/") }

// arrowFault says what is wrong with package from importing package to, both
// without the module's name, or nothing.
func arrowFault(from, to string) string {
	allowed, listed := only[from]
	switch {
	case layer(from) < 0 || within(to, from+"/internal"):
		return ""
	case listed && !slices.Contains(allowed, to):
		return fmt.Sprintf("may import of ours only %v", allowed)
	case layer(to) > layer(from):
		return "imports run survey <- drainage <- taper <- render <- cmd"
	case within(to, readers) && layer(from) < layer("cmd") && !within(from, readers):
		return "only cmd imports " + readers
	}
	return ""
}

// libraryFault says what is wrong with package from using a library.
func libraryFault(from, lib string) string {
	for prefix, folders := range homes {
		if !within(lib, prefix) {
			continue
		}
		for _, f := range folders {
			if within(from, f) {
				return ""
			}
		}
		if len(folders) == 0 {
			return "is for tests alone"
		}
		return "stays in " + strings.Join(folders, ", ")
	}
	return ""
}

// arrowSlips gives what a package imports against the arrows. Tests may read
// files, but they do not look up the arrows either.
func arrowSlips(p *pkg) []string {
	var out []string
	for _, i := range p.Imports {
		to, ours := strings.CutPrefix(i, module+"/")
		fault := libraryFault(p.Name, i)
		if ours {
			fault = arrowFault(p.Name, to)
		}
		if fault != "" {
			out = append(out, fmt.Sprintf("%s imports %s: %s", p.Name, i, fault))
		}
	}
	for _, i := range p.TestImports {
		if to, ours := strings.CutPrefix(i, module+"/"); ours && layer(to) > layer(p.Name) {
			out = append(out, fmt.Sprintf("a test of %s imports %s from further up", p.Name, i))
		}
	}
	return out
}

func TestArrows_AllPackages(t *testing.T) {
	for _, p := range sources(t).Pkgs {
		for _, f := range arrowSlips(p) {
			t.Error(f)
		}
		if layer(p.Name) < 0 {
			t.Errorf("%s stands in none of the folders %v", p.Path, layers)
		}
	}
}

func TestArrows_PlantedImports(t *testing.T) {
	for _, c := range []struct {
		from, to string
		wrong    bool
	}{
		{"survey", "runnel/drainage", true},
		{"drainage", "runnel/taper", true},
		{"taper", "runnel/render/scene", true},
		{"render", "runnel/cmd/internal/out", true},
		{"survey/unit", "runnel/survey/geom", true},
		{"survey/geom", "runnel/survey", true},
		{"survey", "runnel/survey/read", true},
		{"survey/fit", "runnel/survey/read", true},
		{"survey", "runnel/survey/fit", true},
		{"survey/read/table", "runnel/survey/read/bare", true},
		{"survey/read/bare", "runnel/survey/read", true},
		{"survey/read", "runnel/survey/read/bare", false},
		{"drainage", "runnel/survey/read", true},
		{"render", "runnel/survey/read", true},
		{"render/png", "runnel/taper", true},
		{"render/scene", "runnel/taper", true},
		{"render", "github.com/fogleman/gg", true},
		{"survey/read", "github.com/spf13/viper", true},
		{"taper", "pgregory.net/rapid", true},
		{"survey/read", "runnel/survey", false},
		{"drainage", "runnel/survey/fit", false},
		{"survey/fit", "runnel/survey/fit/internal/mesh", false},
		{"survey/unit", "fmt", false},
		{"drainage", "runnel/drainage/internal/fill", false},
		{"taper", "runnel/drainage", false},
		{"render", "runnel/taper", false},
		{"render/png", "runnel/render/scene", false},
		{"render/png", "github.com/fogleman/gg", false},
		{"cmd/internal/pipeline", "runnel/survey/read", false},
		{"cmd/runnel", "github.com/spf13/cobra", false},
		{"survey/fit", "gonum.org/v1/gonum/mat", false},
	} {
		got := arrowSlips(&pkg{Name: c.from, Imports: []string{c.to}})
		if len(got) > 0 != c.wrong {
			t.Errorf("%s importing %s: %v, wrong should be %v", c.from, c.to, got, c.wrong)
		}
	}
	if len(arrowSlips(&pkg{Name: "drainage", TestImports: []string{"runnel/taper"}})) == 0 {
		t.Error("a test of drainage may import taper")
	}
}
