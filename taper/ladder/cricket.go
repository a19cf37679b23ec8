package ladder

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// onLineFt is how near a low line the deepest place of a pond lies that belongs
// to it: common practice without source.
const onLineFt = 4.0

// baseLine is where a cricket stands: from one way out of the water to the
// other, and the way out over the roof, a unit vector.
type baseLine struct {
	a, b geom.Pt
	out  geom.Pt
	name string
}

// boardCount is a count by area, not by layout.
type boardCount struct{ tapered, fill int }

// boardsOf counts the boards of a half cricket by area, its two triangles each by
// itself: tapered ones all over, and fill where it is thicker than they come,
// once more each time that they are repeated. Thickness rises with the distance from the low
// edge, W/sqrt(1+k^2) at the middle of the line, so that a share (1 - t/T)^2 of
// each triangle is thicker than t of T.
func boardsOf(w taper.Wedge, stock []survey.TaperedBoard) (n boardCount) {
	var sqft, thickIn float64
	thinIn := math.Inf(1)
	for _, b := range stock {
		if math.Abs(b.Slope.InchesPerFoot()-w.Board.InchesPerFoot()) < 1e-9 {
			sqft = b.Along.Feet() * b.Depth.Feet()
			thickIn, thinIn = math.Max(thickIn, b.Thick.Inches()), math.Min(thinIn, b.Thin.Inches())
		}
	}
	h, d := w.H.Feet(), w.W.Feet()
	each, mostIn := h*d/2, w.Board.InchesPerFoot()*h*d/math.Hypot(h, d)
	n.tapered = 2 * int(math.Ceil(each/sqft-1e-9))
	for t := thickIn; t < mostIn-1e-9; t += thickIn - thinIn {
		n.fill += 2 * int(math.Ceil(each*(1-t/mostIn)*(1-t/mostIn)/sqft-1e-9))
	}
	return n
}

// crickets lays half crickets where ponds lie along a low line between two
// outlets or upslope of a curb, on the roof as it is.
func (c *climb) crickets(ctx context.Context) (Step, error) {
	if s, none := c.noPond(); none {
		return s, nil
	}
	var s Step
	var do, not []string
	var tapered, fill int
	top := append([]float64(nil), c.surf.ElevIn...)
	for _, l := range c.baseLines() {
		w, why := taper.WedgeOf(c.wedgeFor(l), c.Stock.Tapered, c.Units)
		if why != "" {
			not = append(not, l.name+": "+why)
			continue
		}
		p := c.raise(top, l, w)
		n := boardsOf(w, c.Stock.Tapered)
		tapered, fill = tapered+n.tapered, fill+n.fill
		do = append(do, p.Words)
		s.Places = append(s.Places, p)
	}
	switch {
	case len(do) == 0 && len(not) == 0:
		s.Outcome, s.Why = Refused, "no pond lies along a low line between two outlets or upslope of a curb"
		return s, nil
	case len(do) == 0:
		s.Outcome, s.Why = Refused, strings.Join(not, "; ")
		return s, nil
	}
	for k, on := range c.surf.Roof {
		if thickIn := top[k] - c.surf.ElevIn[k]; on && thickIn > 0 {
			s.FillSqFt += c.surf.CellFt * c.surf.CellFt
			s.FillCuFt += c.surf.CellFt * c.surf.CellFt * thickIn / 12
		}
	}
	s.Boards = tapered + fill
	s.Do = fmt.Sprintf("%s: %s over %s; by area about %s", strings.Join(do, "; "), c.cuft(s.FillCuFt), c.sqft(s.FillSqFt),
		plural(tapered, "tapered board"))
	if fill > 0 {
		s.Do += " and " + strconv.Itoa(fill) + " of fill"
	}
	if len(c.sumped.Places) > 0 {
		s.Do = "with the drains set and sumped as above, " + s.Do
	}
	t := c.asNow()
	t.surf = t.surf.With(top)
	s, err := c.tested(ctx, s, t)
	if len(not) > 0 {
		s.Why += "; " + strings.Join(not, "; ")
	}
	return s, err
}

// baseLines lists where crickets could stand, outlets first.
func (c *climb) baseLines() []baseLine {
	var out []baseLine
	o := c.Site.Outlets
	for i := range o {
		for j := i + 1; j < len(o); j++ {
			if c.point(i) && c.point(j) && c.pondOn(o[i].P, o[j].P, onLineFt) && !c.between(i, j) {
				u := o[j].P.Sub(o[i].P).Mul(1 / o[i].P.Dist(o[j].P))
				for _, n := range []geom.Pt{{X: -u.Y, Y: u.X}, {X: u.Y, Y: -u.X}} {
					l := baseLine{o[i].P, o[j].P, n, "between " + o[i].ID + " and " + o[j].ID}
					if c.roofBeside(l) {
						out = append(out, l)
					}
				}
			}
		}
	}
	for n, ring := range c.Site.Curbs {
		for k := range ring {
			a, b := ring[k], ring.At(k+1)
			u := b.Sub(a).Mul(1 / a.Dist(b))
			l := baseLine{a.Sub(u.Mul(taper.PastCurbFt)), b.Add(u.Mul(taper.PastCurbFt)), geom.Pt{X: u.Y, Y: -u.X}, "upslope of curb " + c.Site.CurbIDs[n]}
			if c.pondOn(a, b, 2*c.surf.CellFt) && c.fallToward(l) > 0 {
				out = append(out, l)
			}
		}
	}
	return out
}

