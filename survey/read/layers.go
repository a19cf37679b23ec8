package read

import (
	"fmt"
	"strings"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

const (
	mostLayers = 20 // of one core
	// layersOff is how far layers and the whole may be apart: each layer is read
	// to a sixteenth of an inch or so.
	layersOff = unit.Inch / 4
)

// layersOf reads the layers of a core from the top down, as the crew writes
// them: 1/2 in gravel + 1-1/2 in fibreboard wet + 2 in perlite. Each has its
// thickness with a unit, its name, and wet or dry where that was seen. told
// says that every layer has one of these words; why is empty where nothing is
// wrong.
func layersOf(text string) (out []survey.Layer, told bool, why, mend string) {
	const sample = "write layers from the top down, such as 1/2 in gravel + 2 in perlite wet"
	parts := strings.Split(text, "+")
	if len(parts) > mostLayers {
		return nil, false, fmt.Sprintf("%d layers are more than the %d of a core", len(parts), mostLayers), sample
	}
	told = true
	for _, part := range parts {
		l, said, ok := layerOf(strings.Fields(part))
		if told = told && said; !ok {
			return nil, false, fmt.Sprintf("%q is no layer with a thickness and a name", problem.Clip(strings.TrimSpace(part))), sample
		}
		out = append(out, l)
	}
	return out, told, "", ""
}

// layerOf reads one layer: the longest beginning that is a length, then words.
func layerOf(words []string) (l survey.Layer, said, ok bool) {
	for n := min(len(words), 5); n > 0; n-- {
		d, err := unit.ParseLength(strings.Join(words[:n], " "), 0)
		if err != nil || d < 0 {
			continue
		}
		rest := words[n:]
		if k := len(rest) - 1; k >= 0 {
			switch strings.ToLower(strings.Trim(rest[k], "(),")) {
			case "wet":
				l.Wet, said, rest = true, true, rest[:k]
			case "dry":
				said, rest = true, rest[:k]
			}
		}
		l.Thickness, l.Name = d, strings.Clone(strings.TrimRight(strings.Join(rest, " "), ","))
		return l, said, l.Name != ""
	}
	return l, false, false
}
