package bare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey/geom"
)

// Limits of blocks within blocks: what is put into a drawing again and again
// must not grow beyond all measure.
const (
	deepestBlock = 16
	mostExpanded = 2_000_000 // groups of entities
)

// dxfBlock is a block of a drawing: entities round a base place.
type dxfBlock struct {
	base     Place
	entities []dxfEntity
	other    bool // the block stands for another file
	asked    bool // whether holds and lone are known
	holds    bool // points or faces, its own or those of blocks within it
	lone     bool // one point at the base place and no other
	lines    bool // lines of its own
}

// blockRecord takes a record of the section of blocks.
func (r *dxfReader) blockRecord(e *dxfEntity) {
	switch e.name {
	case "BLOCK":
		name, _ := e.get(2)
		b := &dxfBlock{other: e.whole(70)&4 != 0}
		for i, into := range []*float64{&b.base.X, &b.base.Y, &b.base.Z} {
			if g, there := e.get(10 + 10*i); there {
				*into, _ = plainNumber(string(g.value))
			}
		}
		r.block = b
		if text := r.named(name.value); !strings.HasPrefix(strings.ToUpper(text), "*MODEL_SPACE") {
			r.blocks[text] = b
		}
	case "ENDBLK":
		r.block = nil
	case "ATTDEF":
	default:
		if r.block != nil {
			kept := *e
			kept.groups = slices.Clone(e.groups)
			r.block.entities = append(r.block.entities, kept)
		}
	}
}

// look learns what a block holds; depth counts the blocks that it stands in.
func (r *dxfReader) look(b *dxfBlock, depth int) {
	if b.asked || depth > deepestBlock {
		return
	}
	b.asked = true
	points, shots := 0, 0
	for i := range b.entities {
		e := &b.entities[i]
		switch e.name {
		case "POINT":
			shots++
			x, _, okX := r.plain(e, 10)
			y, _, okY := r.plain(e, 20)
			if okX && okY && x == b.base.X && y == b.base.Y {
				points++
			}
		case "3DFACE":
			shots++
		case "POLYLINE":
			if e.whole(70)&(polyGrid|polyFaces) != 0 {
				shots++
			}
			b.lines = true
		case "LINE", "LWPOLYLINE":
			b.lines = true
		case "INSERT":
			if z, _, _ := r.plain(e, 30); z != 0 {
				shots++ // a place itself
			}
			name, _ := e.get(2)
			if in := r.blocks[r.named(name.value)]; in != nil {
				r.look(in, depth+1)
				b.lines = b.lines || in.lines
				if in.holds {
					shots++
				}
			}
		}
	}
	b.holds, b.lone = shots > 0, shots == 1 && points == 1
}

// plain is number without a word about what is none.
func (r *dxfReader) plain(e *dxfEntity, code int) (v float64, there, ok bool) {
	g, there := e.get(code)
	if !there {
		return 0, false, true
	}
	v, ok = plainNumber(string(g.value))
	return v, true, ok
}

// dxfInsert is a block put in place, until its attributes have come.
type dxfInsert struct {
	place      Place
	layer      string
	high       bool // its elevation is more than a 0 that every symbol has
	block      *dxfBlock
	x, y, z    float64 // scales
	turn       float64 // radians, counter-clockwise
	mirrored   bool
	cols, rows int
	dx, dy     float64 // between columns and rows
	line       int
}

func (r *dxfReader) beginInsert(e *dxfEntity) {
	mirrored, ok := r.own(e)
	if !ok {
		return
	}
	p, ok := r.at(e, 0, false)
	if !ok {
		return
	}
	in := &dxfInsert{x: 1, y: 1, z: 1, mirrored: mirrored, line: e.line}
	for _, v := range []struct {
		code int
		into *float64
	}{{41, &in.x}, {42, &in.y}, {43, &in.z}, {50, &in.turn}, {44, &in.dx}, {45, &in.dy}} {
		x, there, ok := r.number(e, v.code)
		if !ok {
			return
		}
		if there {
			*v.into = x
		}
	}
	if in.x == 0 || in.y == 0 || max(math.Abs(in.x), math.Abs(in.y), math.Abs(in.z)) > 1e6 {
		r.refuse(e.line, e.name, "", "a block scaled to nothing, or beyond all measure", "draw it again or leave it out")
		return
	}
	in.turn *= math.Pi / 180
	in.cols, in.rows = repeats(e.whole(70), in.dx), repeats(e.whole(71), in.dy)
	in.place, in.layer = p, r.layer(e)
	if g, there := e.get(2); there {
		in.place.Code = r.named(g.value)
		in.block = r.blocks[in.place.Code]
	}
	in.high = p.Z != 0
	r.insert = in
}

// repeats is how often a block stands in a row of n, step apart; those at one
// place are one.
func repeats(n int, step float64) int {
	if step == 0 {
		return 1
	}
	return min(max(1, n), 1<<15)
}

