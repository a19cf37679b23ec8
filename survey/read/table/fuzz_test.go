package table

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"runnel/survey"
	"runnel/survey/unit"
)

// longest is how long one input of the fuzzer may take.
const longest = 20 * time.Second

func FuzzShots(f *testing.F) {
	for _, s := range []string{"shot,x,y,rod,code\nP1,10,10,5.06,RF\nP2,50,10,5.10,\nP3,50,30,4.90,DR\nP4,10,30,4.70,\n", "x;y;z\n1,5;2;3\n", "x y rod\n1 2 5'-4\"\n", "\ufeffn,e,z\r\n1,2,3\r\n",
		"\"x\",\"y\",\"z\"\n\"1\",2,3", "1\t2\t3\n", "x,y,z\n,,\n", "x\ry\rz\r", "", "\x00", "x,y,z_ft,z\n", "x,y,rod,set_up\n1,2,3,1\n1,2,-3,2\n1,2,3,4\n"} {
		f.Add([]byte(s), uint8(0), false)
		f.Add([]byte(s), uint8(3), true)
	}
	f.Add([]byte("\r "), uint8(2), true) // found by fuzzing: neither a shot nor a fault
	f.Fuzz(func(t *testing.T, data []byte, book uint8, listed bool) {
		stands := []survey.SetUp{{ID: "1", HI: unit.Feet(105)}, {ID: "2", HI: unit.Feet(3), Direct: true}}
		opt := ShotOptions{File: "f", Book: BookUnit(book % 7), SetUps: stands[:book/3%3], Reading: Reading(book % 3)}
		if listed {
			opt.Columns = []string{"n", "e", "z", "code"}
		}
		begin := time.Now()
		shots, found := Shots(bytes.NewReader(data), opt)
		if d := time.Since(begin); d > longest {
			t.Errorf("%d bytes took %v", len(data), d)
		}
		if len(shots) == 0 && len(found.Faults()) == 0 {
			t.Error("neither a shot nor a fault")
		}
		for _, s := range shots {
			checkShot(t, s)
		}
	})
}

// checkShot holds a shot to what a reader promises.
func checkShot(t *testing.T, s survey.Shot) {
	t.Helper()
	for _, ft := range []float64{s.At.X, s.At.Y, s.Elev.Feet()} {
		if !(ft >= -3e8 && ft <= 3e8) {
			t.Errorf("shot %+v lies out of bounds", s)
		}
	}
	if s.ID == "" || s.Line < 1 {
		t.Errorf("shot %+v has no name or line", s)
	}
}

func TestNearest(t *testing.T) {
	words := []string{"slope", "scheme", "start", "base", "axes"}
	for word, want := range map[string]string{
		"slop": "slope", "solpe": "slope", "Slope": "slope", "schemes": "scheme", "strat": "start",
		"bse": "base", "weather": "", "": "", strings.Repeat("s", 100): "",
	} {
		if got := Nearest(word, words); got != want {
			t.Errorf("nearest to %q is %q, want %q", word, got, want)
		}
	}
}

// Distances of the restricted edit distance: a swap counts one, and no letter
// is edited twice, so CA to ABC takes three (the textbook pair that tells it
// from the full Damerau-Levenshtein distance, from memory).
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("%q to %q takes %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func BenchmarkShots(b *testing.B) {
	for _, n := range []int{1_000, 30_000, 1_000_000} {
		var text bytes.Buffer
		text.WriteString("point,n,e,z,code\n")
		for i := range n {
			fmt.Fprintf(&text, "%d,%.2f,%.2f,%.2f,RF\n", i, float64(i%977)*0.31, float64(i%1013)*0.27, 100+float64(i%37)*0.01)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.SetBytes(int64(text.Len()))
			for b.Loop() {
				if shots, _ := Shots(bytes.NewReader(text.Bytes()), ShotOptions{Book: BookFeet}); len(shots) != n {
					b.Fatal(len(shots))
				}
			}
		})
	}
}
