package bare

import (
	"fmt"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// filePart is what stands on one layer, or bears one name.
type filePart struct {
	single   []Place
	surfaces []Surface
	chains   [][]Place
	names    []string // that single places, surfaces and chains have
}

func (f *File) part(name string) (p filePart) {
	see := func(n string) bool {
		if k := len(p.names); k == 0 || p.names[k-1] != n {
			p.names = append(p.names, n)
		}
		return strings.EqualFold(n, name)
	}
	for i, layer := range f.Layers {
		if see(layer) {
			p.single = append(p.single, f.Places[i])
		}
	}
	for _, one := range f.Surfaces {
		if see(one.Name) {
			p.surfaces = append(p.surfaces, one)
		}
	}
	for _, c := range f.Chains {
		if see(c.Layer) && (c.Sloped() || c.Places[0].Z != 0) {
			p.chains = append(p.chains, c.Places)
		}
	}
	return p
}

// Part gives the places of one layer of a drawing, or of one surface: single
// places, those of surfaces, and those of lines that slope or lie off elevation
// 0. Lists is nil where there are none; names are those of layers and surfaces
// with places, in the order of the file, some more than once. Case does not
// matter.
func (f *File) Part(name string) (lists [][]Place, names []string) {
	p := f.part(name)
	if p.single != nil {
		lists = append(lists, p.single)
	}
	for _, s := range p.surfaces {
		lists = append(lists, s.Places)
	}
	return append(lists, p.chains...), p.names
}

// only leaves in f what stands on one layer or bears one name: the shots that
// Part gives, and outlines. Where nothing does a fault says which names there
// are, or that the file has no parts.
func (f *File) only(file, name string) {
	p := f.part(name)
	var outlines []Outline
	for _, o := range f.Outlines {
		if p.names = append(p.names, o.Name); strings.EqualFold(o.Name, name) {
			outlines = append(outlines, o)
		}
	}
	if len(p.single)+len(p.surfaces)+len(p.chains)+len(outlines) == 0 && len(f.Problems.Faults()) == 0 {
		why, mend := "the file has no parts that can be named", "take #"+clip(name)+" out"
		if known := quotedOnce(p.names); len(known) > 0 {
			why, mend = fmt.Sprintf("no layer, surface or outline is named %q", clip(name)), "the names are "+problem.Firsts(known)
		}
		f.Problems.Add(problem.Problem{File: file, Why: why, Mend: mend})
	}
	f.Places, f.Surfaces, f.Outlines = p.single, p.surfaces, outlines
	for _, c := range p.chains {
		f.Places = append(f.Places, c...)
	}
	f.Layers, f.Chains, f.Kinds, f.Level, f.Sheet = nil, nil, nil, nil, nil
	f.Thinned, f.Nameless = 0, 0
}

// quotedOnce gives each name once, quoted, in the order of their coming.
func quotedOnce(names []string) []string {
	var out []string
	seen := map[string]bool{"": true}
	for _, n := range names {
		if !seen[n] {
			seen[n] = true
			out = append(out, strconv.Quote(clip(n)))
		}
	}
	return out
}
