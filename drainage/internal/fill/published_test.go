package fill

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// published reads one of the public raster problems with known answers. They
// are not part of the repository: each names its own source and licence.
func published(t *testing.T, name string, into any) {
	t.Helper()
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the published raster problems are not tried")
	}
	text, err := os.ReadFile(filepath.Join(dir, "terrain", name))
	if err != nil {
		t.Skipf("%v: the published raster problem is not tried", err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatal(err)
	}
}

func flat(rows [][]float64) (Grid, []float64) {
	return Grid{NX: len(rows[0]), NY: len(rows)}, slices.Concat(rows...)
}

func sameLevels(t *testing.T, what string, got []float64, want [][]float64) {
	t.Helper()
	_, w := flat(want)
	if !slices.Equal(got, w) {
		t.Errorf("%s: %v, want %v", what, got, w)
	}
}

// TestPublished_OnePit: 3 cells and volume 6 with eight neighbours, 7 cells and
// 27 with four.
func TestPublished_OnePit(t *testing.T) {
	var p struct {
		Z     [][]float64
		Eight [][]float64 `json:"filled_8_neighbours"`
		Four  [][]float64 `json:"filled_4_neighbours"`
		Cells float64     `json:"ponded_cells_8"`
		Vol   float64     `json:"ponded_volume_8"`
	}
	published(t, "fill_5x7_one_pit.json", &p)
	g, z := flat(p.Z)
	got := Run(g, z, edgeSeeds(g, z))
	sameLevels(t, "eight neighbours", got.Level, p.Eight)
	if n, sum := sumDepth(z, got.Level); float64(n) != p.Cells || sum != p.Vol {
		t.Errorf("%d cells, volume %g", n, sum)
	}
	// Four neighbours are the textbook's, to hold the comparison itself.
	sameLevels(t, "four neighbours", textbook(g, z, edgeSeeds(g, z), false), p.Four)
}

func TestPublished_ThreeBasins(t *testing.T) {
	var p struct {
		Z     [][]float64
		Eight [][]float64 `json:"filled_8_neighbours"`
		Cells float64     `json:"ponded_cells"`
		Vol   float64     `json:"ponded_volume_cell_area_1"`
	}
	published(t, "fill_10x10_three_basins.json", &p)
	g, z := flat(p.Z)
	got := Run(g, z, edgeSeeds(g, z))
	sameLevels(t, "filled", got.Level, p.Eight)
	if n, sum := sumDepth(z, got.Level); float64(n) != p.Cells || sum != p.Vol {
		t.Errorf("%d cells, volume %g", n, sum)
	}
}

// TestPublished_NestedBasins: each basin alone to the level where they meet,
// the other drained, then both to the wall.
func TestPublished_NestedBasins(t *testing.T) {
	var p struct {
		Z     [][]float64
		Large float64 `json:"basin_large_volume_to_level_8"`
		Small float64 `json:"basin_small_volume_to_level_8"`
		Both  float64 `json:"both_volume_to_level_9"`
	}
	published(t, "nested_basins_10x10_volumes.json", &p)
	g, z := flat(p.Z)
	both := Run(g, z, edgeSeeds(g, z))
	if _, sum := sumDepth(z, both.Level); sum != p.Both {
		t.Errorf("both hold %g, want %g", sum, p.Both)
	}
	bottoms := map[int]bool{}
	for k := range z {
		if both.Level[k] > z[k] {
			bottoms[both.Hollow[both.Of[k]].Bottom] = true
		}
	}
	if len(bottoms) != 2 {
		t.Fatalf("%d hollows, want 2", len(bottoms))
	}
	var volumes []float64
	for drained := range bottoms {
		_, sum := sumDepth(z, Run(g, z, append(edgeSeeds(g, z), Seed{Cell: drained, Level: z[drained]})).Level)
		volumes = append(volumes, sum)
	}
	slices.Sort(volumes)
	if want := []float64{p.Small, p.Large}; !slices.Equal(volumes, want) {
		t.Errorf("alone they hold %v, want %v", volumes, want)
	}
}

