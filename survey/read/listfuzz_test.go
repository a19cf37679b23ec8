package read

import (
	"bytes"
	"testing"
	"time"

	"runnel/survey/problem"
	"runnel/survey/unit"
)

// listFuzz holds the reading of a list of records to a time and to a count that
// the size of the list allows.
func listFuzz(t *testing.T, data []byte, read func() (records int, found problem.List)) {
	t.Helper()
	if len(data) > 1<<15 {
		return
	}
	begin := time.Now()
	records, found := read()
	if d := time.Since(begin); d > longest {
		t.Errorf("%d bytes took %v", len(data), d)
	}
	if most := 1 + len(data)/3; records > most || len(found) > 200+most {
		t.Errorf("%d bytes give %d records and %d problems", len(data), records, len(found))
	}
}

func FuzzCores(f *testing.F) {
	for _, s := range []string{"core,x,y,thickness\nC1,1,2,4 in\n", "x;y;thickness_in;wet;roofs;area\r1,5;2;4,5;yes;2;A\r",
		"id,n,e,thick\n1,5'-4\",2 ft,3-1/2\"\n", "x,y\n1,2\n"} {
		f.Add([]byte(s), false)
		f.Add([]byte(s), true)
	}
	f.Fuzz(func(t *testing.T, data []byte, feet bool) {
		plan := unit.Length(0)
		if feet {
			plan = unit.Foot
		}
		listFuzz(t, data, func() (int, problem.List) {
			b, found := readCores(bytes.NewReader(data), "cores.csv", plan)
			for _, c := range b.cores {
				if d := c.Thickness.Feet(); !(d >= 0 && d <= 10) && len(found) == 0 {
					t.Errorf("core %+v", c)
				}
			}
			return len(b.cores), found
		})
	})
}

func FuzzStock(f *testing.F) {
	for _, s := range []string{"kind,slope,thin_in,thick_in,along,depth,to_order,price\ntapered,1/4 in/ft,0.5,1.5,4 ft,4 ft,no,10\n" +
		"flat,,,2,8 ft,4 ft,,\ncover,,,0.5,8 ft,4 ft,yes,3\nstrip,1/2 in/ft,,0.5,4 ft,1 ft,,2\n", "type;thick;row;width\rflat;50 mm;1,2 m;1,2 m\r", "kind,thick\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		listFuzz(t, data, func() (int, problem.List) {
			s, found := Stock(bytes.NewReader(data), "stock.csv")
			if len(s.Tapered) == 0 && len(found.Faults()) == 0 {
				t.Error("neither a tapered board nor a fault")
			}
			return len(s.Tapered) + len(s.Flats) + len(s.Covers) + len(s.Strips), found
		})
	})
}
