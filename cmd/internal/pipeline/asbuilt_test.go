package pipeline

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// laidJob is a level roof of 48 x 32 ft that is tapered 1/4 in/ft from 1/2 in at
// the gutter on its left, and shot as laid every 4 ft, off so many inches from
// that plane.
func laidJob(off func(p geom.Pt) float64) *survey.Job {
	job := shotRoof(48, 32, func(geom.Pt) float64 { return 1200 })
	a := &job.Areas[0]
	for y := 2.0; y < 32; y += 4 {
		for x := 2.0; x < 48; x += 4 {
			p := geom.Pt{X: x, Y: y}
			a.AsBuilt = append(a.AsBuilt, survey.Shot{ID: fmt.Sprintf("b%d", len(a.AsBuilt)+1), At: p,
				Elev: unit.Inches(1200 + 0.5 + 0.25*x + off(p))})
		}
	}
	return job
}

// bowlAndBump is a bowl 2 in deep 6 ft about (26, 14), and one shot 1/2 in high.
func bowlAndBump(p geom.Pt) float64 {
	if p == (geom.Pt{X: 10, Y: 26}) {
		return 0.5
	}
	return -1 - math.Cos(math.Pi*math.Min(p.Dist(geom.Pt{X: 26, Y: 14})/6, 1))
}

// TestAsBuilt_AsDesigned: shots on the plane that was designed lie on it, and no
// water stands.
func TestAsBuilt_AsDesigned(t *testing.T) {
	b := runJob(t, laidJob(func(geom.Pt) float64 { return 0 })).Areas[0].AsBuilt
	if len(b.Shots) != 96 || len(b.Runs)+len(b.Mends)+len(b.Ponds) != 0 || b.Free != drainage.Meets {
		t.Fatalf("%d shots, %d runs, %d mends, %d ponds, %v", len(b.Shots), len(b.Runs), len(b.Mends), len(b.Ponds), b.Free)
	}
	for _, sh := range b.Shots {
		if math.Abs(sh.OffIn) > 1e-6 {
			t.Errorf("shot %s is %g in off", sh.ID, sh.OffIn)
		}
	}
}

// TestAsBuilt_Laws: turning, mirroring, shifting and raising the roof change no
// verdict, no count and no row.
func TestAsBuilt_Laws(t *testing.T) {
	job := laidJob(bowlAndBump)
	want := laidFigures(runJob(t, job).Areas[0].AsBuilt)
	if !strings.Contains(want, "1 pond") || !strings.Contains(want, "take off") {
		t.Fatalf("the roof tells nothing:\n%s", want)
	}
	for _, m := range moves {
		got := laidFigures(runJob(t, moved(job, m.f, m.mirror, m.rise)).Areas[0].AsBuilt)
		if got != want {
			t.Errorf("%s:\n%s\nwas\n%s", m.story, got, want)
		}
	}
}

// laidFigures are the figures of a check that no move may change.
func laidFigures(b *taper.AsBuilt) string {
	var w strings.Builder
	fmt.Fprintf(&w, "shift %.5f, %d pond, %v\n", b.ShiftIn, len(b.Ponds), b.Free)
	for _, sh := range b.Shots {
		if sh.Out {
			fmt.Fprintf(&w, "%s %.5f %v row %d %s\n", sh.ID, sh.OffIn, sh.Verdict, sh.On.Row, sh.On.Mark)
		}
	}
	for _, p := range b.Ponds {
		fmt.Fprintf(&w, "%s %.4f %.3f row %d\n", p.ID, p.DepthIn, p.SqFt, p.On.Row)
	}
	for _, m := range b.Mends {
		word := "fill"
		if m.High {
			word = "take off"
		}
		fmt.Fprintf(&w, "%s %.4f %.2f %.4f row %d %v\n", word, m.MostIn, m.Sqft, m.CuFt, m.On.Row, m.Ponds)
	}
	fmt.Fprintf(&w, "%d runs, %d ponds after\n", len(b.Runs), len(b.Stay))
	return w.String()
}

// TestAsBuilt_Told: the report and the sheet tell it, in both unit systems, and
// where there are few shots they say so.
func TestAsBuilt_Told(t *testing.T) {
	for _, c := range []struct {
		story string
		units unit.System
		shots int // the first ones; 0: all
		want  []string
	}{
		{"us", unit.US, 0, []string{"shot b75: 0.50 in high at x 10.0 ft, y 26.0 ft, row 3 of facet 1 (1/2 to 1-1/2)",
			"1 pond", "row 6 of facet 1", "for pond P1", "Take off up to 1/2\"", "No pond stays."}},
		{"metric", unit.Metric, 0, []string{"level b75: 12.7 mm high at x 3.0 m, y 7.9 m", "row 3 of", "Take off up to 13 mm", "No pond stays."}},
		{"two shots", unit.US, 2, []string{"Unknown: 2 shots on the design describe no surface"}},
		{"few", unit.US, 18, []string{"% of the area is too far from a shot to tell", "Holds water Unknown."}},
	} {
		t.Run(c.story, func(t *testing.T) {
			job := laidJob(bowlAndBump)
			if c.shots > 0 {
				job.Areas[0].AsBuilt = job.Areas[0].AsBuilt[:c.shots]
			}
			r := runJob(t, job)
			r.Job.Units = c.units // told so; the boards stay those of the inch stock
			var b bytes.Buffer
			if err := render.WriteAsBuilt(&b, r); err != nil {
				t.Fatal(err)
			}
			told := strings.Join(strings.Fields(b.String()), " ")
			for _, w := range append(c.want, "Drainage geometry") {
				if !strings.Contains(told, w) {
					t.Errorf("lacks %q:\n%s", w, b.String())
				}
			}
			if err := render.AsBuiltSheet(r, 0).Check(); err != nil {
				t.Error(err)
			}
		})
	}
}