// levelOf is the level of a volume of water over cells, the area of each 1: the
// lowest n cells are wet, and the level is (volume + sum of their heights)/n.
func levelOf(z []float64, cells []int, volume float64) float64 {
	heights := make([]float64, 0, len(cells))
	for _, k := range cells {
		heights = append(heights, z[k])
	}
	slices.Sort(heights)
	sum := 0.0
	for n, h := range heights {
		sum += h
		level := (volume + sum) / float64(n+1)
		if n+1 == len(heights) || level <= heights[n+1] {
			return level
		}
	}
	return math.Inf(1)
}

// below gives the cells under level that connect to a cell.
func below(g Grid, z []float64, from int, level float64) []int {
	cells := []int{from}
	for n := 0; n < len(cells); n++ {
		for d := range 9 {
			i, j := cells[n]%g.NX+d%3-1, cells[n]/g.NX+d/3-1
			k := j*g.NX + i
			if i >= 0 && j >= 0 && i < g.NX && j < g.NY && z[k] < level && !slices.Contains(cells, k) {
				cells = append(cells, k)
			}
		}
	}
	return cells
}

// pour gives the cells and the level of the water after a volume is poured in
// at a cell: its hollow fills to its pass; what is more runs over into the
// hollow beyond, and once both stand at the pass they are one, up to where
// they run over together.
func pour(g Grid, z []float64, seeds []Seed, volume float64, cell int) (wet []int, level float64) {
	r := Run(g, z, seeds)
	h := r.Hollow[r.Of[cell]]
	pass := math.Max(z[h.In], z[h.Out])
	own := below(g, z, h.Bottom, pass)
	if level := levelOf(z, own, volume); level <= pass {
		return own, level
	}
	both := below(g, z, h.Bottom, h.Level)
	return both, math.Min(levelOf(z, both, volume), h.Level)
}

// TestPublished_PartialPonding pours water into the upper part of a basin with
// an inner saddle at 3 and an outlet at 4.
func TestPublished_PartialPonding(t *testing.T) {
	var p struct {
		Z  [][]float64
		V3 struct {
			Volume float64 `json:"water_volume"`
			A      float64 `json:"depth_at_row2_col4"`
			B      float64 `json:"depth_at_row2_col5"`
		} `json:"case_volume_3"`
		V19 struct {
			Volume float64 `json:"water_volume"`
			Level  float64 `json:"water_level"`
			Depth  [][]float64
		} `json:"case_volume_19"`
		Rule []struct {
			Sum    float64 `json:"sum_of_cell_elevations"`
			Cells  int
			Volume float64
			Level  float64
		} `json:"water_level_rule_checks"`
	}
	published(t, "partial_ponding_10x10.json", &p)
	g, z := flat(p.Z)
	// What runs over falls into a moat round the basin, which is drained.
	seeds := append(edgeSeeds(g, z), Seed{Cell: 2*g.NX + 2})
	depth := func(volume float64) []float64 {
		wet, level := pour(g, z, seeds, volume, 2*g.NX+4)
		d := make([]float64, len(z))
		for _, k := range wet {
			d[k] = math.Max(0, level-z[k])
		}
		return d
	}
	want := make([]float64, len(z))
	want[2*g.NX+4], want[2*g.NX+5] = p.V3.A, p.V3.B
	if got := depth(p.V3.Volume); !slices.Equal(got, want) {
		t.Errorf("volume 3: %v", got)
	}
	sameLevels(t, "volume 19", depth(p.V19.Volume), p.V19.Depth)
	full := Run(g, z, seeds)
	if got := full.Level[2*g.NX+4]; got != p.V19.Level {
		t.Errorf("runs over at %g, want %g", got, p.V19.Level)
	}
	for _, r := range p.Rule {
		cells := make([]float64, r.Cells)
		for n := range cells {
			cells[n] = r.Sum / float64(r.Cells)
		}
		all := make([]int, r.Cells)
		for n := range all {
			all[n] = n
		}
		if got := levelOf(cells, all, r.Volume); math.Abs(got-r.Level) > 1e-12 {
			t.Errorf("volume %g: level %g, want %g", r.Volume, got, r.Level)
		}
	}
}

