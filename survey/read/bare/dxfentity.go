package bare

import "strings"

// dxfReads says whether entities of that name are read.
func dxfReads(name string) bool {
	switch name {
	case "POINT", "LINE", "POLYLINE", "LWPOLYLINE", "3DFACE", "INSERT", "TEXT", "MTEXT":
		return true
	}
	return false
}

// entity takes an entity of the model.
func (r *dxfReader) entity(e *dxfEntity) {
	switch e.name {
	case "VERTEX":
		r.vertex(e)
		return
	case "ATTRIB":
		r.attrib(e)
		return
	case "SEQEND":
		r.endPoly()
		r.endInsert()
		return
	}
	r.endPoly()
	r.endInsert()
	if r.depth == 0 {
		if e.whole(67) == 1 {
			r.paper++
			return
		}
		r.count(e.name)
	}
	switch e.name {
	case "POINT":
		if p, ok := r.at(e, 0, true); ok {
			r.out.Places, r.on = append(r.out.Places, p), append(r.on, p.Code)
		}
	case "LINE":
		a, ok := r.at(e, 0, false)
		b, also := r.at(e, 1, false)
		if ok && also {
			r.out.Chains = append(r.out.Chains, Chain{Layer: r.layer(e), Places: []Place{a, b}})
		}
	case "LWPOLYLINE":
		r.lightPolyline(e)
	case "POLYLINE":
		r.beginPoly(e)
	case "3DFACE":
		r.face(e)
	case "INSERT":
		r.beginInsert(e)
	case "TEXT", "MTEXT":
		r.label(e)
	}
}

// count counts an entity. Names that no program would write, and those after
// the first 200, go under one.
func (r *dxfReader) count(name string) {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_"
	_, known := r.counts[name]
	odd := len(name) > 40 || strings.Trim(name, letters) != ""
	if !known && !dxfReads(name) && (odd || len(r.counts) >= 200) {
		name = "others"
	}
	r.counts[name]++
}

// layer is the layer of e.
func (r *dxfReader) layer(e *dxfEntity) string {
	g, _ := e.get(8)
	return r.named(g.value)
}

// named is a name of the drawing, kept once.
func (r *dxfReader) named(value []byte) string {
	name, known := r.names[string(value)]
	if !known {
		name = dxfText(value)
		r.names[string(value)] = name
	}
	return name
}

// number reads the number under a code; one that is absent is 0 and not there.
func (r *dxfReader) number(e *dxfEntity, code int) (v float64, there, ok bool) {
	g, there := e.get(code)
	if !there {
		return 0, false, true
	}
	if v, ok = plainNumber(string(g.value)); !ok {
		r.refuse(g.line, e.name, g.text(), "not a number", "save the drawing again")
	}
	return v, true, ok
}

// at reads corner i of an entity. Where high, a corner with no elevation is
// refused; else it lies at 0.
func (r *dxfReader) at(e *dxfEntity, i int, high bool) (Place, bool) {
	x, thereX, okX := r.number(e, 10+i)
	if !okX {
		return Place{}, false
	}
	y, thereY, okY := r.number(e, 20+i)
	if !okY {
		return Place{}, false
	}
	z, thereZ, okZ := r.number(e, 30+i)
	if !okZ {
		return Place{}, false
	}
	if !thereX || !thereY || high && !thereZ {
		r.refuse(e.line, e.name, "", "a coordinate is missing", "draw it with x, y and elevation")
		return Place{}, false
	}
	r.shots++
	return Place{X: x, Y: y, Z: z, Code: r.layer(e), Line: e.line}, true
}