// endInsert puts a block in place. One that holds points or faces gives these;
// one of lines at no elevation gives its lines; else the block is itself a
// place where it has an elevation, and a symbol where it has none.
func (r *dxfReader) endInsert() {
	in := r.insert
	r.insert = nil
	if in == nil {
		return
	}
	b := in.block
	if b != nil {
		r.look(b, 0)
	}
	for k := range in.cols * in.rows {
		if k > 0 || r.depth > 0 {
			if r.expanded += 10; r.expanded > mostExpanded {
				r.tooMuch(in.line)
				return
			}
		}
		dx, dy := float64(k%in.cols)*in.dx, float64(k/in.cols)*in.dy
		m := in.move(dx, dy)
		switch {
		case b != nil && b.other:
			r.others++
		case b != nil && (b.holds && !b.lone || b.lines && !in.high && !b.lone):
			r.expand(in, m)
		case in.high || b != nil && b.lone:
			p := in.place
			at := m.apply(b.origin())
			p.X, p.Y, p.Z = at.X, at.Y, at.Z
			r.out.Places, r.on = append(r.out.Places, p), append(r.on, in.layer)
		default:
			r.symbols++
		}
	}
}

func (b *dxfBlock) origin() Place {
	if b == nil {
		return Place{}
	}
	return b.base
}

func (r *dxfReader) tooMuch(line int) {
	if !r.full {
		r.fault(line, "blocks put in again and again make more than 2,000,000 values", "explode the blocks that hold shots")
	}
	r.full = true
}

// dxfMove takes places of a block into the drawing.
type dxfMove struct {
	base          Place
	xx, xy, yx    float64
	yy, zz        float64
	to            Place
	flipped, even bool // drawn as in a mirror; scaled alike in x and y
}

// move is that of one of the blocks of an insert, dx and dy from the first.
func (in *dxfInsert) move(dx, dy float64) dxfMove {
	sin, cos := math.Sincos(in.turn)
	if quarter := math.Round(in.turn / (math.Pi / 2)); math.Abs(in.turn-quarter*math.Pi/2) < 1e-12 {
		sin, cos = math.Round(sin), math.Round(cos)
	}
	m := dxfMove{xx: in.x * cos, xy: -in.y * sin, yx: in.x * sin, yy: in.y * cos, zz: in.z, to: in.place,
		flipped: in.x*in.y < 0, even: math.Abs(in.x) == math.Abs(in.y)}
	m.to.X += cos*dx - sin*dy
	m.to.Y += sin*dx + cos*dy
	if in.block != nil {
		m.base = in.block.base
	}
	if in.mirrored {
		m.xx, m.xy, m.zz, m.to.X, m.to.Z = -m.xx, -m.xy, -m.zz, -m.to.X, -m.to.Z
		m.flipped = !m.flipped
	}
	return m
}

// apply moves one place and keeps what it is called.
func (m dxfMove) apply(p Place) Place {
	x, y, z := p.X-m.base.X, p.Y-m.base.Y, p.Z-m.base.Z
	p.X = m.to.X + float64(m.xx*x) + float64(m.xy*y)
	p.Y = m.to.Y + float64(m.yx*x) + float64(m.yy*y)
	p.Z = m.to.Z + float64(m.zz*z)
	return p
}

// chain moves a line; arcs that are stretched become chords.
func (m dxfMove) chain(c *Chain) {
	if c.Bulges != nil && !m.even {
		m.flatten(c)
	}
	for i, p := range c.Places {
		c.Places[i] = m.apply(p)
	}
	for i := range c.Bulges {
		if m.flipped {
			c.Bulges[i] = -c.Bulges[i]
		}
	}
}

// flatten makes chords of arcs, none further from its arc than a thousandth of
// the chord.
func (m dxfMove) flatten(c *Chain) {
	var out []Place
	for i, p := range c.Places {
		out = append(out, p)
		if c.Bulges[i] == 0 || i+1 == len(c.Places) && !c.Closed {
			continue
		}
		to := c.Places[(i+1)%len(c.Places)]
		a, b := geom.Pt{X: p.X, Y: p.Y}, geom.Pt{X: to.X, Y: to.Y}
		for _, q := range arcPlaces(a, b, c.Bulges[i], a.Dist(b)/1000) {
			out = append(out, Place{X: q.X, Y: q.Y, Z: p.Z, Code: p.Code, Line: p.Line})
		}
	}
	c.Places, c.Bulges = out, nil
}

// dxfFace is a face of a block before it is put in place.
type dxfFace struct {
	layer   string
	corners []Place
}

