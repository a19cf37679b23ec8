package bare

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey/level"
	"runnel/survey/unit"
)

// off says whether a figure as written is more than three quarters of its last digit
// from ours (rounding takes a half).
func (at stated) off(ours float64) bool {
	_, decimals, _ := strings.Cut(strings.Replace(at.text, ",", ".", 1), ".")
	if strings.Trim(decimals, "0123456789") != "" {
		return math.Abs(at.value-ours) > 0.01 // feet and inches: an eighth of an inch
	}
	return math.Abs(at.value-ours) > 0.75*math.Pow(10, -float64(min(len(decimals), 6)))
}

// compare sets the crew's own HI and elevations beside ours.
func (b *bookReader) compare(r *level.Result) {
	byLine := map[int]float64{}
	for _, s := range r.Shots {
		byLine[s.Line] = s.Elevation
	}
	hi := map[int]float64{}
	for _, in := range r.SetUps {
		hi[in.SetUp] = in.HI
	}
	for _, at := range b.his {
		if ours, ok := hi[at.index]; ok && at.off(ours) {
			b.note(at.line, fmt.Sprintf("HI %s in the book, %.3f from its readings", at.text, ours), "check the sum of elevation and backsight")
		}
	}
	for _, at := range b.elevations {
		if ours, ok := byLine[at.line]; ok && at.off(ours) {
			b.note(at.line, fmt.Sprintf("elevation %s of %s in the book, %.3f from its readings", at.text, clip(at.shot), ours),
				"check HI less reading; an adjusted elevation may differ")
		}
	}
}

// checkSums sets the crew's sums beside those of the readings.
func (b *bookReader) checkSums() {
	bs, fs := 0.0, 0.0
	for _, s := range b.book.SetUps {
		bs += s.Backsight
		for _, x := range s.Readings {
			if x.Kind == level.Foresight {
				fs += x.Rod
			}
		}
	}
	for _, r := range b.sums {
		for _, c := range []struct {
			field string
			col   int
			ours  float64
		}{{"BS", b.cols.bs, bs}, {"FS", b.cols.fs, fs}} {
			if at, ok := b.figure(r, c.col, "sum"); ok && at.off(c.ours) {
				b.note(r.line, fmt.Sprintf("sum of %s %s in the book, %.3f from its readings", c.field, at.text, c.ours), "add again")
			}
		}
	}
}

// closed tells a misclosure that is not allowed.
func (b *bookReader) closed(r *level.Result) {
	within, stated := r.Within()
	if !stated || within {
		return
	}
	c := r.Closing
	why := fmt.Sprintf("benchmark not closed: misclosure %+.3f %s is more than ", c.Misclosure, r.Name())
	mend := "run the line again"
	if r.Run > 0 {
		why += "third order allows"
	} else {
		why += fmt.Sprintf("the %.3f %s allowed (%s)", unit.RatioOf(r.Allowed, r.One), r.Name(), r.Order.Name)
		mend += "; if it is a long one, write its length above the table: length: 800 ft"
	}
	b.level(r.Shots[c.Shot].Line, why, mend)
}

// ties compares each set-up with the one before over the places that both saw:
// linked by a turning point they should agree.
func (b *bookReader) ties(r *level.Result) {
	if r.One == 0 {
		return
	}
	seen := map[int][]level.Height{}
	for _, s := range r.Shots {
		at := unit.Inches(s.Elevation * r.One.Inches())
		seen[s.SetUp] = append(seen[s.SetUp], level.Height{Shot: s.Reading.Shot, Elevation: at})
	}
	for i := 1; i < len(r.SetUps); i++ {
		in := r.SetUps[i]
		shift, flagged, shared := level.Tie(seen[r.SetUps[i-1].SetUp], seen[in.SetUp])
		for _, x := range flagged {
			b.level(in.Line, fmt.Sprintf("%s is %+.3f %s from what set-up %d gives it: %s", clip(x.Shot),
				unit.RatioOf(x.Off, r.One), r.Name(), i, x.Why), "read it again from both")
		}
		if max(shift, -shift) > level.TieDoubt {
			b.level(in.Line, fmt.Sprintf("set-up %d stands %+.3f %s from set-up %d over %d places that both saw", i+1,
				unit.RatioOf(shift, r.One), r.Name(), i, shared), "check the backsights of both and the turning point between them")
		}
	}
}
