package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"

	"runnel/survey/problem"
	"runnel/survey/read/table"
)

// item is one value of the job file and its dotted name. An absent item keeps
// the mapping that lacks it, so that its problems have a line too.
type item struct {
	r      *jobReader
	n      *yaml.Node
	name   string
	absent bool
}

// problem blames v. A value that did not come from the file names its origin.
func (v item) problem(why, mend string) problem.Problem {
	p := problem.Problem{File: v.r.file, Line: v.n.Line, Field: v.name, Why: why, Mend: mend}
	if from, ok := v.r.from[v.n]; ok {
		p.File, p.Line = from, 0
	}
	if !v.absent {
		p.Value = written(v.n)
	}
	return p
}

func (v item) fault(why, mend string) { v.r.out.Add(v.problem(why, mend)) }

func (v item) note(why, mend string) {
	p := v.problem(why, mend)
	p.Grade = problem.Note
	v.r.out.Add(p)
}

// written gives a value as it stands in the file, short lists on one line.
func written(n *yaml.Node) string {
	switch n.Kind {
	case yaml.ScalarNode:
		return n.Value
	case yaml.SequenceNode:
		if len(n.Content) > 4 {
			return fmt.Sprintf("a list of %d", len(n.Content))
		}
		var parts []string
		for _, c := range n.Content {
			parts = append(parts, written(c))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return ""
}

// kindName says in words what a node is.
func kindName(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a group of keys"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Kind == yaml.AliasNode:
		return "an alias"
	case n.Value == "":
		return "nothing"
	}
	return "one value"
}

// fields is a mapping whose keys have been looked over.
type fields struct {
	item
	of    map[string]*yaml.Node
	meant map[string]*yaml.Node // misspelt keys, by the key they come nearest
}

// fields reads v as a mapping of the named shape: keys given twice and unknown
// ones are faults, those of later parts notes. It gives false where v is
// absent or no mapping.
func (v item) fields(shapeName string) (fields, bool) {
	f := fields{item: v, of: map[string]*yaml.Node{}, meant: map[string]*yaml.Node{}}
	if v.absent {
		return f, false
	}
	known := shapes[shapeName]
	if v.n.Kind != yaml.MappingNode {
		v.fault("a group of keys was expected, here is "+kindName(v.n),
			"write keys such as "+table.Listed(head(strings.Fields(known.now), 3)))
		return f, false
	}
	for i := 0; i+1 < len(v.n.Content); i += 2 {
		f.take(v.n.Content[i], v.n.Content[i+1], known)
	}
	return f, true
}

// take looks over one key.
func (f fields) take(k, val *yaml.Node, known shape) {
	key := item{r: f.r, n: k, name: dotted(f.name, k.Value)}
	blame := func(why, mend string) {
		p := key.problem(why, mend)
		p.Field, p.Value = key.name, ""
		f.r.out.Add(p)
	}
	first, twice := f.of[k.Value]
	switch {
	case k.Kind != yaml.ScalarNode:
		blame("a key must be one word", "write a key such as "+strings.Fields(known.now)[0])
	case twice:
		blame(fmt.Sprintf("the key stands twice, first at line %d", first.Line),
			"take one of them out")
	case !slices.Contains(known.names(), k.Value):
		mend := "the keys here are " + strings.Join(known.names(), ", ")
		if near := table.Nearest(k.Value, known.names()); near != "" {
			mend = "did you mean " + near + "?"
			f.meant[near] = val
		}
		blame("unknown key", mend)
	default:
		f.of[k.Value] = val
		if known.isLater(k.Value) {
			item{r: f.r, n: k, name: key.name, absent: true}.note(
				"read but not used yet: this part is not built", "nothing to do")
		}
	}
}

// get gives a key's value, or an absent item. A misspelt key stands in for the
// one it comes nearest, so that one slip is told once.
func (f fields) get(key string) item {
	n, ok := f.of[key]
	if !ok {
		n, ok = f.meant[key]
	}
	if !ok {
		return item{r: f.r, n: f.n, name: dotted(f.name, key), absent: true}
	}
	return item{r: f.r, n: n, name: dotted(f.name, key)}
}

func dotted(name, key string) string {
	if name == "" {
		return key
	}
	return name + "." + key
}

func head(words []string, n int) []string { return words[:min(n, len(words))] }

// list gives the values of a list; absent gives none.
func (v item) list() []item {
	if v.absent {
		return nil
	}
	if v.n.Kind != yaml.SequenceNode {
		v.fault("a list was expected, here is "+kindName(v.n),
			"write the values in brackets or one a line after a dash")
		return nil
	}
	out := make([]item, len(v.n.Content))
	for i, c := range v.n.Content {
		out[i] = item{r: v.r, n: c, name: fmt.Sprintf("%s[%d]", v.name, i)}
	}
	return out
}

// text gives a single value as written.
func (v item) text() (string, bool) {
	if v.absent {
		return "", false
	}
	if v.n.Kind != yaml.ScalarNode {
		v.fault("one value was expected, here is "+kindName(v.n), "write a single value")
		return "", false
	}
	t := strings.TrimSpace(v.n.Value)
	if t == "" || v.n.Tag == "!!null" {
		v.fault("nothing stands after this key", "write a value or take the key out")
		return "", false
	}
	if strings.ContainsFunc(t, unprintable) {
		v.fault("a value may not hold control characters", "write it on one line, in letters and digits")
		return "", false
	}
	return t, true
}

// unprintable says that r changes how the text about it is shown: a control
// character, or one that turns the way of writing.
func unprintable(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }

// word gives one of a set of words, or "" when absent or unknown.
func (v item) word(words ...string) string {
	t, ok := v.text()
	if !ok {
		return ""
	}
	t = strings.ToLower(t)
	if slices.Contains(words, t) {
		return t
	}
	mend := "write " + table.Listed(words)
	if near := table.Nearest(t, words); near != "" {
		mend = "did you mean " + near + "? The words here are " + table.Listed(words)
	}
	v.fault("unknown word", mend)
	return ""
}

// key gives a value of a mapping that has been looked over, or the mapping
// itself where it lacks the key.
func (v item) key(name string) item {
	if v.n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(v.n.Content); i += 2 {
			if v.n.Content[i].Value == name {
				return item{r: v.r, n: v.n.Content[i+1], name: dotted(v.name, name)}
			}
		}
	}
	return v
}
