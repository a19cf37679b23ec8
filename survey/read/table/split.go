package table

import (
	"bytes"
	"strings"
)

// separatorOf tells from its first line what parts the values of a table:
// tab, semicolon, upright stroke, comma or blanks. Blanks win over commas where every comma
// stands between digits, one a value: those are decimal commas.
func separatorOf(line string) byte {
	for _, sep := range []byte{'\t', ';', '|'} {
		if len(split(line, sep, nil)) >= 3 {
			return sep
		}
	}
	if decimalCommas(strings.Fields(line)) {
		return ' '
	}
	if strings.Contains(line, ",") {
		return ','
	}
	if strings.Contains(line, ";") {
		return ';'
	}
	return ' '
}

// decimalCommas says whether words look like numbers with decimal commas.
func decimalCommas(words []string) bool {
	with := 0
	for _, w := range words {
		before, after, found := strings.Cut(w, ",")
		if !found {
			continue
		}
		if before == "" || after == "" || !isDigit(before[len(before)-1]) || !isDigit(after[0]) ||
			strings.Contains(after, ",") {
			return false
		}
		with++
	}
	return with >= 2 && len(words) >= 3
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// split parts a line into values without the blanks round them; into is used
// again. A value in double quotes may hold the separator; a double quote
// elsewhere, or one without partner, is an inch mark.
func split(line string, sep byte, into []string) []string {
	out := into[:0]
	if sep == ' ' {
		return splitBlanks(line, out)
	}
	for {
		line = strings.TrimLeft(line, blanks(sep))
		if value, rest, more, ok := quoted(line, sep); ok {
			out = append(out, value)
			if !more {
				return out
			}
			line = rest
			continue
		}
		i := strings.IndexByte(line, sep)
		if i < 0 {
			return append(out, strings.TrimSpace(line))
		}
		out = append(out, strings.TrimSpace(line[:i]))
		line = line[i+1:]
	}
}

// blanks is what may stand round a value.
func blanks(sep byte) string {
	if sep == '\t' {
		return " "
	}
	return " \t"
}

func splitBlanks(line string, out []string) []string {
	for {
		line = strings.TrimLeft(line, " \t")
		if line == "" {
			return out
		}
		if value, rest, _, ok := quoted(line, ' '); ok {
			out, line = append(out, value), rest
			continue
		}
		i := strings.IndexAny(line, " \t")
		if i < 0 {
			i = len(line)
		}
		if n := len(out); n > 0 && inchesOf(out[n-1], line[:i], line[i:]) {
			out[n-1] += " " + line[:i]
		} else {
			out = append(out, line[:i])
		}
		line = line[i:]
	}
}

// inchesOf says whether a word belongs to the feet before it, as 4" does in
// 5' 4", 1/2" in 5'-4 1/2" and, because of what follows, 4 in 5' 4 1/2".
func inchesOf(feet, word, rest string) bool {
	if !strings.ContainsAny(feet, "'\u2032") || strings.ContainsAny(feet, "\"\u2033") || !isDigit(word[0]) {
		return false
	}
	if strings.HasSuffix(word, `"`) || strings.HasSuffix(word, "\u2033") || strings.Contains(word, "/") {
		return true
	}
	next, _, _ := strings.Cut(strings.TrimLeft(rest, " \t"), " ")
	return isDigit(word[len(word)-1]) && next != "" && isDigit(next[0]) && strings.Contains(next, "/")
}

// quoted takes a value in double quotes from the start of a line, where the
// closing quote is followed by the separator or the end.
func quoted(line string, sep byte) (value, rest string, more, ok bool) {
	if !strings.HasPrefix(line, `"`) {
		return "", "", false, false
	}
	for i := 1; i < len(line); i++ {
		if line[i] != '"' {
			continue
		}
		after := strings.TrimLeft(line[i+1:], blanks(sep))
		switch {
		case after == "":
			return unquoted(line[1:i]), "", false, true
		case sep != ' ' && after[0] == sep:
			return unquoted(line[1:i]), after[1:], true, true
		case sep == ' ' && len(after) < len(line[i+1:]):
			return unquoted(line[1:i]), after, true, true
		case line[i+1] == '"':
			i++ // a doubled quote stands for one
		}
	}
	return "", "", false, false
}

func unquoted(s string) string { return strings.TrimSpace(strings.ReplaceAll(s, `""`, `"`)) }

// Foreign says what a file is that is no delimited text, by how it begins;
// empty where it may be.
func Foreign(start []byte) (why, mend string) {
	for _, f := range []struct{ magic, why, mend string }{
		{"PK\x03\x04", "this is a workbook or a zip archive", "save the sheet as CSV"},
		{"\xd0\xcf\x11\xe0", "this is an old workbook", "save the sheet as CSV"},
		{"LASF", "this is a point cloud", "export it as x,y,z text"},
		{"\x89PNG", "this is a picture", "ask for the points as a text table"},
		{"\xff\xd8\xff", "this is a picture", "ask for the points as a text table"},
		{"%PDF", "this is a PDF", "ask for the points as a text table"},
		{"<", "this is XML", "export the points as a text table"},
		{"{", "this is JSON", "export the points as a text table"},
		{"\xff\xfe", "the text is UTF-16", "save it as UTF-8"},
		{"\xfe\xff", "the text is UTF-16", "save it as UTF-8"},
	} {
		if bytes.HasPrefix(start, []byte(f.magic)) {
			return f.why, f.mend
		}
	}
	const export = "export the points as a text table"
	words := strings.Fields(strings.ToLower(string(start[:min(len(start), 200)])))
	switch {
	case bytes.IndexByte(start, 0) >= 0:
		return "this is no text", export
	case len(words) > 1 && words[0] == "0" && words[1] == "section":
		return "this is a DXF drawing", export
	case len(words) > 0 && words[0] == "ncols":
		return "this is an ASCII grid", export
	case len(words) > 0 && strings.HasPrefix(words[0], "multipolygon"), len(words) > 0 && strings.HasPrefix(words[0], "polygon"):
		return "this is an outline in WKT", export
	}
	return "", ""
}
