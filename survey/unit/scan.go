package unit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Refusal says why a text is no measure, and how to mend it. Every Parse
// function of this package that fails returns one.
type Refusal struct {
	Why  string // lower case, no full stop
	Mend string // an order
}

// Error is the reason and the mend on one line.
func (r Refusal) Error() string { return r.Why + "; " + r.Mend }

// longest is how many bytes a measure may have; real ones have under 20.
const longest = 64

// tokenKind says what a piece of a measure is.
type tokenKind int

const (
	endToken    tokenKind = iota
	numberToken           // 12.29
	fractionToken
	wordToken // a unit: letters, or a foot, inch, degree or per cent mark
	markToken // one of - + / :
)

// token is one piece of a measure.
type token struct {
	kind  tokenKind
	text  string
	val   float64
	whole bool // a number without decimals
	gap   bool // blanks stand before it
}

// reader walks over the tokens of one measure.
type reader struct {
	text   string // as written
	sample string // a measure of the wanted kind, for the mend
	tokens []token
	pos    int
}

// newReader cuts text into tokens. sample shows what was expected.
func newReader(text, sample string) (*reader, error) {
	r := &reader{text: text, sample: sample}
	if len(text) > longest {
		return nil, r.refuse(fmt.Sprintf("%d characters are too many for one measure", len(text)))
	}
	rest := plain(text)
	for {
		trimmed := strings.TrimLeftFunc(rest, unicode.IsSpace)
		if trimmed == "" {
			break
		}
		t, n, err := r.token(trimmed)
		if err != nil {
			return nil, err
		}
		t.gap = len(trimmed) < len(rest)
		r.tokens = append(r.tokens, t)
		rest = trimmed[n:]
	}
	if len(r.tokens) == 0 {
		return nil, r.refuse("nothing is written")
	}
	return r, nil
}

