package read

import (
	"fmt"

	"runnel/survey/geom"
)

// layout tells where on the job's areas a place lies.
type layout struct {
	areas []*areaRead
	grid  []bands // beside areas, for places near a border by nearFt
	wide  []bands // the same by cloudNearFt; nil until a cloud asks
	byID  map[string]int
}

// newLayout needs areas that are sound.
func newLayout(areas []*areaRead) *layout {
	l := &layout{areas: areas, byID: map[string]int{}}
	for i, a := range areas {
		l.grid = append(l.grid, newBands(a, nearFt))
		if _, twice := l.byID[a.Name]; !twice {
			l.byID[a.Name] = i
		}
	}
	return l
}

func (l *layout) has(area string) bool { _, ok := l.byID[area]; return ok }

func (l *layout) widen() {
	if l.wide == nil {
		for _, a := range l.areas {
			l.wide = append(l.wide, newBands(a, cloudNearFt))
		}
	}
}

// costNear is how many stretches of outlines a place is compared with.
func (l *layout) costNear(at geom.Pt) float64 {
	l.widen()
	cost := float64(len(l.wide))
	for _, b := range l.wide {
		if b.box.Has(at) {
			cost += float64(len(b.here(at)))
		}
	}
	return cost
}

// cloudArea gives the area of a point of a cloud, -1 where it is off them all:
// the one that holds it, else the first that it is near to. A point whose area
// is named belongs there or nowhere.
func (l *layout) cloudArea(at geom.Pt, named string) int {
	l.widen()
	near := -1
	for k := range l.areas {
		if named != "" && l.areas[k].Name != named || !l.wide[k].box.Has(at) {
			continue
		}
		switch in, close := l.wide[k].holds(at, cloudNearFt); {
		case in:
			return k
		case close && near < 0:
			near = k
		}
	}
	return near
}

// reach says in words how far the outlines reach.
func (l *layout) reach() string {
	var all []geom.Pt
	for _, a := range l.areas {
		b := a.Outline.Box()
		all = append(all, b.Min, b.Max)
	}
	b := geom.BoxOf(all...)
	return fmt.Sprintf("from (%.1f, %.1f) to (%.1f, %.1f) ft", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
}
