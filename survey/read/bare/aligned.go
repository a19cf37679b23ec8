package bare

import "strings"

// span is a value of a line and where it stands, in bytes.
type span struct {
	from, to int
	text     string
}

// spans parts a line where two blanks or more stand, so that "Back Sight" and
// 5'-1 7/16" stay whole.
func spans(line string) []span {
	var out []span
	for i := 0; i < len(line); {
		if line[i] == ' ' {
			i++
			continue
		}
		end := len(line)
		if k := strings.Index(line[i:], "  "); k >= 0 {
			end = i + k
		}
		out = append(out, span{i, end, strings.TrimSpace(line[i:end])})
		i = end
	}
	return out
}

// apart is how many bytes lie between two spans; below 0 they overlap.
func (s span) apart(o span) int { return max(s.from, o.from) - min(s.to, o.to) }

// alignedRows parts text whose columns are kept by blanks: every value belongs
// to the heading that it stands under, or next to. Two values under one heading
// stay together, to be refused as one. A line with a colon after its first word
// states something about the whole and is not parted. heading says which line
// names the columns; without one there are no rows.
func alignedRows(data []byte, most int, heading func([]string) bool) []sheetRow {
	var out []sheetRow
	var head []span
	for line, text := range sheetLines(data) {
		values := spans(text)
		if len(values) == 0 {
			continue
		}
		row := sheetRow{line, []string{strings.TrimSpace(text)}}
		switch {
		case head != nil && !strings.Contains(values[0].text, ":"):
			row.cells = under(head, values)
		case head == nil:
			var words []string
			for _, v := range values {
				words = append(words, v.text)
			}
			if heading(words) {
				head, row.cells = values, words
			}
		}
		if out = append(out, row); len(out) == most {
			break
		}
	}
	if head == nil {
		return nil
	}
	return out
}

// under puts values below their headings.
func under(head, values []span) []string {
	cells := make([]string, len(head))
	for _, v := range values {
		best := 0
		for k, h := range head {
			if v.apart(h) < v.apart(head[best]) {
				best = k
			}
		}
		cells[best] = strings.TrimSpace(cells[best] + " " + v.text)
	}
	return cells
}
