package drainage

import (
	"math"
	"slices"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// CricketFrom is the width across the slope from which on a curb needs a
// cricket upslope: more than 30 in, IBC 1503.6 (2015), 1503.5 (2021 family).
const CricketFrom = 30 * unit.Inch

// Obstacle is a curb that water runs into.
type Obstacle struct {
	Curb    string
	At      geom.Pt     // the middle of the curb
	Slope   unit.Slope  // of the roof round the curb
	Width   unit.Length // of the curb across that slope
	Cricket bool        // wider than 30 in: codes want a cricket upslope
	Paths   []string    // that run into it
	Pond    string      // that stands at its uphill side; "": none
}

// obstacles tells the curbs on a roof that slopes, and those that a pond stands
// against uphill.
func (t *tracer) obstacles(paths []Path) []Obstacle {
	var out []Obstacle
	for n, id := range t.c.site.CurbIDs {
		ring := t.c.site.Curbs[n]
		g, ok := t.slopeRound(ring)
		if !ok {
			continue
		}
		o := Obstacle{Curb: id, At: ring.Box().Centre(), Slope: rounded(g.Norm())}
		o.Width = unit.Feet(math.Round(acrossFt(ring, g)*1e6) / 1e6)
		o.Cricket = o.Width > CricketFrom
		o.Pond = t.pondAbove(ring, g)
		for _, p := range paths {
			if t.runsInto(p, ring) {
				o.Paths = append(o.Paths, p.ID)
			}
		}
		if o.Cricket || len(o.Paths) > 0 || o.Pond != "" {
			out = append(out, o)
		}
	}
	return out
}

// slopeRound is the gradient of the roof round a curb, in in/ft: that of the
// plane of least squares through places two cells and four off its sides. It is
// false where the roof there is level, or as level as the survey can tell.
func (t *tracer) slopeRound(ring geom.Ring) (geom.Pt, bool) {
	var at []geom.Pt
	var zIn []float64
	for n := range ring {
		a, b := ring[n], ring.At(n+1)
		outward := left(b.Sub(a)).Mul(-1 / a.Dist(b))
		for _, u := range []float64{0.125, 0.375, 0.625, 0.875} {
			for _, off := range []float64{2 * t.surf.CellFt, 4 * t.surf.CellFt} {
				p := a.Lerp(b, u).Add(outward.Mul(off))
				if z, ok := t.heightAt(p); ok {
					at, zIn = append(at, p), append(zIn, z)
				}
			}
		}
	}
	g, ok := planeThrough(at, zIn)
	w, h := ring.Box().Size()
	runFt := math.Min(w, h) + 4*t.surf.CellFt
	doubt := SlopeDoubt(t.c.sigmaAt(ring.Box().Centre()), unit.Feet(runFt)).InchesPerFoot()
	return g, ok && g.Norm() > math.Max(levelInPerFt, doubt)
}

// planeThrough is the gradient of the plane of least squares through places.
func planeThrough(at []geom.Pt, zIn []float64) (geom.Pt, bool) {
	n := float64(len(at))
	if n < 3 {
		return geom.Pt{}, false
	}
	var mid geom.Pt
	midZ := 0.0
	for k, p := range at {
		mid, midZ = mid.Add(p), midZ+zIn[k]
	}
	mid, midZ = mid.Mul(1/n), midZ/n
	var xx, xy, yy, xz, yz float64
	for k, p := range at {
		d, z := p.Sub(mid), zIn[k]-midZ
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
		xz, yz = xz+d.X*z, yz+d.Y*z
	}
	det := xx*yy - xy*xy
	if det <= 1e-9*(xx+yy)*(xx+yy) {
		return geom.Pt{}, false
	}
	return geom.Pt{X: (xz*yy - yz*xy) / det, Y: (yz*xx - xz*xy) / det}, true
}

// acrossFt is how wide a ring is square to a gradient.
func acrossFt(ring geom.Ring, g geom.Pt) float64 {
	across := left(g).Mul(1 / g.Norm())
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range ring {
		least, most = math.Min(least, p.Dot(across)), math.Max(most, p.Dot(across))
	}
	return most - least
}

// pondAbove is the pond that stands at the uphill sides of a curb.
func (t *tracer) pondAbove(ring geom.Ring, g geom.Pt) string {
	for n := range ring {
		a, b := ring[n], ring.At(n+1)
		outward := left(b.Sub(a)).Mul(-1 / a.Dist(b))
		if outward.Dot(g) <= 0.1*g.Norm() {
			continue
		}
		for _, u := range []float64{0.25, 0.5, 0.75} {
			p, _, ok := t.firstRoof(a.Lerp(b, u), outward)
			if h := t.c.pondOf[t.cellOf(p)]; ok && h >= 0 && t.c.named[h] >= 0 {
				return pondName(t.c.named[h])
			}
		}
	}
	return ""
}

// runsInto says whether a path comes from afar to within a cell and a half of a
// curb.
func (t *tracer) runsInto(p Path, ring geom.Ring) bool {
	reachFt := 1.5 * t.surf.CellFt
	distFt := func(q geom.Pt) float64 {
		least := math.Inf(1)
		for n := range ring {
			least = math.Min(least, geom.SegDist(q, ring[n], ring.At(n+1)))
		}
		return least
	}
	return distFt(p.Points[0]) > reachFt &&
		slices.ContainsFunc(p.Points[1:], func(q geom.Pt) bool { return distFt(q) <= reachFt })
}
