package drainage

import (
	"math"
	"slices"

	"runnel/survey"
)

// blockedRoof is a roof with its primary drains and scuppers blocked, and with
// them the overflows that take nothing. Gutters and open edges let water go.
type blockedRoof struct {
	open  *check          // outlets as they are
	c     *check          // those blocked; its hollows are not measured
	shut  map[int]float64 // overflows that take nothing: how deep they are buried, inches; 0: they are blocked
	of    []water         // one for each hollow
	order []int           // of those, the ones nearer the outlets first
}

// water is one sheet of standing water with the primaries blocked. What it has to
// let go and how high that makes it rise is told by rain alone.
type water struct {
	sqft    float64 // of roof, walls and other areas whose water comes through it
	next    int     // the sheet that it runs over into; -1: none
	exit    int     // the outlet that its water leaves by at last; -1: none
	outlets []int   // those at its edge or in it that let water go
	levelIn float64 // before any leaves
	topIn   float64 // with the head over what it leaves by, as far as that is known
	headed  bool    // the head is known
}

// bay is the part of a roof whose water stands over one lowest primary outlet,
// or runs from there to an overflow dry, with the primaries blocked.
type bay struct {
	key     int     // the sheet of water, or -2 less the overflow reached dry
	low     int     // that outlet
	exit    int     // outlet that its water leaves by; -1: none
	lowIn   float64 // surface at low
	levelIn float64 // of the water before any leaves
	ridge   bool    // it runs over a ridge before it leaves
}

// dsIn is how deep water stands over the lowest outlet before any leaves.
func (y bay) dsIn() float64 { return math.Max(0, y.levelIn-y.lowIn) }

// buriedIn is how far an inlet may lie under the surface beside it and still be
// taken as flush: what the raster may miss where a low line runs to a wall.
const buriedIn = 0.125

// inletWhy is why the height of an outlet's inlet is not known; "": it is.
func (opt Options) inletWhy(outlet int) string {
	if opt.InletWhy == nil {
		return ""
	}
	return opt.InletWhy[outlet]
}

// overNew opens the reason why a height over a finished surface is not known.
const overNew = "how high it stands over the finished surface is not known: "

// whenBlocked fills the roof of c with its primaries blocked. Cost: a fill.
func (c *check) whenBlocked() (*blockedRoof, error) {
	b := &blockedRoof{open: c, shut: map[int]float64{}}
	site := *c.site
	site.Outlets = slices.Clone(site.Outlets)
	opt, inletIn := c.opt, slices.Clone(c.opt.InletIn)
	opt.InletIn = inletIn
	for n := range site.Outlets {
		o := &site.Outlets[n]
		switch {
		case o.IsEdge():
			continue
		case o.Overflow && o.State == survey.Blocked:
			b.shut[n] = 0
		case o.Overflow && c.opt.inletWhy(n) != "":
			inletIn[n] = openingIn(c.surf, *o, c.outlets[n]) // it lets no water go lower
		case o.Overflow:
			if under := openingIn(c.surf, *o, c.outlets[n]) - c.opt.InletIn[n]; under > buriedIn+2*c.sigmaAt(o.P) {
				b.shut[n] = under
			}
		}
		if _, takesNothing := b.shut[n]; takesNothing || !o.Overflow {
			o.State = survey.Blocked
		}
	}
	var err error
	if b.c, err = filled(&site, c.surf, opt); err != nil {
		return nil, err
	}
	b.of = make([]water, len(b.c.hollow))
	b.link()
	return b, nil
}

// to follows the fill down from one of its hollows to the next standing water
// or, past all, to an outlet; -1, -1 where it is closed in and dry.
func (b *blockedRoof) to(hollow int) (sheet, outlet int) {
	for hollow >= 0 {
		h := b.c.fill.Hollow[hollow]
		if n := b.c.pondOf[h.Bottom]; n >= 0 {
			return int(n), -1
		}
		if h.Outlet >= 0 {
			return -1, h.Outlet
		}
		hollow = h.Into
	}
	return -1, -1
}

// link finds where each sheet of water goes.
func (b *blockedRoof) link() {
	place := make([]int, len(b.c.fill.Hollow))
	for n, h := range b.c.fill.Order {
		place[h] = n + 1
	}
	for n := range b.of {
		w := &b.of[n]
		w.next, w.exit, w.levelIn = -1, -1, b.c.hollow[n].levelIn
		h := b.c.hollow[n].first
		for h >= 0 && b.c.fill.Hollow[h].Outlet < 0 && b.c.pondOf[b.c.fill.Hollow[h].Bottom] == int32(n) {
			h = b.c.fill.Hollow[h].Into
		}
		if h >= 0 && b.c.fill.Hollow[h].Outlet >= 0 {
			w.exit = b.c.fill.Hollow[h].Outlet
		} else {
			w.next, w.exit = b.to(h)
		}
		b.order = append(b.order, n)
	}
	slices.SortFunc(b.order, func(m, n int) int { return place[b.c.hollow[m].first] - place[b.c.hollow[n].first] })
	for _, n := range b.order {
		if next := b.of[n].next; next >= 0 {
			b.of[n].exit = b.of[next].exit
		}
	}
	for o, cells := range b.c.outlets {
		if !b.c.lets(o) {
			continue
		}
		for _, k := range cells {
			b.touch(k, o)
			b.c.neighbours(k, func(q int) { b.touch(q, o) })
		}
	}
}

