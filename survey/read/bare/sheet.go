package bare

import (
	"bytes"
	"errors"
	"iter"
	"math"
	"strings"

	"runnel/survey/unit"
)

// mostSheetRows is the count of rows from which a level book or a grid sheet is
// refused: both are kept by hand.
const mostSheetRows = 100_000

// mostSheetBytes is the size from which they are refused.
const mostSheetBytes = 16 << 20

// tooLong says why a sheet is no work of hands; empty where it may be.
func tooLong(data []byte, rows int) string {
	switch {
	case len(data) > mostSheetBytes:
		return "larger than 16 MB"
	case rows > mostSheetRows:
		return "more than 100,000 rows"
	}
	return ""
}

// sheetRow is one line of a table kept by hand; blank lines are left out.
type sheetRow struct {
	line  int
	cells []string
}

// cell gives one value; empty where the row is shorter.
func (r sheetRow) cell(i int) string {
	if i < 0 || i >= len(r.cells) {
		return ""
	}
	return r.cells[i]
}

// sheetRows parts text into rows; most is how many are wanted.
func sheetRows(data []byte, sep byte, most int) []sheetRow {
	var out []sheetRow
	for line, text := range sheetLines(data) {
		row := sheetRow{line, cutCells(text, sep)}
		if strings.Join(row.cells, "") == "" {
			continue
		}
		if out = append(out, row); len(out) == most {
			break
		}
	}
	return out
}

// sheetLines gives the lines of a text, by number from 1, whatever ends them.
func sheetLines(data []byte) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		data := bytes.TrimPrefix(data[:min(len(data), mostSheetBytes)], []byte("\ufeff"))
		for line := 1; len(data) > 0; line++ {
			text := data
			if i := bytes.IndexAny(data, "\r\n"); i < 0 {
				data = nil
			} else {
				text = data[:i]
				if data[i] == '\r' && i+1 < len(data) && data[i+1] == '\n' {
					i++
				}
				data = data[i+1:]
			}
			if !yield(line, string(text)) {
				return
			}
		}
	}
}

// cutCells parts a line. A value in double quotes may hold the separator, and
// doubled quotes for one; a quote elsewhere is an inch mark.
func cutCells(line string, sep byte) []string {
	var out []string
	for {
		line = strings.TrimLeft(line, " ")
		value, rest, ok := quotedCell(line, sep)
		if !ok {
			value, rest = line, ""
			if i := strings.IndexByte(line, sep); i >= 0 {
				value, rest = line[:i], line[i:]
			}
		}
		out = append(out, strings.TrimSpace(value))
		if rest == "" {
			return out
		}
		line = rest[1:]
	}
}

// quotedCell takes a value in quotes from the start of a line; rest begins with
// the separator, or is empty.
func quotedCell(line string, sep byte) (value, rest string, ok bool) {
	if !strings.HasPrefix(line, `"`) {
		return "", "", false
	}
	for i := 1; i < len(line); i++ {
		if line[i] != '"' {
			continue
		}
		if i+1 < len(line) && line[i+1] == '"' {
			i++
			continue
		}
		after := strings.TrimLeft(line[i+1:], " ")
		if after == "" || after[0] == sep {
			return strings.ReplaceAll(line[1:i], `""`, `"`), after, true
		}
		return "", "", false
	}
	return "", "", false
}

// sheetSeparators are tried in this order.
const sheetSeparators = "\t;|,"

// sheetKey reads a line that states something about the whole sheet: "unit:
// ft", "# unit: ft", or unit and ft in two values with nothing after them.
// Benchmark, start and the like need the colon: they may be names of places.
func sheetKey(r sheetRow) (key, value string, ok bool) {
	if len(trimmedCells(r.cells)) > 2 {
		return "", "", false
	}
	first := strings.TrimSpace(strings.TrimLeft(r.cell(0), "# "))
	if i := strings.IndexAny(first, ":="); i > 0 {
		value = strings.TrimSpace(first[i+1:])
		if value == "" {
			value = r.cell(1)
		}
		key = sheetKeyOf(sheetWord(first[:i]))
		return key, value, key != "" && value != ""
	}
	value = r.cell(1)
	switch key = sheetKeyOf(sheetWord(first)); key {
	case "benchmark", "closing", "hi":
		return "", "", false
	}
	return key, value, key != "" && value != ""
}

// trimmedCells leaves blank cells at the end of a row out.
func trimmedCells(cells []string) []string {
	n := len(cells)
	for n > 0 && cells[n-1] == "" {
		n--
	}
	return cells[:n]
}

func sheetKeyOf(word string) string {
	switch word {
	case "unit", "units":
		return "unit"
	case "rod", "staff":
		return "rod"
	case "length", "length of line", "line length", "loop length", "circuit", "length of loop":
		return "length"
	case "benchmark", "bm", "start", "start elevation", "benchmark elevation":
		return "benchmark"
	case "closing", "closing elevation", "closing benchmark":
		return "closing"
	case "hi", "height of instrument", "hpc":
		return "hi"
	case "plan", "plan unit":
		return "plan"
	case "readings", "values":
		return "readings"
	}
	return ""
}

