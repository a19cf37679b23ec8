package fit

import (
	"math"
	"math/big"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// bigInCircle is inCircle in whole numbers of any size.
func bigInCircle(a, b, c, d spot) int {
	n := func(v int64) *big.Int { return big.NewInt(v) }
	mul := func(p, q *big.Int) *big.Int { return new(big.Int).Mul(p, q) }
	lift := func(p spot) *big.Int {
		x, y := n(p.x-d.x), n(p.y-d.y)
		return new(big.Int).Add(mul(x, x), mul(y, y))
	}
	minor := func(p, q spot) *big.Int {
		return new(big.Int).Sub(mul(n(p.x-d.x), n(q.y-d.y)), mul(n(p.y-d.y), n(q.x-d.x)))
	}
	sum := mul(lift(a), minor(b, c))
	sum.Add(sum, mul(lift(b), minor(c, a)))
	sum.Add(sum, mul(lift(c), minor(a, b)))
	return sum.Sign()
}

func TestInCircle_AgreesWithBigIntegers(t *testing.T) {
	rng := seeded(t)
	zero := 0
	for n := range 50000 {
		size := int64(1) << (2 + n%24)
		p := func() spot { return spot{rng.Int64N(2*size) - size, rng.Int64N(2*size) - size} }
		a, b, c, d := p(), p(), p(), p()
		if n%5 == 0 { // the corners of a rectangle lie on one circle
			b, c, d = spot{c.x, a.y}, spot{c.x, c.y}, spot{a.x, c.y}
		}
		want := bigInCircle(a, b, c, d)
		if got := inCircle(a, b, c, d); got != want {
			t.Fatalf("inCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
		}
		if want == 0 {
			zero++
		}
	}
	if zero < 5000 {
		t.Errorf("only %d of the cases were ties", zero)
	}
}

// checkMesh counts triangles and edges and looks into every circle.
func checkMesh(t *testing.T, m *mesh) (triangles, edges, hull int) {
	t.Helper()
	for k := range m.tri {
		if !m.real(int32(k)) {
			continue
		}
		triangles++
		tr := m.tri[k]
		a, b, c := m.at[tr.v[0]], m.at[tr.v[1]], m.at[tr.v[2]]
		if side(a, b, c) <= 0 {
			t.Fatalf("triangle %v runs the wrong way or is flat", tr.v)
		}
		for _, p := range m.at {
			if inCircle(a, b, c, p) > 0 {
				t.Fatalf("%v lies within the circle of %v %v %v", p, a, b, c)
			}
		}
		for i := range 3 {
			o := tr.adj[i]
			if m.dead[o] || m.tri[o].adj[0] != int32(k) && m.tri[o].adj[1] != int32(k) && m.tri[o].adj[2] != int32(k) {
				t.Fatalf("triangle %d and its neighbour %d do not know each other", k, o)
			}
			if !m.real(o) {
				hull++
				edges += 2
			} else {
				edges++
			}
		}
	}
	return triangles, edges / 2, hull
}

// The counts are textbook: n places, b of them on the hull, make 2n-2-b
// triangles and 3n-3-b edges.
func TestMesh_CountsAndEmptyCircles(t *testing.T) {
	rng := seeded(t)
	grid := func(nx, ny int, sx, sy, turnDeg float64) (at []spot) {
		s, c := math.Sincos(turnDeg * math.Pi / 180)
		for j := range ny {
			for i := range nx {
				x, y := float64(i)*sx*65536, float64(j)*sy*65536
				at = append(at, spot{int64(math.Round(c*x - s*y)), int64(math.Round(s*x + c*y))})
			}
		}
		return at
	}
	scattered := func(n int, size int64) (at []spot) {
		seen := map[spot]bool{}
		for len(at) < n {
			p := spot{rng.Int64N(size), rng.Int64N(size)}
			if !seen[p] {
				seen[p] = true
				at = append(at, p)
			}
		}
		return at
	}
	ring := []spot{{0, 0}}
	for _, p := range [][2]int64{{3, 4}, {4, 3}, {5, 0}, {4, -3}, {3, -4}, {0, -5}, {-3, -4}, {-4, -3}, {-5, 0}, {-4, 3}, {-3, 4}, {0, 5}} {
		ring = append(ring, spot{p[0], p[1]})
	}
	for _, c := range []struct {
		name             string
		at               []spot
		triangles, edges int // 0: by the hull counted
	}{
		{"3 x 3 grid", grid(3, 3, 10, 10, 0), 8, 16},
		{"narrow grid turned by 30 degrees", grid(20, 20, 1.0/3, 10, 30), 0, 0},
		{"square grid", grid(15, 15, 10, 10, 0), 0, 0},
		{"many on one circle", ring, 0, 0},
		{"200 scattered", scattered(200, 1<<25), 0, 0},
		{"200 crowded on a small lattice", scattered(200, 18), 0, 0},
		{"nearly in a line", append(grid(100, 1, 1, 1, 0), spot{50 * 65536, 1}), 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, ok := newMesh(c.at)
			if !ok {
				t.Fatal("no mesh")
			}
			tri, edges, hull := checkMesh(t, m)
			n := len(c.at)
			if tri != 2*n-2-hull || edges != 3*n-3-hull {
				t.Errorf("%d triangles, %d edges, want %d, %d (n %d, b %d)", tri, edges, 2*n-2-hull, 3*n-3-hull, n, hull)
			}
			if c.triangles > 0 && (tri != c.triangles || edges != c.edges) {
				t.Errorf("%d triangles, %d edges, want %d, %d", tri, edges, c.triangles, c.edges)
			}
			z := make([]float64, n)
			for i := range z {
				z[i] = rng.Float64()
			}
			m.splitTies(z)
			if tri2, edges2, _ := checkMesh(t, m); tri2 != tri || edges2 != edges {
				t.Errorf("after ties %d triangles, %d edges, before %d, %d", tri2, edges2, tri, edges)
			}
		})
	}
	if _, ok := newMesh(grid(5, 1, 1, 1, 0)); ok {
		t.Error("a line of places was triangulated")
	}
}

// tinOn lays triangles between a roof's shots on cells of its lattice.
func tinOn(t testing.TB, a *survey.Area, cellFt float64) (*survey.Site, *survey.Surface, *tin) {
	t.Helper()
	s := survey.SiteOf(a, nil)
	l := survey.LatticeOf(s, cellFt)
	shots, err := usable(s)
	if err != nil {
		t.Fatal(err)
	}
	tr, ok := newTin(newGround(s, l, newWalls(s)), shots)
	if !ok {
		t.Fatal("no triangles")
	}
	roof := survey.RoofCells(s, l)
	return s, &survey.Surface{Lattice: l, Roof: roof, ElevIn: tr.surface(s, l, roof)}, tr
}

// Textbook: on right triangles of leg g the linear interpolant of x^2 + y^2 is
// off by at most g^2/2, in the middle of the hypotenuse.
func TestTin_ParabolaError(t *testing.T) {
	const g = 10.0
	f := func(p geom.Pt) float64 { return p.X*p.X + p.Y*p.Y }
	a := survey.Area{Outline: rect(0, 0, 40, 40)}
	for y := 0.0; y <= 40; y += g {
		for x := 0.0; x <= 40; x += g {
			addShot(&a, geom.Pt{X: x, Y: y}, f(geom.Pt{X: x, Y: y}))
		}
	}
	s, surf, tr := tinOn(t, &a, 0.5)
	worst, at := 0.0, geom.Pt{}
	for k := range surf.ElevIn {
		p := s.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX))
		if d := math.Abs(surf.ElevIn[k] - f(p)); d > worst {
			worst, at = d, p
		}
	}
	// The middles of cells come within 0.25 ft of the middle of the hypotenuse.
	if worst > g*g/2+1e-9 || worst < g*g/2-0.2 {
		t.Errorf("greatest error %.4f at %v, want a little under %.1f", worst, at, g*g/2)
	}
	if dx := math.Abs(math.Mod(at.X, g) - g/2); dx > 0.5 {
		t.Errorf("greatest error at %v, not in the middle of a hypotenuse", at)
	}
	for k, trg := range tr.mesh.tri { // the very middle of each hypotenuse
		if !tr.mesh.real(int32(k)) {
			continue
		}
		for i := range 3 {
			p, q := tr.at[trg.v[i]], tr.at[trg.v[(i+1)%3]]
			if p.Dist(q) < g*1.2 {
				continue
			}
			m := p.Lerp(q, 0.5)
			z, _ := tr.height(trg.v[0], trg.v[1], trg.v[2], m)
			if d := z - f(s.Frame.ToJob(m)); math.Abs(d-g*g/2) > 1e-9 {
				t.Fatalf("in the middle of a hypotenuse %.6f off, want %.1f", d, g*g/2)
			}
		}
	}
}

