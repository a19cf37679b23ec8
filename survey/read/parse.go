package read

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"runnel/survey/problem"
	"runnel/survey/read/table"
)

const (
	mostJobBytes  = 16 << 20
	mostJobValues = 1_000_000 // commas and lines; each value costs some 200 bytes
)

// parse reads the job file into nodes; nil, with a fault, where that cannot
// be done.
func (r *jobReader) parse() *yaml.Node {
	blame := func(line int, why, mend string) *yaml.Node {
		r.out.Add(problem.Problem{File: r.file, Line: line, Why: why, Mend: mend})
		return nil
	}
	data, err := readAll(r.fsys, r.file)
	switch {
	case err != nil:
		why, mend := table.FileTrouble(err)
		return blame(0, why, mend)
	case len(data) > mostJobBytes:
		return blame(0, "the job file is over 16 MB", "keep shots in a table of their own")
	case bytes.Count(data, []byte(","))+bytes.Count(data, []byte("\n")) > mostJobValues:
		return blame(0, "the job file holds over a million values; an outline may have 100000 vertices",
			"draw outlines with fewer vertices and keep shots in a table of their own")
	case bytes.IndexByte(data, 0) >= 0:
		return blame(0, "this is no text file", "name the job.yaml, or the folder that holds it")
	case len(bytes.TrimSpace(data)) == 0:
		return blame(0, "the job file is empty", "run runnel new DIR for one to start from")
	}
	var doc yaml.Node
	dec := yaml.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&doc); err != nil && !errors.Is(err, io.EOF) {
		line, why, mend := yamlTrouble(err, data)
		return blame(line, why, mend)
	}
	if len(doc.Content) == 0 {
		return blame(0, "the job file is empty", "run runnel new DIR for one to start from")
	}
	if err := dec.Decode(&yaml.Node{}); !errors.Is(err, io.EOF) {
		return blame(0, "the file holds more than one document", "keep one and take out the line of dashes")
	}
	root := doc.Content[0]
	if n := anchored(root); n != nil {
		return blame(n.Line, "anchors and aliases are not used in a job file", "write the value out where it belongs")
	}
	return root
}

// anchored finds an anchor or alias: they could make a small file stand for an
// endless one.
func anchored(n *yaml.Node) *yaml.Node {
	if n.Anchor != "" || n.Kind == yaml.AliasNode {
		return n
	}
	for _, c := range n.Content {
		if a := anchored(c); a != nil {
			return a
		}
	}
	return nil
}

var yamlLine = regexp.MustCompile(`^yaml: (?:unmarshal errors:\s*)?(?:line (\d+): )?`)

// yamlTrouble tells where the text is no YAML. A tab that indents is named as
// such, since the parser's own words for it help nobody.
func yamlTrouble(err error, data []byte) (line int, why, mend string) {
	for i, l := range bytes.Split(data, []byte("\n")) {
		if indent := l[:len(l)-len(bytes.TrimLeft(l, " \t"))]; bytes.IndexByte(indent, '\t') >= 0 {
			return i + 1, "a tab indents this line", "indent with blanks"
		}
	}
	text := err.Error()
	if m := yamlLine.FindStringSubmatch(text); m != nil {
		line, _ = strconv.Atoi(m[1])
		text = strings.TrimPrefix(text, m[0])
		if strings.HasPrefix(text, "did not find expected") {
			line++ // the parser counts these from 0, those of its scanner from 1
		}
	}
	return line, "not readable as YAML: " + text,
		"look for a missing bracket, quote or colon here or in the line before"
}

// graft puts settings in place of what the file says.
func (r *jobReader) graft(root *yaml.Node, set []Setting) {
	for _, s := range set {
		blame := func(why, mend string) {
			r.out.Add(problem.Problem{File: s.From, Field: s.Key, Value: s.Value, Why: why, Mend: mend})
		}
		keys := SettableKeys()
		switch {
		case !slices.Contains(keys, s.Key):
			mend := "the keys are " + strings.Join(keys, ", ")
			if near := table.Nearest(s.Key, keys); near != "" {
				mend = "did you mean " + near + "?"
			}
			blame("no such key can be set from outside the job file", mend)
		case !utf8.ValidString(s.Value):
			blame("the value is no UTF-8 text", "write it in plain letters")
		case root.Kind != yaml.MappingNode: // told once, by the file itself
		case !r.put(root, strings.Split(s.Key, "."), s):
			blame("a single value stands where this key would go, in the job file or in another setting", "change the job file, or set only one of the two")
		}
	}
}

// put sets the value at the end of a way of keys, making what lacks.
func (r *jobReader) put(at *yaml.Node, way []string, s Setting) bool {
	if at.Kind != yaml.MappingNode && !r.byName(at, s) {
		return false
	}
	var val *yaml.Node
	for i := 0; i+1 < len(at.Content); i += 2 {
		if at.Content[i].Value == way[0] {
			val = at.Content[i+1]
			break
		}
	}
	if val == nil {
		k := &yaml.Node{Kind: yaml.ScalarNode, Value: way[0]}
		val = &yaml.Node{Kind: yaml.MappingNode}
		r.from[k], r.from[val] = s.From, s.From
		at.Content = append(at.Content, k, val)
	}
	if len(way) > 1 {
		return r.put(val, way[1:], s)
	}
	*val = yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s.Value}
	r.from[val] = s.From
	return true
}

// byName writes a value that is short for a mapping with one key as that
// mapping: rules: us-reroof is rules: {like: us-reroof}.
func (r *jobReader) byName(at *yaml.Node, s Setting) bool {
	group, _, _ := strings.Cut(s.Key, ".")
	short := map[string]string{"rules": "like", "asbuilt": "shots"}[group]
	if short == "" || at.Kind != yaml.ScalarNode || at.Value == "" {
		return false
	}
	k, val := &yaml.Node{Kind: yaml.ScalarNode, Value: short, Line: at.Line, Column: at.Column}, *at
	if from, ok := r.from[at]; ok {
		r.from[k], r.from[&val] = from, from
	}
	*at = yaml.Node{Kind: yaml.MappingNode, Line: at.Line, Column: at.Column, Content: []*yaml.Node{k, &val}}
	return true
}

// open opens a file that the job names; trouble is blamed on v.
func (r *jobReader) open(v item, name string) (fs.File, bool) {
	full := path.Join(path.Dir(r.file), strings.ReplaceAll(name, `\`, "/"))
	if path.IsAbs(name) || !fs.ValidPath(full) {
		v.fault("the file lies outside the job's folder", "move it beside the job file and name it from there")
		return nil, false
	}
	f, err := table.Open(r.fsys, full)
	if err != nil {
		why, mend := table.FileTrouble(err)
		v.fault(why, mend)
		return nil, false
	}
	return f, true
}

// readAll reads a file, one byte over the limit at most.
func readAll(fsys fs.FS, name string) ([]byte, error) {
	f, err := table.Open(fsys, name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, mostJobBytes+1))
}
