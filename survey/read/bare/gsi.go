package bare

import (
	"math"
	"strconv"
	"strings"
)

// gsiFormat is the total-station log of words of 8 or, in lines that begin
// with an asterisk, 16 digits. Words 81, 82 and 83 are east, north and height.
//
// The layout of the words is from memory: two digits of word index, four of
// information of which the last is the unit, a sign, the digits.
func gsiFormat() Format { return Format{Name: "GSI", Is: isGSI, Read: readGSI} }

func isGSI(data []byte) bool {
	lines := linesOf(data[:min(len(data), looked)], 10)
	for _, l := range lines {
		for _, w := range strings.Fields(strings.TrimPrefix(l, "*")) {
			if _, ok := gsiWordOf(w); !ok {
				return false
			}
		}
	}
	return len(lines) > 0
}

// gsiWord is one word of a line.
type gsiWord struct {
	index  string
	unit   byte
	digits string
	minus  bool
}

func gsiWordOf(s string) (gsiWord, bool) {
	if len(s) != 15 && len(s) != 23 || s[6] != '+' && s[6] != '-' {
		return gsiWord{}, false
	}
	for _, c := range []byte(s[:2]) {
		if c < '0' || c > '9' {
			return gsiWord{}, false
		}
	}
	return gsiWord{index: s[:2], unit: s[5], digits: s[7:], minus: s[6] == '-'}, true
}

// length gives the length of a word and its unit.
func (w gsiWord) length() (float64, Unit, bool) {
	u, places := Metres, 3
	switch w.unit {
	case '0':
	case '1':
		u = Feet
	case '6':
		places = 4
	case '7':
		u, places = Feet, 4
	case '8':
		places = 5
	default:
		return 0, Unstated, false
	}
	n, err := strconv.ParseUint(w.digits, 10, 63)
	x := float64(n) / math.Pow10(places)
	if w.minus {
		x = -x
	}
	return x, u, err == nil
}

func readGSI(name string, data []byte) *File {
	f := &File{Format: "GSI-8"}
	bad := &slips{file: name, out: f}
	for line, text := range numbered(data) {
		text = strings.TrimSpace(text)
		if strings.HasPrefix(text, "*") {
			f.Format, text = "GSI-16", text[1:]
		}
		if text != "" {
			bad.gsiLine(line, text)
		}
	}
	return bad.finish()
}

// gsiLine reads one line, which may hold several blocks: each begins with the
// word of a point (11) or of a code (41).
func (s *slips) gsiLine(line int, text string) {
	words := strings.Fields(text)
	for len(words) > 0 {
		n := 1
		for n < len(words) && !strings.HasPrefix(words[n], "11") && !strings.HasPrefix(words[n], "41") {
			n++
		}
		s.gsiBlock(line, words[:n])
		words = words[n:]
	}
}

// gsiBlock reads one block of words. One of a code alone holds no place and is
// no slip.
func (s *slips) gsiBlock(line int, words []string) {
	p, have := Place{Line: line}, map[string]bool{}
	for _, word := range words {
		w, ok := gsiWordOf(word)
		if !ok {
			s.refuse(line, "", word, "not a word of 8 or 16 digits", "export the log again")
			return
		}
		var into *float64
		switch w.index {
		case "41":
			return
		case "11":
			p.ID = withoutZeros(w.digits)
		case "71":
			p.Code = strings.TrimLeft(w.digits, "0")
		case "81":
			into = &p.X
		case "82":
			into = &p.Y
		case "83":
			into = &p.Z
		}
		if into == nil {
			continue
		}
		x, u, ok := w.length()
		if !ok || s.out.Unit != Unstated && u != s.out.Unit {
			s.refuse(line, "", word, "its unit is none, or not that of the lines before", "export the log in metres or feet")
			return
		}
		*into, s.out.Unit = x, u
		have[w.index] = true
	}
	if len(have) != 3 {
		s.refuse(line, "", "", "no computed coordinates (words 81, 82, 83)", "compute them in the instrument, or leave the line out")
		return
	}
	s.out.Places = append(s.out.Places, p)
}

// numbered gives the lines of a text with their numbers from 1; LF ends them,
// or CR where there is no LF.
func numbered(data []byte) func(yield func(int, string) bool) {
	end := "\n"
	text := string(data)
	if !strings.Contains(text, end) {
		end = "\r"
	}
	return func(yield func(int, string) bool) {
		line := 0
		for l := range strings.SplitSeq(text, end) {
			if line++; !yield(line, l) {
				return
			}
		}
	}
}