// own says whether an entity's own axes are those of the drawing, or mirrored
// in x and z (drawn from below); else it lies on a slant and is refused.
func (r *dxfReader) own(e *dxfEntity) (mirrored, ok bool) {
	x, _, okX := r.number(e, 210)
	y, _, okY := r.number(e, 220)
	z, there, okZ := r.number(e, 230)
	if !okX || !okY || !okZ {
		return false, false
	}
	const level = 1e-9
	if x > level || x < -level || y > level || y < -level || there && z == 0 {
		r.refuse(e.line, e.name, "", "drawn on a plane that is not level", "draw it in plan")
		return false, false
	}
	return z < 0, true
}

// dxfSurface is the faces of one layer while corners are joined by position.
type dxfSurface struct {
	Surface
	at map[[3]float64]int
}

// face takes a 3DFACE. One whose fourth corner is absent or is its third is a
// triangle; four corners become two triangles.
func (r *dxfReader) face(e *dxfEntity) {
	n := 4
	if _, there := e.get(13); !there {
		n = 3
	}
	var corners []Place
	for i := range n {
		p, ok := r.at(e, i, true)
		if !ok {
			return
		}
		corners = append(corners, p)
	}
	if n == 4 && position(corners[2]) == position(corners[3]) {
		corners = corners[:3]
	}
	r.addFace(r.layer(e), corners)
}

func position(p Place) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

// addFace adds a face of three corners or four to the surface of its layer.
func (r *dxfReader) addFace(layer string, corners []Place) {
	if r.depth > 0 {
		r.faces = append(r.faces, dxfFace{layer, corners})
		return
	}
	s := r.layers[layer]
	if s == nil {
		s = &dxfSurface{Surface: Surface{Name: layer}, at: map[[3]float64]int{}}
		r.layers[layer] = s
		r.order = append(r.order, layer)
	}
	var at []int
	for _, p := range corners {
		i, known := s.at[position(p)]
		if !known {
			i = len(s.Places)
			s.at[position(p)] = i
			s.Places = append(s.Places, p)
		}
		at = append(at, i)
	}
	s.Faces = append(s.Faces, [3]int{at[0], at[1], at[2]})
	if len(at) == 4 {
		s.Faces = append(s.Faces, [3]int{at[0], at[2], at[3]})
		s.Halves++
	}
}

// attrib takes an attribute of the block inserted last, by its tag.
func (r *dxfReader) attrib(e *dxfEntity) {
	if r.insert == nil {
		return
	}
	tag, _ := e.get(2)
	value, _ := e.get(1)
	text := dxfText(value.value)
	switch strings.ToUpper(tag.text()) {
	case "POINT", "POINTNO", "PNT", "PT", "PTNO", "NUMBER", "NUM", "NO", "ID", "NAME":
		r.insert.place.ID = text
	case "DESC", "DESCRIPTION", "CODE":
		r.insert.place.Code = text
	case "ELEV", "ELEVATION", "Z", "HEIGHT":
		z, ok := plainNumber(text)
		if !ok {
			r.refuse(value.line, "ATTRIB", text, "the elevation of a block is not a number",
				"write it with a decimal point and no unit")
			return
		}
		if !r.insert.high {
			if r.insert.mirrored {
				z = -z // turned about with the place
			}
			r.insert.place.Z, r.insert.high = z, true
		}
	}
}

// addLine adds a polyline.
func (r *dxfReader) addLine(c Chain, line int) {
	const mostVertices = 100_000
	if len(c.Places) > mostVertices {
		r.refuse(line, "", "", "a line of more than 100,000 vertices", "thin it")
		return
	}
	if n := len(c.Places); n > 1 && position(c.Places[0]) == position(c.Places[n-1]) {
		c.Closed = true
		c.Places = c.Places[:n-1]
		if c.Bulges != nil {
			c.Bulges = c.Bulges[:n-1]
		}
	}
	straight := true
	for _, b := range c.Bulges {
		straight = straight && b == 0
	}
	if straight {
		c.Bulges = nil
	}
	if len(c.Places) < 2 {
		r.refuse(line, "", "", "a line of fewer than two places", "draw it again or leave it out")
		return
	}
	r.out.Chains = append(r.out.Chains, c)
}
