package read

import (
	"io/fs"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"runnel/survey/problem"
)

// Located gives the problems that a later stage found with a job the file, and the
// line and the value of the keys that they name as fields (`areas[0].joints[1]`).
// Those that name a file stay as they are; a key that does not stand in the file
// has no line.
func Located(fsys fs.FS, name string, found problem.List) problem.List {
	r := &jobReader{fsys: fsys, file: name}
	root := r.parse()
	out := append(problem.List(nil), found...)
	for i, p := range out {
		if p.File != "" {
			continue
		}
		out[i].File = name
		if n := nodeAt(root, p.Field); n != nil {
			out[i].Line, out[i].Value = n.Line, written(n)
		}
	}
	return out
}

// nodeAt is the value of a dotted key with places in lists in brackets; nil where
// there is none.
func nodeAt(n *yaml.Node, field string) *yaml.Node {
	for _, step := range strings.FieldsFunc(field, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		if n == nil {
			return nil
		}
		next := (*yaml.Node)(nil)
		if k, err := strconv.Atoi(step); err == nil && k >= 0 && n.Kind == yaml.SequenceNode && k < len(n.Content) {
			next = n.Content[k]
		}
		if n.Kind == yaml.MappingNode {
			if v := (item{n: n}).key(step); v.n != n {
				next = v.n
			}
		}
		n = next
	}
	return n
}