// expand reads the entities of a block and moves what they gave. Those on the
// layer 0 come to lie on that of the insert.
func (r *dxfReader) expand(in *dxfInsert, m dxfMove) {
	if r.depth == deepestBlock {
		r.tooDeep++
		return
	}
	places, chains, labels, faces := len(r.out.Places), len(r.out.Chains), len(r.labels), len(r.faces)
	r.depth++
	for i := range in.block.entities {
		e := &in.block.entities[i]
		if r.expanded += 1 + len(e.groups); r.expanded > mostExpanded {
			r.tooMuch(in.line)
			break
		}
		r.entity(e)
	}
	r.endPoly()
	r.endInsert()
	r.depth--
	on := func(layer string) string {
		if layer == "0" {
			return in.layer
		}
		return layer
	}
	for i := places; i < len(r.out.Places); i++ {
		p := m.apply(r.out.Places[i])
		if p.Code == "0" && r.on[i] == "0" {
			p.Code = in.layer
		}
		r.out.Places[i], r.on[i] = p, on(r.on[i])
	}
	for i := chains; i < len(r.out.Chains); i++ {
		c := &r.out.Chains[i]
		m.chain(c)
		c.Layer = on(c.Layer)
	}
	for i := labels; i < len(r.labels); i++ {
		l := &r.labels[i]
		at := m.apply(Place{X: l.x, Y: l.y})
		l.x, l.y, l.height = at.X, at.Y, l.height*math.Abs(in.y)
	}
	moved := r.faces[faces:]
	for i := range moved {
		moved[i].layer = on(moved[i].layer)
		for k, p := range moved[i].corners {
			moved[i].corners[k] = m.apply(p)
		}
	}
	if r.depth == 0 {
		r.dropFar(in, places, chains, labels)
	}
	r.placeFaces()
}

// dropFar refuses what blocks scaled again and again have put beyond all
// measure.
func (r *dxfReader) dropFar(in *dxfInsert, places, chains, labels int) {
	far := 0
	keep, on := r.out.Places[:places], r.on[:places]
	for i := places; i < len(r.out.Places); i++ {
		if tooFar(r.out.Places[i]) {
			far++
			continue
		}
		keep, on = append(keep, r.out.Places[i]), append(on, r.on[i])
	}
	r.out.Places, r.on = keep, on
	drop := func(ps ...Place) bool {
		if slices.ContainsFunc(ps, tooFar) {
			far++
			return true
		}
		return false
	}
	r.out.Chains = append(r.out.Chains[:chains],
		slices.DeleteFunc(r.out.Chains[chains:], func(c Chain) bool { return drop(c.Places...) })...)
	r.faces = slices.DeleteFunc(r.faces, func(f dxfFace) bool { return drop(f.corners...) })
	r.labels = append(r.labels[:labels], slices.DeleteFunc(r.labels[labels:], func(l dxfLabel) bool {
		return drop(Place{X: l.x, Y: l.y})
	})...)
	if far > 0 {
		r.refuse(in.line, "INSERT", "", "a block put in again and again, ever larger, beyond all measure", "explode it, or leave it out")
	}
}

// tooFar says that a place lies beyond any number that is read.
func tooFar(p Place) bool {
	return !(math.Abs(p.X) <= mostNumber && math.Abs(p.Y) <= mostNumber && math.Abs(p.Z) <= mostNumber)
}

// placeFaces adds the faces of blocks to their surfaces, when the outermost
// block is in place.
func (r *dxfReader) placeFaces() {
	if r.depth > 0 {
		return
	}
	for _, f := range r.faces {
		r.addFace(f.layer, f.corners)
	}
	r.faces = r.faces[:0]
}

// unused counts points and faces of blocks that stand nowhere.
func (r *dxfReader) unused() int {
	n := 0
	for name, b := range r.blocks {
		if b.asked || strings.HasPrefix(name, "*") {
			continue
		}
		for _, e := range b.entities {
			if e.name == "POINT" || e.name == "3DFACE" {
				n++
			}
		}
	}
	return n
}

// outlines makes an outline of every closed line.
func (r *dxfReader) outlines() {
	for _, c := range r.out.Chains {
		if !c.Closed || len(c.Places) < 3 && c.Bulges == nil {
			continue
		}
		o := Outline{Name: c.Layer, Bulges: c.Bulges}
		for _, p := range c.Places {
			o.Outer = append(o.Outer, geom.Pt{X: p.X, Y: p.Y})
		}
		r.out.Outlines = append(r.out.Outlines, o)
	}
}

// layerRecord learns from the table of layers which of them are not shown.
func (r *dxfReader) layerRecord(e *dxfEntity) {
	name, _ := e.get(2)
	if e.whole(70)&1 != 0 || e.whole(62) < 0 {
		r.hidden[r.named(name.value)] = true
	}
}

// tellHidden notes what lies on layers that the drawing does not show.
func (r *dxfReader) tellHidden() {
	n, first := 0, ""
	tell := func(layer string) {
		if r.hidden[layer] {
			if n++; n == 1 {
				first = layer
			}
		}
	}
	for _, layer := range r.on {
		tell(layer)
	}
	for _, c := range r.out.Chains {
		tell(c.Layer)
	}
	if n > 0 {
		r.note(0, fmt.Sprintf("%d places and lines lie on layers that are frozen or off, the first on %q; they are read",
			n, clip(first)), "take them out of the drawing where they are old")
	}
}
