package bare

import (
	"fmt"
	"strconv"

	"runnel/survey/problem"
)

// lightPolyline takes an LWPOLYLINE: vertices in plan at one elevation, with
// bulges.
func (r *dxfReader) lightPolyline(e *dxfEntity) {
	mirrored, ok := r.own(e)
	if !ok {
		return
	}
	z, _, ok := r.number(e, 38)
	if !ok {
		return
	}
	c := Chain{Layer: r.layer(e), Closed: e.whole(70)&1 != 0}
	half := false // an x stands without its y
	for _, g := range e.groups {
		if g.code != 10 && g.code != 20 && g.code != 42 {
			continue
		}
		v, ok := plainNumber(string(g.value))
		if !ok {
			r.refuse(g.line, e.name, g.text(), "not a number", "save the drawing again")
			return
		}
		last := len(c.Places) - 1
		switch {
		case g.code == 10 && !half:
			c.Places = append(c.Places, Place{X: v, Z: z, Code: c.Layer, Line: g.line})
			c.Bulges, half = append(c.Bulges, 0), true
		case g.code == 20 && half:
			c.Places[last].Y, half = v, false
		case g.code == 42 && last >= 0:
			c.Bulges[last] = v
		default:
			r.refuse(g.line, e.name, "", "x and y do not come in pairs", "save the drawing again")
			return
		}
	}
	if half {
		r.refuse(e.line, e.name, "", "the last vertex has no y", "save the drawing again")
		return
	}
	r.checkCount(e, len(c.Places))
	r.shots += len(c.Places)
	if mirrored {
		mirror(&c)
	}
	r.addLine(c, e.line)
}

// checkCount notes a count of vertices that is not that of the file.
func (r *dxfReader) checkCount(e *dxfEntity, n int) {
	if g, there := e.get(90); there && g.text() != strconv.Itoa(n) {
		r.out.Problems.Add(problem.Problem{File: r.file, Line: g.line, Field: e.name,
			Value: g.text(), Why: fmt.Sprintf("the vertices are %d", n),
			Mend: "look whether the line is whole", Grade: problem.Note})
	}
}

// mirror takes a line drawn from below to the axes of the drawing.
func mirror(c *Chain) {
	for i := range c.Places {
		c.Places[i].X, c.Places[i].Z = -c.Places[i].X, -c.Places[i].Z
	}
	for i := range c.Bulges {
		c.Bulges[i] = -c.Bulges[i]
	}
}

// dxfPoly is a POLYLINE until its SEQEND has come.
type dxfPoly struct {
	Chain
	line     int
	flags    int
	mirrored bool
	plan     bool // all vertices lie at z
	z        float64
	skip     bool     // one of its vertices cannot be used
	faces    [][4]int // of a mesh: vertices from 1, negative where an edge is hidden
	m, n     int      // rows and columns of a mesh
}

// Flags of a POLYLINE and of a VERTEX.
const (
	polyClosed, polySmooth, poly3D, polyGrid, polyRound, polyFaces = 1, 4, 8, 16, 32, 64
	vertexFrame, vertexPlace, vertexFace                           = 16, 64, 128
)

func (r *dxfReader) beginPoly(e *dxfEntity) {
	p := &dxfPoly{line: e.line, flags: e.whole(70)}
	p.Layer, p.Closed = r.layer(e), p.flags&polyClosed != 0
	r.poly = p
	p.m, p.n = e.whole(71), e.whole(72)
	if p.flags&polySmooth != 0 {
		p.m, p.n = e.whole(73), e.whole(74)
	}
	if p.flags&(poly3D|polyGrid|polyFaces) != 0 {
		return
	}
	var ok bool
	if p.mirrored, ok = r.own(e); !ok {
		p.skip = true
		return
	}
	p.z, p.plan, ok = r.number(e, 30)
	p.skip = !ok
}

// vertex takes a vertex of the POLYLINE that is open; in plan, the elevation is
// that of the POLYLINE, where it states one.
func (r *dxfReader) vertex(e *dxfEntity) {
	p := r.poly
	if p == nil || p.skip {
		return
	}
	flags := e.whole(70)
	if p.flags&polyFaces != 0 && flags&vertexFace != 0 && flags&vertexPlace == 0 {
		p.faces = append(p.faces, [4]int{e.whole(71), e.whole(72), e.whole(73), e.whole(74)})
		r.shots++
		return
	}
	if flags&vertexFrame != 0 {
		return // a handle of a smoothed line, not on it
	}
	at, ok := r.at(e, 0, p.flags&(poly3D|polyGrid|polyFaces) != 0)
	bulge, _, also := r.number(e, 42)
	if !ok || !also {
		p.skip = true
		return
	}
	if p.plan {
		at.Z = p.z
	}
	p.Places, p.Bulges = append(p.Places, at), append(p.Bulges, bulge)
}

func (r *dxfReader) endPoly() {
	p := r.poly
	r.poly = nil
	switch {
	case p == nil || p.skip:
	case p.flags&polyGrid != 0:
		r.meshGrid(p)
	case p.flags&polyFaces != 0:
		r.meshFaces(p)
	default:
		if p.mirrored {
			mirror(&p.Chain)
		}
		r.addLine(p.Chain, p.line)
	}
}

// meshGrid takes the faces of a POLYLINE that is a mesh of rows and columns, all
// with four corners.
func (r *dxfReader) meshGrid(p *dxfPoly) {
	if p.m < 2 || p.n < 2 || p.m > len(p.Places) || p.n > len(p.Places) || p.m*p.n != len(p.Places) {
		r.refuse(p.line, "POLYLINE", fmt.Sprintf("%d x %d", p.m, p.n), fmt.Sprintf("the mesh has %d vertices", len(p.Places)),
			"turn it into 3-D faces")
		return
	}
	rows, cols := p.m-1, p.n-1
	if p.flags&polyClosed != 0 {
		rows = p.m
	}
	if p.flags&polyRound != 0 {
		cols = p.n
	}
	at := func(i, k int) Place { return p.Places[i%p.m*p.n+k%p.n] }
	for i := range rows {
		for k := range cols {
			r.addFace(p.Layer, []Place{at(i, k), at(i, k+1), at(i+1, k+1), at(i+1, k)})
		}
	}
}

// meshFaces takes the faces of a POLYLINE that is a mesh.
func (r *dxfReader) meshFaces(p *dxfPoly) {
	for _, f := range p.faces {
		var corners []Place
		for _, i := range f {
			if i = max(i, -i); i == 0 {
				break
			}
			if i < 0 || i > len(p.Places) {
				corners = nil
				break
			}
			corners = append(corners, p.Places[i-1])
		}
		if len(corners) < 3 {
			r.refuse(p.line, "POLYLINE", fmt.Sprint(f), "a face of the mesh has no three corners",
				"turn it into 3-D faces")
			continue
		}
		r.addFace(p.Layer, corners)
	}
}
