package scene

import (
	"errors"
	"fmt"
	"math"
)

// LeastTextPt is the smallest text that people read on a letter sheet at arm's
// length: common practice, no source.
const LeastTextPt = 7

// mostFaults keeps the report of a broken scene short.
const mostFaults = 20

// Check says what is wrong with s: a mark that no writer can draw, a label off
// the sheet, too small, over another label, or with a letter that the font
// lacks. A sound scene gives nil.
func (s Scene) Check() error {
	w, h := s.W.Inches(), s.H.Inches()
	if !(w > 0 && h > 0 && w <= 200 && h <= 200) {
		return fmt.Errorf("sheet of %v x %v in", w, h)
	}
	var faults []error
	add := func(m Mark, why string) {
		if len(faults) < mostFaults {
			faults = append(faults, fmt.Errorf("%s: %s", clip(m.String()), why))
		}
	}
	room := NewRoom(w, h)
	var texts []Text
	for _, m := range s.Marks {
		if why := s.unsound(m); why != "" {
			add(m, why)
			continue
		}
		t, ok := m.(Text)
		if !ok {
			continue
		}
		q := t.Box()
		if k := room.Meets(q); k >= 0 {
			add(m, fmt.Sprintf("over %q of %s", texts[k].Words, texts[k].Name))
		}
		texts = append(texts, t)
		room.Take(q)
	}
	return errors.Join(faults...)
}

// unsound says why no writer should draw m; "" when it may.
func (s Scene) unsound(m Mark) string {
	switch m := m.(type) {
	case Shape:
		if len(m.Rings) == 0 {
			return "no ring"
		}
		for _, r := range m.Rings {
			if !s.near(r) {
				return "a place far off the sheet"
			}
		}
		return m.Pen.unsound() + m.Hatch.Pen.unsound()
	case Line:
		if len(m.Pts) < 2 {
			return "a line of less than two places"
		}
		if !s.near(m.Pts) {
			return "a place far off the sheet"
		}
		return m.Pen.unsound()
	case Text:
		return s.unsoundText(m)
	}
	return "unknown kind of mark"
}

func (s Scene) unsoundText(m Text) string {
	if !(m.SizePt >= LeastTextPt) {
		return fmt.Sprintf("text of %v pt", m.SizePt)
	}
	if gone := Missing(m.Words, m.Bold); len(gone) > 0 {
		return fmt.Sprintf("the font has no %q", string(gone))
	}
	lo, hi := m.Box().Bounds()
	if !(lo.X >= 0 && lo.Y >= 0 && hi.X <= s.W.Inches() && hi.Y <= s.H.Inches()) {
		return "off the sheet"
	}
	return ""
}

// near says whether all places are numbers and lie within a sheet's size of
// the sheet.
func (s Scene) near(pts []Pt) bool {
	most := 2 * math.Max(s.W.Inches(), s.H.Inches())
	for _, p := range pts {
		if !(p.X >= -most && p.Y >= -most && p.X <= 2*most && p.Y <= 2*most) {
			return false
		}
	}
	return true
}

func (p Pen) unsound() string {
	if !(p.WidthPt >= 0 && p.WidthPt < 100) {
		return "a pen of no sound width"
	}
	for _, d := range p.DashPt {
		if !(d >= 0.1) {
			return "a dash under 0.1 pt"
		}
	}
	return ""
}

// Sound says why a writer should refuse s; nil when it may be drawn. Unlike
// Check it lets labels overlap.
func (s Scene) Sound() error {
	for _, m := range s.Marks {
		if why := s.unsound(m); why != "" {
			return fmt.Errorf("%s: %s", clip(m.String()), why)
		}
	}
	return nil
}

func clip(s string) string {
	r := []rune(s)
	if len(r) <= 90 {
		return s
	}
	return string(r[:90]) + "..."
}
