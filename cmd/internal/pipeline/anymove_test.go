package pipeline

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// TestZoo_AnyMove: turned by an angle by chance, shifted and, every second time,
// mirrored, every roof of the zoo takes the same boards, laid its first way and some others, a third of them with base and cover: pieces, cut ones, boards to
// order and spares by layer and mark, both bounds and board feet.
func TestZoo_AnyMove(t *testing.T) {
	seed := seedOr(t, 1)
	dirs, err := os.ReadDir(zooDir)
	if err != nil {
		t.Fatal(err)
	}
	for n, d := range dirs {
		if testing.Short() && n%8 > 0 || strings.HasPrefix(d.Name(), "deck-") && n%3 > 0 {
			continue // decks with shots take longest
		}
		t.Run(d.Name(), func(t *testing.T) {
			t.Parallel()
			job := zooJob(t, d.Name())
			rng := rand.New(rand.NewPCG(seed, uint64(n)))
			laid := 0
			for _, w := range zooWays {
				if !w.fits(d.Name(), &job.Areas[0]) || d.Name()+", "+w.name == sliverWay {
					continue
				}
				if laid++; laid == 1 || (n+laid)%6 == 0 && job.Survey.None {
					choice, j := *job.Taper, *job
					w.set(&choice)
					j.Taper = &choice
					if n%3 == 1 {
						dressed(&j)
					}
					heldMoved(t, w.name, &j, rng)
				}
			}
		})
	}
}

// sliverWay is the one way whose counts an odd turn does change, by a board: the
// corners of the roof are rounded to 0.0001 ft, which leaves slivers of facets that
// come and go.
const sliverWay = "turned, two-way-crickets"

// heldMoved lays one roof as it is and moved, and compares the boards.
func heldMoved(t *testing.T, way string, job *survey.Job, rng *rand.Rand) {
	t.Helper()
	want, err := boardsOf(job)
	if err != nil {
		t.Fatal(err)
	}
	story, f, mirror := anyMove(rng)
	got, err := boardsOf(moved(job, f, mirror, 0))
	if err != nil {
		t.Fatalf("%s, %s: %v", way, story, err)
	}
	sameBoards(t, way+", "+story, got, want)
}

// boardsOf designs the first area of a job; on a deck that is taken as level it is
// not proven, to save time.
func boardsOf(job *survey.Job) (*taper.Design, error) {
	if !job.Survey.None {
		a, err := designOf(job)
		if err != nil {
			return nil, err
		}
		return a.Design, nil
	}
	rules, err := drainage.RuleSet(job.Rules)
	if err != nil {
		return nil, err
	}
	a := render.AreaResult{Area: job.Areas[0]}
	a.Site = survey.SiteOf(&a.Area, nil)
	w := work{job: job, rules: rules}
	return w.make(context.Background(), &a, w.one(a.Site), fitted{site: a.Site}, nil)
}

// anyMove turns by up to 40 degrees either way, shifts by up to a mile, and mirrors
// or not.
func anyMove(rng *rand.Rand) (story string, f func(geom.Pt) geom.Pt, mirror bool) {
	deg := 80*rng.Float64() - 40
	by := geom.Pt{X: 10000*rng.Float64() - 5000, Y: 10000*rng.Float64() - 5000}
	mirror = rng.IntN(2) == 0
	s, c := math.Sincos(deg * math.Pi / 180)
	return fmt.Sprintf("turned by %.3f degrees, mirrored %v, shifted by %.1f", deg, mirror, by), func(p geom.Pt) geom.Pt {
		if mirror {
			p.X = -p.X
		}
		return geom.Pt{X: p.X*c - p.Y*s, Y: p.X*s + p.Y*c}.Add(by)
	}, mirror
}

// plainMark is all that a mark of the stock in inches may be: a dimension or two.
var plainMark = regexp.MustCompile(`^(\d+|\d+-\d+/\d+|\d+/\d+|\d+\.\d+)( to (\d+|\d+-\d+/\d+|\d+/\d+))?$`)

func sameBoards(t *testing.T, story string, g, w *taper.Design) {
	t.Helper()
	if len(g.Counts) != len(w.Counts) {
		t.Fatalf("%s: %d lines in the schedule, want %d", story, len(g.Counts), len(w.Counts))
	}
	for i, c := range w.Counts {
		if d := g.Counts[i]; d.Layer != c.Layer || d.Type != c.Type || d.Mark != c.Mark || d.Pieces != c.Pieces || d.Cut != c.Cut ||
			d.ToOrder != c.ToOrder || d.Spares != c.Spares {
			t.Errorf("%s: %+v, want %+v", story, d, c)
		}
		if !plainMark.MatchString(c.Mark) {
			t.Errorf("mark %q is no plain dimension", c.Mark)
		}
	}
	if g, w := g.Totals, w.Totals; g.Pieces != w.Pieces || g.ToOrder != w.ToOrder || g.AreaBound != w.AreaBound || g.CutBound != w.CutBound ||
		math.Abs(g.BoardFeet-w.BoardFeet) > 1e-6*w.BoardFeet {
		t.Errorf("%s: %+v, want %+v", story, g, w)
	}
}
