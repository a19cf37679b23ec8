package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// The strip along a wall that backfalls are read over, and the slope up to
// which it counts as level. Common practice, no source.
const (
	stripFt        = 4
	levelInPerFt   = 1. / 16
	leastBackfall  = 4.0 // ft along the wall: shorter ones are not told
	stationsPerRun = 1.0 // ft between two readings along a wall, at least a cell
)

// Backfall is a stretch of a wall, parapet or other closed edge, or of a court,
// that water runs toward or stands at. Where scuppers of the edge take it, it
// is told only where it stands.
type Backfall struct {
	Edge     int // of site.Edges; -1: of a court
	Court    int // of site.Courts; -1: of an edge
	A, B     geom.Pt
	LengthFt float64
	// Toward is the mean slope toward the wall over a strip of 4 ft; 0 where
	// water only stands.
	Toward unit.Slope
	Pond   string // that stands at the wall; "": none
}

// backfalls looks along every closed edge and court.
func (t *tracer) backfalls() []Backfall {
	var out []Backfall
	for n, e := range t.c.site.Edges {
		if e.Kind.LetsWaterGo() || e.Kind == survey.LimitEdge {
			continue
		}
		out = append(out, t.along(e.A, e.B, t.hasScupper(n), Backfall{Edge: n, Court: -1})...)
	}
	for n, ring := range t.c.site.Courts {
		for k := range ring {
			out = append(out, t.along(ring[k], ring.At(k+1), false, Backfall{Edge: -1, Court: n})...)
		}
	}
	return out
}

// hasScupper says whether water may leave through edge n.
func (t *tracer) hasScupper(n int) bool {
	for k, o := range t.c.site.Outlets {
		if o.Edge == n && t.c.lets(k) && !o.Overflow {
			return true
		}
	}
	return false
}

// station is what a strip square to a wall tells.
type station struct {
	at     geom.Pt // on the wall
	toward float64 // in/ft; 0 where it is level, falls away, or is in doubt
	pond   string
}

func (s station) told() bool { return s.toward > 0 || s.pond != "" }

// along reads the strips of a stretch of wall, the roof on its left, and joins
// those beside one another.
func (t *tracer) along(a, b geom.Pt, outlets bool, as Backfall) []Backfall {
	lengthFt := a.Dist(b)
	count := int(lengthFt / math.Max(stationsPerRun, t.surf.CellFt))
	if count == 0 {
		return nil
	}
	inward := left(b.Sub(a)).Mul(1 / lengthFt)
	var out []Backfall
	var run []station
	for n := range count + 1 {
		var s station
		if n < count {
			s = t.strip(a.Lerp(b, (float64(n)+0.5)/float64(count)), inward)
			if outlets {
				s.toward = 0
			}
		}
		if s.told() {
			run = append(run, s)
			continue
		}
		if ft := float64(len(run)) * lengthFt / float64(count); ft >= leastBackfall {
			out = append(out, joinedRun(as, run, ft))
		}
		run = nil
	}
	return out
}

// joinedRun is the backfall of stations beside one another, that hold ft of
// wall.
func joinedRun(as Backfall, run []station, ft float64) Backfall {
	sum, falls := 0.0, 0
	for _, s := range run {
		if s.toward > 0 {
			sum, falls = sum+s.toward, falls+1
		}
		if as.Pond == "" {
			as.Pond = s.pond
		}
	}
	if falls > 0 {
		as.Toward = rounded(sum / float64(falls))
	}
	half := geom.Pt{}
	if last := len(run) - 1; last > 0 {
		half = run[last].at.Sub(run[0].at).Mul(0.5 / float64(last))
	}
	as.A, as.B, as.LengthFt = run[0].at.Sub(half), run[len(run)-1].at.Add(half), ft
	return as
}

// strip reads the strip from a place on a wall inward. Slopes within the doubt
// of the two ends, or that count as level, are none.
func (t *tracer) strip(at, inward geom.Pt) station {
	s := station{at: at}
	near, nearIn, ok := t.firstRoof(at, inward)
	if !ok {
		return s
	}
	if h := t.c.pondOf[t.cellOf(near)]; h >= 0 && t.c.named[h] >= 0 {
		s.pond = pondName(t.c.named[h])
	}
	far := at.Add(inward.Mul(stripFt))
	farIn, ok := t.heightAt(far)
	if runFt := far.Dist(near); ok && runFt > stripFt/2 {
		slope := (farIn - nearIn) / runFt
		doubt := SlopeDoubtBetween(t.c.sigmaAt(near), t.c.sigmaAt(far), unit.Feet(runFt)).InchesPerFoot()
		if slope > math.Max(doubt, levelInPerFt) {
			s.toward = slope
		}
	}
	return s
}

// firstRoof is the first place of the mesh from a wall inward, within two
// cells.
func (t *tracer) firstRoof(at, inward geom.Pt) (geom.Pt, float64, bool) {
	for n := 1; n <= 8; n++ {
		p := at.Add(inward.Mul(float64(n) * t.surf.CellFt / 4))
		if z, ok := t.heightAt(p); ok {
			return p, z, true
		}
	}
	return at, 0, false
}