// Four shots on one circle: the diagonal follows the elevations, whichever way
// the roof is turned, so the middle of each square has one value only.
func TestTin_TiesByElevation(t *testing.T) {
	corners := []geom.Pt{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}}
	z := []float64{1, 5, 2, 9} // rise 1 along one diagonal, 4 along the other
	for turn := range 4 {
		a := survey.Area{Outline: rect(0, 0, 10, 10)}
		for i := range 4 {
			addShot(&a, corners[(i+turn)%4], z[i])
		}
		_, surf, _ := tinOn(t, &a, 0.5)
		if mid, _ := surf.Elevation(geom.Pt{}); math.Abs(mid-1.5) > 0.2 {
			t.Errorf("turned %d quarters: the middle stands at %.3f, want 1.5 from the diagonal of the lesser rise", turn, mid)
		}
	}
}

// Leaving a shot out by its own neighbours is the same as triangulating all
// others anew.
func TestTin_LeaveOneOutIsBruteForce(t *testing.T) {
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 100, 60), Courts: []geom.Ring{rect(40, 20, 52, 33)}}
	poly := geom.Poly{Outer: a.Outline, Holes: a.Courts}
	for len(a.Shots) < 60 {
		if p := (geom.Pt{X: 100 * rng.Float64(), Y: 60 * rng.Float64()}); poly.Has(p) {
			addShot(&a, p, 3*rng.NormFloat64())
		}
	}
	_, _, all := tinOn(t, &a, 1)
	miss := all.leaveOneOut()
	inner := 0
	for n := range all.at {
		rest := places{}
		for m := range all.at {
			if m != n {
				rest.at, rest.zIn = append(rest.at, all.at[m]), append(rest.zIn, all.zIn[m])
			}
		}
		tr, ok := newTin(all.g, rest)
		if !ok {
			t.Fatal("no triangles")
		}
		for k, trg := range tr.mesh.tri {
			if !tr.mesh.real(int32(k)) {
				continue
			}
			z, in := tr.height(trg.v[0], trg.v[1], trg.v[2], all.at[n])
			if !in || !tr.open(tr.at[trg.v[0]], tr.at[trg.v[1]], tr.at[trg.v[2]]) {
				continue
			}
			if _, hull := all.ringOf(int32(n)); hull {
				continue // by the nearest fitted plane
			}
			inner++
			if d := all.zIn[n] - z; math.Abs(d-miss[n]) > 1e-9 {
				t.Errorf("shot %d: miss %g, without it %g", n, miss[n], d)
			}
		}
	}
	if inner < 35 {
		t.Errorf("only %d shots were compared", inner)
	}
}
