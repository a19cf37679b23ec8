package render

import (
	"math"

	"runnel/render/scene"
)

// slopesOf writes the slopes of straight stretches above or under a line, with
// an arrow the way water runs.
func (d *cutSheet) slopesOf(what string, elev []float64, side float64) {
	const straightIn, leastIn = 0.03, 0.55
	style := scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true, Bold: side > 0}
	for _, run := range d.runs(func(k int) bool { return d.roof[k] && !math.IsNaN(elev[k]) }) {
		var all []scene.Pt
		for k := run[0]; k <= run[1]; k++ {
			all = append(all, d.pt(d.ft[k], elev[k]))
		}
		pts := thinned(all, straightIn)
		for i := 1; i < len(pts); i++ {
			v := pts[i].Sub(pts[i-1])
			if v.X < leastIn {
				continue
			}
			word, level := d.say.slopeShort(math.Abs(v.Y / d.perInch / (v.X / d.perFt)))
			if !level && !d.say.metric() {
				word += " in/ft"
			}
			d.slopeMark(what, pts[i-1].Lerp(pts[i], 0.5), v, lines{name: "slope of " + what, words: []string{word}, text: style}, side)
		}
	}
}

// slopeMark stands one slope beside c with its arrow.
func (d *cutSheet) slopeMark(what string, c, v scene.Pt, l lines, side float64) {
	level := l.words[0] == "level"
	const half = 0.13
	gap := func(q scene.Quad) scene.Quad {
		lo, hi := q.Bounds()
		y := lo.Y - 0.055
		return scene.Strip(scene.Pt{X: (lo.X+hi.X)/2 - half, Y: y}, scene.Pt{X: (lo.X+hi.X)/2 + half, Y: y}, 0.025)
	}
	if !level {
		l.ok = func(q scene.Quad) bool { return d.room.Free(gap(q)) }
	}
	steep := math.Abs(v.Y/v.X) * 0.3
	var spots []spot
	for _, t := range []float64{0, -0.3, 0.3, -0.15, 0.15} {
		p := c.Add(v.Mul(t))
		for _, far := range []float64{0.12, 0.22, 0.34} {
			q := p.Add(scene.Pt{Y: side * (far + steep)})
			if side > 0 {
				q.Y += 0.06
			}
			spots = append(spots, spot{q, 0.5, 0.5 - 0.5*side, 0})
		}
	}
	at, ok := d.placeBox(l, spots)
	if !ok || level {
		return
	}
	m := gap(at)
	a, b := m[0].Lerp(m[3], 0.5), m[1].Lerp(m[2], 0.5)
	if v.Y > 0 {
		a, b = b, a
	}
	d.room.Take(m)
	d.shape(arrowMark("slope arrow of "+what, a, b, waterInk()))
}

// placeBox places l and gives the box that it takes.
func (d *cutSheet) placeBox(l lines, spots []spot) (scene.Quad, bool) {
	for _, sp := range spots {
		if _, ok := d.sheet.place(l, []spot{sp}); ok {
			_, box := l.stand(sp)
			return box, true
		}
	}
	return scene.Quad{}, false
}