// TestPublished_FlowAccumulation counts the cells whose water passes through
// each: those that end there when that cell is an outlet. The directions of the
// problem are west, then south-west in the columns from 4 on, and west in the
// last row; the surface below has them by its steepest falls, 10 to the west
// against (10+4)/sqrt(2), and 8 against (8+4)/sqrt(2). The first column leaves
// the grid.
func TestPublished_FlowAccumulation(t *testing.T) {
	var p struct {
		Directions   [][]int
		Accumulation [][]float64
	}
	published(t, "flow_accumulation_15x15.json", &p)
	const west, southWest = 1, 8
	ny, nx := len(p.Directions), len(p.Directions[0])
	g := Grid{NX: nx, NY: ny, Open: make([]bool, nx*ny)}
	z := make([]float64, nx*ny)
	var leave []Seed
	for k := range z {
		i, j := k%nx, k/nx
		d := p.Directions[j][i]
		g.Open[k] = d != 0
		z[k] = 100 + 10*float64(min(i, 3)) + 8*float64(max(i-3, 0)) - 4*float64(j)
		if want := map[bool]int{true: southWest, false: west}[i > 3 && j < 5]; d != 0 && d != want {
			t.Fatalf("row %d, column %d runs %d", j, i, d)
		}
		if d != 0 && i == 0 {
			leave = append(leave, Seed{Cell: k, Outlet: 1})
		}
	}
	for k := range z {
		i, j := k%nx, k/nx
		if !g.Open[k] {
			continue // takes nothing, gives nothing
		}
		r := Run(g, z, append([]Seed{{Cell: k, Level: -1}}, leave...))
		got := 0.0
		for q, h := range r.Of {
			if g.Open[q] && r.Hollow[h].Bottom == k {
				got++
			}
		}
		if got != p.Accumulation[j][i] {
			t.Errorf("row %d, column %d: %g cells, want %g", j, i, got, p.Accumulation[j][i])
		}
	}
}

// TestPublished_Basins pours the published volumes as rain on one place: 3 and
// 19 into the basin with an inner saddle; the two nested basins one by one to
// the level where they meet, then both to the wall.
func TestPublished_Basins(t *testing.T) {
	var p struct {
		Z  [][]float64
		V3 struct {
			Volume float64 `json:"water_volume"`
			A      float64 `json:"depth_at_row2_col4"`
			B      float64 `json:"depth_at_row2_col5"`
		} `json:"case_volume_3"`
		V19 struct {
			Volume float64 `json:"water_volume"`
			Depth  [][]float64
		} `json:"case_volume_19"`
	}
	published(t, "partial_ponding_10x10.json", &p)
	g, z := flat(p.Z)
	seeds := append(edgeSeeds(g, z), Seed{Cell: 2*g.NX + 2})
	res := Run(g, z, seeds)
	depth := func(volume float64) []float64 {
		b := NewBasins(g, z, seeds, res, 1)
		b.pour(int(res.Of[2*g.NX+4]), volume)
		d := b.Levels()
		for k := range d {
			d[k] -= z[k]
		}
		return d
	}
	want := make([]float64, len(z))
	want[2*g.NX+4], want[2*g.NX+5] = p.V3.A, p.V3.B
	if got := depth(p.V3.Volume); !slices.Equal(got, want) {
		t.Errorf("volume 3: %v", got)
	}
	sameLevels(t, "volume 19", depth(p.V19.Volume), p.V19.Depth)

	var nested struct {
		Z     [][]float64
		Large float64 `json:"basin_large_volume_to_level_8"`
		Small float64 `json:"basin_small_volume_to_level_8"`
		Both  float64 `json:"both_volume_to_level_9"`
	}
	published(t, "nested_basins_10x10_volumes.json", &nested)
	g, z = flat(nested.Z)
	seeds = edgeSeeds(g, z)
	b := NewBasins(g, z, seeds, Run(g, z, seeds), 1)
	var holds []float64
	for _, tank := range b.tanks {
		if tank.holds > 0 && tank.holds < math.Inf(1) {
			holds = append(holds, tank.holds)
		}
	}
	slices.Sort(holds)
	if want := []float64{nested.Small, nested.Large, nested.Both}; !slices.Equal(holds, want) {
		t.Errorf("tanks hold %v, want %v", holds, want)
	}
}