// point says whether an outlet is a primary drain or scupper that lets water go.
func (c *climb) point(n int) bool {
	o := c.Site.Outlets[n]
	return (o.Kind == survey.Drain || o.Kind == survey.Scupper) && !o.Overflow && o.State != survey.Blocked
}

// between says whether another outlet lies on the line from i to j.
func (c *climb) between(i, j int) bool {
	a, b := c.Site.Outlets[i].P, c.Site.Outlets[j].P
	for n := range c.Site.Outlets {
		if n != i && n != j && c.point(n) && geom.SegDist(c.Site.Outlets[n].P, a, b) <= onLineFt {
			return true
		}
	}
	return false
}

// pondOn says whether a pond is deepest within a distance of a line.
func (c *climb) pondOn(a, b geom.Pt, ft float64) bool {
	for _, p := range c.now.Ponds {
		if geom.SegDist(p.Deepest, a, b) <= ft {
			return true
		}
	}
	return false
}

// beside calls f for the roof cells beside a base line, as far out as half its
// length, with their distance from it.
func (c *climb) beside(l baseLine, f func(k int, offFt float64)) {
	lengthFt := l.a.Dist(l.b)
	u := l.b.Sub(l.a).Mul(1 / lengthFt)
	far := l.out.Mul(lengthFt / 2)
	box := geom.BoxOf(l.a, l.b, l.a.Add(far), l.b.Add(far))
	w, h := box.Size()
	c.within(box.Centre(), math.Max(w, h)/2, func(k int, q geom.Pt) {
		d := q.Sub(l.a)
		if along, off := d.Dot(u), d.Dot(l.out); off > 0 && off <= lengthFt/2 && along >= 0 && along <= lengthFt {
			f(k, off)
		}
	})
}

// wedgeFor is what a cricket on a base line is shaped for.
func (c *climb) wedgeFor(l baseLine) taper.WedgeFor {
	return taper.WedgeFor{Field: c.fallToward(l), ValleyMin: c.Options.Rules.Valley.Min, TopMin: c.Options.Rules.Field.Min,
		H: unit.Feet(l.a.Dist(l.b) / 2)}
}

// roofBeside says whether there is roof beside a base line to lay a cricket on.
func (c *climb) roofBeside(l baseLine) bool {
	cells := 0.0
	c.beside(l, func(int, float64) { cells++ })
	return cells*c.surf.CellFt*c.surf.CellFt > l.a.Dist(l.b)*l.a.Dist(l.b)/4
}

// fallToward is the slope of the roof toward a base line, by least squares.
func (c *climb) fallToward(l baseLine) unit.Slope {
	var n, sumD, sumZ, sumDD, sumDZ float64
	c.beside(l, func(k int, offFt float64) {
		zIn := c.surf.ElevIn[k]
		n, sumD, sumZ = n+1, sumD+offFt, sumZ+zIn
		sumDD, sumDZ = sumDD+offFt*offFt, sumDZ+offFt*zIn
	})
	if det := n*sumDD - sumD*sumD; n > 2 && det > 0 {
		return unit.InchesPerFoot((n*sumDZ - sumD*sumZ) / det)
	}
	return 0
}

// raise lays a half cricket on elevations: two right triangles, thin along the
// low edges, thick in the middle of the line.
func (c *climb) raise(top []float64, l baseLine, w taper.Wedge) Place {
	mid := l.a.Lerp(l.b, 0.5)
	tip := mid.Add(l.out.Mul(w.W.Feet()))
	shape := geom.Poly{Outer: geom.Ring{l.a, l.b, tip}.CCW()}
	c.within(mid, math.Max(w.H.Feet(), w.W.Feet()), func(k int, q geom.Pt) {
		if !shape.Has(q) {
			return
		}
		end := l.a
		if q.Sub(mid).Dot(l.b.Sub(l.a)) > 0 {
			end = l.b
		}
		edge := tip.Sub(end)
		offFt := math.Abs(q.Sub(end).Cross(edge)) / edge.Norm()
		top[k] = math.Max(top[k], c.surf.ElevIn[k]+unit.Fall(w.Board, unit.Feet(offFt)).Inches())
	})
	return Place{Rung: Crickets, At: mid.Lerp(tip, 1./3), Shape: []geom.Poly{shape}, Words: fmt.Sprintf(
		"a half cricket %s, %s out, boards of %s, valleys of %s", l.name, w.W.Format(c.Units), w.Board.Format(c.Units), w.Valley.Format(c.Units))}
}