// plain writes the signs that word processors and phones put in place of the
// typewriter's: primes, curly quotes, made fractions, dashes.
func plain(text string) string {
	var b strings.Builder
	for _, c := range strings.ReplaceAll(text, "''", `"`) {
		switch c {
		case '′', '’', '‘':
			b.WriteByte('\'')
		case '″', '”', '“':
			b.WriteByte('"')
		case '−', '–', '‑', '‐':
			b.WriteByte('-')
		case '⁄', '∕':
			b.WriteByte('/')
		case '°', 'º':
			b.WriteString(" deg ")
		case '²':
			b.WriteByte('2')
		case '½':
			b.WriteString(" 1/2")
		case '¼', '¾':
			b.WriteString(map[rune]string{'¼': " 1/4", '¾': " 3/4"}[c])
		case '⅛', '⅜', '⅝', '⅞':
			b.WriteString(map[rune]string{'⅛': " 1/8", '⅜': " 3/8", '⅝': " 5/8", '⅞': " 7/8"}[c])
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// token reads the first token of s and says how many bytes it takes.
func (r *reader) token(s string) (token, int, error) {
	c := s[0]
	switch {
	case isDigit(c) || c == '.' && len(s) > 1 && isDigit(s[1]):
		return r.number(s)
	case c == '-' || c == '+' || c == '/' || c == ':':
		return token{kind: markToken, text: s[:1]}, 1, nil
	case c == '\'' || c == '"' || c == '%':
		return token{kind: wordToken, text: s[:1]}, 1, nil
	case isLetter(c):
		n := 1
		for n < len(s) && isLetter(s[n]) {
			n++
		}
		t := token{kind: wordToken, text: strings.ToLower(s[:n])}
		if n < len(s) && s[n] == '.' { // ft. and in.
			n++
		}
		return t, n, nil
	case c == ',':
		return token{}, 0, r.refuse("a comma is not read in a measure")
	}
	first := []rune(s)[0]
	return token{}, 0, r.refuse(fmt.Sprintf("%q is not read in a measure", first))
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// digits is how many digits s begins with.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

// number reads a decimal number or a fraction.
func (r *reader) number(s string) (token, int, error) {
	n := digits(s)
	if n > 0 && n < len(s) && s[n] == '/' {
		if m := digits(s[n+1:]); m > 0 {
			return r.fraction(s[:n], s[n+1:n+1+m], n+1+m)
		}
	}
	t := token{kind: numberToken, whole: true}
	if n < len(s) && s[n] == '.' {
		t.whole = false
		n += 1 + digits(s[n+1:])
	}
	if n < len(s) && (s[n] == 'e' || s[n] == 'E') {
		m := n + 1
		if m < len(s) && (s[m] == '-' || s[m] == '+') {
			m++
		}
		if d := digits(s[m:]); d > 0 {
			t.whole = false
			n = m + d
		}
	}
	t.text = s[:n]
	v, err := strconv.ParseFloat(t.text, 64)
	if err != nil {
		return token{}, 0, r.refuse(fmt.Sprintf("%s is beyond all numbers kept", t.text))
	}
	t.val = v
	return t, n, nil
}

func (r *reader) fraction(num, den string, n int) (token, int, error) {
	a, errA := strconv.ParseFloat(num, 64)
	b, errB := strconv.ParseFloat(den, 64)
	t := token{kind: fractionToken, text: num + "/" + den}
	switch {
	case errA != nil || errB != nil || b == 0:
		return t, 0, r.refuse(t.text + " is no number")
	case a >= b:
		return t, 0, r.refuse(t.text + " is not under a whole, a blank may be missing")
	}
	t.val = a / b
	return t, n, nil
}

// refuse makes the error of this text.
func (r *reader) refuse(why string) error {
	return Refusal{Why: why, Mend: "write it like " + r.sample}
}

// peek is the token n places on, or an end.
func (r *reader) peek(n int) token {
	if r.pos+n >= len(r.tokens) {
		return token{}
	}
	return r.tokens[r.pos+n]
}

// take gives the next token and goes past it.
func (r *reader) take() token {
	t := r.peek(0)
	r.pos++
	return t
}

// mark goes past the mark c, if it is next.
func (r *reader) mark(c string) bool {
	if t := r.peek(0); t.kind != markToken || t.text != c {
		return false
	}
	r.pos++
	return true
}

// word goes past the next token if it is a word, and gives its text.
func (r *reader) word() (string, bool) {
	t := r.peek(0)
	if t.kind != wordToken {
		return "", false
	}
	r.pos++
	return t.text, true
}

// atEnd says whether all is read.
func (r *reader) atEnd() bool { return r.pos >= len(r.tokens) }

// end refuses what is left over.
func (r *reader) end() error {
	if r.atEnd() {
		return nil
	}
	return r.refuse(fmt.Sprintf("%q is left over", r.peek(0).text))
}

// sign goes past a leading sign and gives it as a factor.
func (r *reader) sign() float64 {
	if r.mark("-") {
		return -1
	}
	r.mark("+")
	return 1
}

// amount is a number as written.
type amount struct {
	val      float64
	whole    bool // neither decimals nor a fraction
	fraction bool // holds a fraction
}

// amount reads 12, 12.29, 1/2, 3 1/2 or 3-1/2.
func (r *reader) amount() (amount, error) {
	t := r.take()
	switch t.kind {
	case fractionToken:
		return amount{val: t.val, fraction: true}, nil
	case numberToken:
	case endToken:
		return amount{}, r.refuse("a number is missing")
	default:
		return amount{}, r.refuse(fmt.Sprintf("%q stands where a number is expected", t.text))
	}
	a := amount{val: t.val, whole: t.whole}
	next, dash := r.peek(0), 0
	if next.kind == markToken && next.text == "-" {
		next, dash = r.peek(1), 1
	}
	if next.kind != fractionToken {
		return a, nil
	}
	if !t.whole {
		return amount{}, r.refuse("a fraction stands after a decimal number")
	}
	r.pos += dash + 1
	return amount{val: a.val + next.val, fraction: true}, nil
}