// touch says that an outlet stands in or at the water of cell k.
func (b *blockedRoof) touch(k, outlet int) {
	if n := b.c.pondOf[k]; n >= 0 && !slices.Contains(b.of[n].outlets, outlet) {
		b.of[n].outlets = append(b.of[n].outlets, outlet)
	}
}

// bays finds the lowest primary drain or scupper of each sheet of water, and of
// those whose water runs to an overflow dry.
func (b *blockedRoof) bays() []bay {
	lowestOf := map[int]int{}
	var keys []int
	for n, o := range b.c.site.Outlets {
		if o.Overflow || o.IsEdge() {
			continue
		}
		key, ok := b.sheetAt(n)
		if !ok {
			continue
		}
		if m, had := lowestOf[key]; !had {
			keys = append(keys, key)
			lowestOf[key] = n
		} else if b.lowIn(n) < b.lowIn(m)-1e-9 {
			lowestOf[key] = n
		}
	}
	var out []bay
	for _, key := range keys {
		out = append(out, b.bay(key, lowestOf[key]))
	}
	return out
}

func (b *blockedRoof) bay(key, low int) bay {
	y := bay{key: key, low: low, exit: -2 - key, lowIn: b.lowIn(low)}
	if key < 0 {
		y.levelIn = b.inletIn(y.exit)
		return y
	}
	w := &b.of[key]
	y.exit, y.levelIn = w.exit, w.levelIn
	y.ridge = w.next >= 0 || w.exit >= 0 && !slices.Contains(w.outlets, w.exit)
	return y
}

// lowIn is the surface at a primary outlet.
func (b *blockedRoof) lowIn(outlet int) float64 {
	o := b.c.site.Outlets[outlet]
	if o.Kind == survey.Scupper {
		return besideIn(b.c.surf, o, b.c.outlets[outlet])
	}
	return placeIn(b.c.surf, b.c.outlets[outlet], o.P)
}

// inletIn is the elevation from which an outlet takes water: its inlet, or the
// roof beside it where that is higher.
func (b *blockedRoof) inletIn(o int) float64 {
	return math.Max(b.c.opt.InletIn[o], Lowest(b.c.surf, b.c.outlets[o]))
}

// sheetAt is the sheet that stands over an outlet, or -2 less the overflow that
// its water runs to past all standing water; false where it runs on elsewhere.
func (b *blockedRoof) sheetAt(outlet int) (int, bool) {
	for _, k := range b.c.outlets[outlet] {
		if n := b.c.pondOf[k]; n >= 0 {
			return int(n), true
		}
	}
	for _, k := range b.c.outlets[outlet] {
		if sheet, o := b.to(int(b.c.fill.Of[k])); sheet < 0 && o >= 0 && b.c.site.Outlets[o].Overflow {
			return -2 - o, true
		}
	}
	return 0, false
}

// protection is the ground that a verdict on an overflow stands on.
type protection int

const (
	protects       protection = iota
	notSurveyed               // at one of the two
	notTold                   // how high it stands over the surface
	runsFirst                 // it stands no higher than the lowest outlet
	tooHigh                   // over the lowest outlet
	tooLow                    // over the lowest outlet
	noLimit                   // the rules have none
	closeToLimit              // within doubt
	takesTooLittle            // of the water that comes to it
	takesUnknown              // its height does, its flow is not known
)

// judge says whether the overflow that a bay leaves by protects it: by its inlet
// over the lowest outlet, to two standard errors.
func (b *blockedRoof) judge(y bay) (Verdict, protection) {
	rules := b.c.opt.Rules
	leastIn, mostIn := rules.OverflowLeast.Inches(), rules.OverflowMost.Inches()
	doubtIn, dsIn := b.doubtIn(y), y.dsIn()
	const roundIn = 1e-6 // what rounding may leave of a depth
	switch {
	case b.c.opt.inletWhy(y.exit) != "":
		return Unknown, notTold
	case b.c.opt.Unsurveyed || b.c.unshot[y.low] || b.c.unshot[y.exit]:
		return Unknown, notSurveyed
	case b.c.opt.InletIn[y.exit] <= b.primaryInletIn(y.low)+1e-9:
		return FallsShort, runsFirst
	case mostIn > 0 && dsIn > mostIn+doubtIn+roundIn:
		return FallsShort, tooHigh
	case dsIn < leastIn-doubtIn-roundIn:
		return FallsShort, tooLow
	case mostIn == 0:
		return Unknown, noLimit
	case doubtIn > 0 && (dsIn > mostIn-doubtIn || dsIn < leastIn+doubtIn && leastIn > 0):
		return TooClose, closeToLimit
	}
	return Meets, protects
}

// doubtIn is how far the depth over the lowest outlet may be off.
func (b *blockedRoof) doubtIn(y bay) float64 {
	if b.c.opt.SigmaIn == 0 || y.exit < 0 {
		return 0
	}
	return 2 * b.c.dropSigmaIn(b.c.site.Outlets[y.low].P, b.c.site.Outlets[y.exit].P)
}

// primaryInletIn is where the lowest outlet of a bay takes water.
func (b *blockedRoof) primaryInletIn(low int) float64 {
	if b.open.site.Outlets[low].State == survey.Blocked {
		return math.Inf(-1)
	}
	return b.inletIn(low)
}
