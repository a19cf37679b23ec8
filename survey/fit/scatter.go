package fit

import (
	"math"

	"runnel/survey/geom"
)

// localScatter is the variance of one reading about a place: a mean of what the
// shots about it tell, weighed by a bell, with the mean of all shots counting
// for localPrior more.
type localScatter struct {
	near   *near // of the shots that tell anything
	in2    []float64
	mean   float64
	bellFt float64
}

const (
	localBell  = 1.5  // lengths that a shot speaks over, of the bell
	localPrior = 6.0  // shots
	mostMeans  = 16.0 // one blunder does not speak louder
)

// newLocalScatter takes what each shot tells, NaN for one that tells nothing.
func newLocalScatter(at []geom.Pt, in2 []float64, lengthFt float64) *localScatter {
	s := &localScatter{bellFt: localBell * lengthFt}
	var kept []geom.Pt
	for i, v := range in2 {
		if !math.IsNaN(v) {
			kept, s.in2 = append(kept, at[i]), append(s.in2, v)
			s.mean += v
		}
	}
	s.mean /= float64(max(len(kept), 1))
	if len(kept) > 0 {
		s.near = newNear(kept)
	}
	return s
}

// at is the mean about p. Cost: the shots within three bells.
func (s *localScatter) at(p geom.Pt) float64 {
	sum, weight := localPrior*s.mean, localPrior
	if s.near == nil {
		return s.mean
	}
	s.near.within(p, 3*s.bellFt, func(i int) {
		ft := p.Dist(s.near.pts[i])
		w := math.Exp(-ft * ft / (2 * s.bellFt * s.bellFt))
		sum += float64(w * math.Min(s.in2[i], mostMeans*s.mean))
		weight += w
	})
	return sum / weight
}
