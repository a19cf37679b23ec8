package survey

import (
	"math"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Site is an area in its building frame: upright walls where the building has
// them, small numbers, and always the same of the eight ways to turn or mirror
// it (see FrameOf), so that a turned job is the same site.
type Site struct {
	Name    string
	Frame   geom.Frame
	Outline geom.Ring   // counter-clockwise
	Courts  []geom.Ring // clockwise
	Curbs   []geom.Ring // counter-clockwise; beside Area.Curbs, in its order
	CurbIDs []string    // of Curbs
	Edges   []SiteEdge  // those of the outline, as Area.Edges counts them
	Outlets []SiteOutlet
	Shots   []SiteShot // without those left out
	Cores   []SiteCore
	Breaks  [][]geom.Pt // of the deck
	Joints  [][]geom.Pt // no water crosses them
	// Crickets are the designer's, sides as the frame has them; OwnCrickets: they
	// stand instead of the program's.
	Crickets    []CricketPlace
	OwnCrickets bool
}

// SiteEdge is an edge in the frame; the area lies to the left of A to B.
type SiteEdge struct {
	A, B   geom.Pt
	Kind   EdgeKind
	Height Height // of its top
}

// SiteOutlet is an outlet with its place in the frame.
type SiteOutlet struct {
	Outlet
	P    geom.Pt // the middle of an edge for gutter and open edges
	A, B geom.Pt // of gutter and open edges, and of a scupper's opening; else P
}

// SiteShot is a used shot in the frame.
type SiteShot struct {
	P         geom.Pt
	ElevIn    float64
	ID        string
	FromCloud bool
}

// SiteCore is a core in the frame.
type SiteCore struct {
	P           geom.Pt
	ThicknessIn float64
	ID          string
}

// SiteOf puts an area into its building frame. axesDeg gives the building
// axes, counter-clockwise from +x; nil lays them along the longest edge.
// Cost: O(n log n) in vertices, outlets and shots.
func SiteOf(a *Area, axesDeg *float64) *Site { return SiteIn(a, FrameOf(a, axesDeg), axesDeg) }

// SiteIn puts an area into a frame that is given, for instance that of the area
// it is a part of.
func SiteIn(a *Area, f geom.Frame, axesDeg *float64) *Site {
	s := &Site{Name: a.Name, Frame: f, Outline: a.Outline.Map(f.ToLocal).CCW()}
	for _, c := range a.Courts {
		s.Courts = append(s.Courts, c.Map(f.ToLocal).CCW().Reversed())
	}
	for _, c := range a.Curbs {
		s.Curbs = append(s.Curbs, curbRing(c, a, axesDeg).Map(f.ToLocal).CCW())
		s.CurbIDs = append(s.CurbIDs, c.ID)
	}
	clockwise := a.Outline.SignedArea() < 0
	for n := range a.Outline {
		s.Edges = append(s.Edges, siteEdge(a, f, n, clockwise))
	}
	for _, o := range a.Outlets {
		s.Outlets = append(s.Outlets, siteOutlet(s, o))
	}
	for _, sh := range a.Shots {
		if sh.Left == "" {
			s.Shots = append(s.Shots, SiteShot{f.ToLocal(sh.At), sh.Elev.Inches(), sh.ID, sh.FromCloud})
		}
	}
	s.Breaks, s.Joints = polylines(a.Breaks, f), polylines(a.Joints, f)
	s.OwnCrickets = a.OwnCrickets
	for _, c := range a.Crickets {
		c.From, c.To = f.ToLocal(c.From), f.ToLocal(c.To)
		if f.Mirror && c.On != OnBoth {
			c.On = OnLeft + OnRight - c.On
		}
		s.Crickets = append(s.Crickets, c)
	}
	for _, c := range a.Cores {
		s.Cores = append(s.Cores, SiteCore{f.ToLocal(c.At), c.Thickness.Inches(), c.ID})
	}
	return s
}

func polylines(all [][]geom.Pt, f geom.Frame) [][]geom.Pt {
	var out [][]geom.Pt
	for _, l := range all {
		out = append(out, geom.Ring(l).Map(f.ToLocal))
	}
	return out
}

// siteEdge is edge n of an outline that runs clockwise or not.
func siteEdge(a *Area, f geom.Frame, n int, clockwise bool) SiteEdge {
	e := SiteEdge{A: f.ToLocal(a.Outline[n]), B: f.ToLocal(a.Outline.At(n + 1)), Kind: Parapet}
	if n < len(a.Edges) {
		e.Kind, e.Height = a.Edges[n].Kind, a.Edges[n].Height
	}
	if clockwise != f.Mirror {
		e.A, e.B = e.B, e.A
	}
	return e
}

func siteOutlet(s *Site, o Outlet) SiteOutlet {
	so := SiteOutlet{Outlet: o, P: s.Frame.ToLocal(o.At)}
	so.A, so.B = so.P, so.P
	if o.Edge < 0 {
		return so
	}
	e := s.Edges[o.Edge]
	if o.Kind == Scupper {
		half := e.B.Sub(e.A).Mul(o.Width.Feet() / 2 / e.A.Dist(e.B))
		so.A, so.B = so.P.Sub(half), so.P.Add(half)
		return so
	}
	so.A, so.B, so.P = e.A, e.B, e.A.Lerp(e.B, 0.5)
	return so
}

// curbRing gives the corners of a curb in job coordinates.
func curbRing(c Curb, a *Area, axesDeg *float64) geom.Ring {
	turn := axesTurn(a.Outline, axesDeg) + c.Turn*math.Pi/180
	f := geom.Frame{Origin: c.At, Turn: turn}
	half := geom.Pt{X: c.W / 2, Y: c.D / 2}
	return geom.Box{Min: half.Mul(-1), Max: half}.Ring().Map(f.ToJob)
}

// Poly is the area of the site: its outline less its courts.
func (s *Site) Poly() geom.Poly { return geom.Poly{Outer: s.Outline, Holes: s.Courts} }

// OnRoof says whether a place in the frame lies in the outline and off courts
// and curbs.
func (s *Site) OnRoof(p geom.Pt) bool {
	if !s.Poly().Has(p) {
		return false
	}
	for _, c := range s.Curbs {
		if c.Has(p) {
			return false
		}
	}
	return true
}

// RoofArea is the outline less courts and curbs; curbs must not overlap.
func (s *Site) RoofArea() unit.Area {
	a := s.Poly().Area()
	for _, c := range s.Curbs {
		a -= c.Area()
	}
	return unit.SquareFeet(a)
}

// hairFt is what a roof may reach past its last cells: a turned outline that is
// written to a few decimals does not get another column for it.
const hairFt = 1e-3

// LatticeOf lays a raster over the site, centred on its box. cellFt is the
// cell's side; 0 chooses half a foot up to 25,000 sq ft of box, then 1 ft.
func LatticeOf(s *Site, cellFt float64) Lattice {
	w, h := s.Outline.Box().Size()
	if cellFt == 0 {
		cellFt = 0.5
		if w*h > 25000 {
			cellFt = 1
		}
	}
	count := func(ft float64) int { return max(1, int(math.Ceil((ft-hairFt)/cellFt))) }
	return Lattice{Frame: s.Frame, CellFt: cellFt, NX: count(w), NY: count(h)}
}