// sheetWord is a heading in lower case without dots, brackets and what stands
// in them.
func sheetWord(s string) string {
	if i := strings.IndexAny(s, "(["); i > 0 {
		s = s[:i]
	}
	s = strings.ToLower(strings.ReplaceAll(s, ".", ""))
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), " ")
	for _, u := range []string{" ft", " m", " mm", " in", " feet", " metres"} {
		s = strings.TrimSuffix(s, u)
	}
	return s
}

// unitWord knows a unit by its word.
func unitWord(s string) unit.Length {
	switch strings.ToLower(strings.Trim(s, " .")) {
	case "ft", "feet", "foot":
		return unit.Foot
	case "us-ft", "us ft", "us survey feet", "ussft", "us survey foot", "survey feet":
		return unit.SurveyFoot
	case "in", "inch", "inches":
		return unit.Inch
	case "m", "metre", "metres", "meter", "meters":
		return unit.Metre
	case "mm", "millimetres", "millimeters":
		return unit.Millimetre
	}
	return 0
}

// isFeetInches knows the words for values written in feet and inches, whose
// plain numbers are asked about.
func isFeetInches(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .")) {
	case "ft-in", "ft in", "ft/in", "ft and in", "feet-inches", "feet inches", "feet and inches", "feet-and-inches":
		return true
	}
	return false
}

// unitMend says which words are known.
const unitMend = "write ft, ft-in, us-ft, in, m or mm"

// inHeading is the word for a unit that a heading carries, if it does.
func inHeading(s string) string {
	if i := strings.IndexAny(s, "(["); i >= 0 {
		return strings.Trim(s[i:], "()[] ")
	}
	if i := strings.LastIndexAny(s, " _"); i > 0 {
		return s[i+1:]
	}
	return ""
}

// sheetUnit is what plain numbers of a sheet measure.
type sheetUnit struct {
	one    unit.Length // 0 where nothing says
	stated bool        // for plain numbers too, by a word
	marked bool        // values carry marks or units, or should
	asks   bool        // the sheet says that it is kept in feet and inches
	comma  bool        // decimal commas may stand
}

// name takes what the sheet says of its unit; it is false for other words.
func (u *sheetUnit) name(word string) bool {
	if isFeetInches(word) {
		u.one, u.stated, u.marked, u.asks = unit.Foot, false, true, true
		return true
	}
	one := unitWord(word)
	if one != 0 {
		u.one, u.stated, u.asks = one, true, false
	}
	return one != 0
}

// see learns from one value what the sheet's unit may be.
func (u *sheetUnit) see(text string) {
	s := strings.ToLower(text)
	if _, plain := u.plain(s); plain || s == "" {
		return
	}
	one := unit.Length(0)
	switch {
	case strings.ContainsAny(s, "'\"\u2019\u2032\u201d\u2033") || strings.HasSuffix(s, "ft") || strings.HasSuffix(s, "in"):
		one = unit.Foot
	case strings.HasSuffix(s, "mm"), strings.HasSuffix(s, "m"):
		one = unit.Metre
	default:
		return
	}
	if u.marked = true; u.one == 0 {
		u.one = one
	}
}

func (u *sheetUnit) plain(s string) (float64, bool) {
	if u.comma && strings.Count(s, ",") == 1 {
		s = strings.Replace(s, ",", ".", 1)
	}
	return decimal(s)
}

// read reads one value in the sheet's unit.
func (u *sheetUnit) read(text string) (float64, error) {
	if v, plain := u.plain(text); plain {
		if !u.marked || u.stated {
			return v, nil
		}
		if u.one == unit.Foot {
			if _, err := unit.ParseFieldBook(text); err != nil {
				return 0, err
			}
		}
		return 0, unit.Refusal{Why: "the number has no unit, others have", Mend: "write the unit beside it, or once for all above the table: unit: ft"}
	}
	l, err := unit.ParseLength(text, 0)
	switch {
	case err != nil:
		return 0, err
	case u.one == 0:
		return 0, unit.Refusal{Why: "this value alone carries a unit", Mend: "say once for all above the table: unit: ft"}
	}
	v := unit.RatioOf(l, u.one)
	if math.Abs(v) > mostCoord {
		return 0, unit.Refusal{Why: "the value is beyond all roofs", Mend: "check it"}
	}
	return v, nil
}

// whyAndMend parts an error of a value for a problem.
func whyAndMend(err error) (why, mend string) {
	var r unit.Refusal
	if errors.As(err, &r) {
		return r.Why, r.Mend
	}
	return err.Error(), "check it"
}
