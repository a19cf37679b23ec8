package bare

import (
	"bytes"
	"math"
	"runtime/metrics"
	"strings"
	"testing"
	"time"
)

// mostTime is how long one input of the fuzzer may take.
const mostTime = 20 * time.Second

// mostFuzzed is the size of the inputs that are tried: larger ones show nothing
// new and slow the search.
const mostFuzzed = 1 << 15

// tryReader reads data of one format and holds the reader to what each owes.
func tryReader(t *testing.T, f Format, data []byte) {
	t.Helper()
	if len(data) > mostFuzzed || !f.Is(data) {
		return
	}
	var file *File
	size := boundOf(data)
	bounded(t, size, func() { file = f.Read("f", data) })
	owed(t, file, size)
}

// boundOf is the size by which a reading is bounded: that of the input, but for
// drawings whose blocks are put in again and again, up to a limit of their own.
func boundOf(data []byte) int {
	if bytes.Contains(data, []byte("INSERT")) {
		return len(data) + mostExpanded/8
	}
	return len(data)
}

// bounded holds one reading to a time and to an amount of memory that the size
// of its input allows: no count in a file may be believed before the records
// are there.
func bounded(t *testing.T, size int, read func()) {
	t.Helper()
	before, begin := allocated(), time.Now()
	read()
	if d := time.Since(begin); d > mostTime {
		t.Errorf("%d bytes took %v", size, d)
	}
	if got, most := allocated()-before, uint64(16<<20+4000*size); got > most {
		t.Errorf("%d bytes took %d bytes of memory, more than %d", size, got, most)
	}
}

// allocated is how much memory was handed out so far.
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}

// owed holds a file to what every reader owes: what is kept is bounded by the
// size of the input, numbers are finite, faces refer to places, and a file that
// gives nothing says why.
func owed(t *testing.T, f *File, size int) {
	t.Helper()
	if f.Format == "" || f.Refused < 0 || f.Nameless < 0 || f.Thinned < 0 {
		t.Errorf("%+v is no sound answer", f)
	}
	if f.Count()+len(f.Outlines)+len(f.Surfaces)+len(f.Chains) == 0 && f.Level == nil && len(f.Problems.Faults()) == 0 {
		t.Errorf("neither a place nor a fault: %+v", f)
	}
	if kept, most := kept(f), 1<<16+64*size; kept > most {
		t.Errorf("%d bytes leave about %d, more than %d", size, kept, most)
	}
	if n := len(f.Problems); n > 300 {
		t.Errorf("%d problems are listed", n)
	}
	for _, p := range f.Problems {
		if n := len(p.Error()); n > 4000 || strings.ContainsAny(p.Error(), "\n\r\x00") {
			t.Errorf("a problem of %d letters: %.100q", n, p.Error())
		}
	}
	inReach(t, f.Places)
	for _, c := range f.Chains {
		inReach(t, c.Places)
	}
	for _, s := range f.Surfaces {
		inReach(t, s.Places)
		faces(t, s)
	}
	for _, o := range f.Outlines {
		if len(o.Outer) < 2 || math.IsNaN(o.Area()) || math.IsNaN(o.Perimeter()) {
			t.Errorf("outline %+v", o)
		}
		if flat := o.Flat(f.Unit); len(flat) > 1001*len(o.Outer) {
			t.Errorf("%d vertices of %d", len(flat), len(o.Outer))
		}
	}
}

// kept is roughly how many bytes a file holds.
func kept(f *File) int {
	n := 0
	places := func(ps []Place) {
		n += 80 * len(ps)
		for _, p := range ps {
			n += len(p.ID)
		}
	}
	places(f.Places)
	for _, c := range f.Chains {
		n += 100 + 8*len(c.Bulges)
		places(c.Places)
	}
	for _, s := range f.Surfaces {
		n += 100 + len(s.Name) + 24*len(s.Faces)
		places(s.Places)
	}
	for _, o := range f.Outlines {
		n += 100 + len(o.Name) + 8*len(o.Bulges) + 16*o.Vertices()
	}
	for _, k := range f.Kinds {
		n += 40 + len(k.Name)
	}
	for _, p := range f.Problems {
		n += 100 + len(p.Value) + len(p.Field) + len(p.Why)
	}
	return n
}

func inReach(t *testing.T, ps []Place) {
	t.Helper()
	for _, p := range ps {
		for _, v := range []float64{p.X, p.Y, p.Z} {
			if !(math.Abs(v) <= 1e13) {
				t.Errorf("place %+v is out of reach", p)
			}
		}
	}
}

func faces(t *testing.T, s Surface) {
	t.Helper()
	for _, face := range s.Faces {
		for _, i := range face {
			if i < 0 || i >= len(s.Places) {
				t.Fatalf("a face refers to place %d of %d", i, len(s.Places))
			}
		}
	}
	if a := s.PlanArea(); math.IsNaN(a) || s.FaceCount() < 0 {
		t.Errorf("plan area %v of %d faces", a, s.FaceCount())
	}
}

// fuzzFormat tries a reader on its seeds and what grows from them.
func fuzzFormat(f *testing.F, format Format, seeds ...string) {
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) { tryReader(t, format, data) })
}

func FuzzDelimited(f *testing.F) {
	fuzzFormat(f, delimitedFormat(nil), "x,y,z\n1,2,3\n", "1 2 3\n4 5 6\n", "\ufeffx;y;z\r1,5;2;3\r", "\r ",
		"0\"0000\n", // found by fuzzing: neither a place nor a fault
		"# unit: ft\npoint\tn\te\telev_ft\tcode\n\"A 1\"\t5000\t2000\t5'-4 1/2\"\tRF\n", "x y rod\n1 2 5' 4 1/2\"\n",
		"job 12\n\nPt,Northing,Easting,Elev.,Desc\n1,5000.0,2000.0,100.1,\"a, \"\"b\"\"\"\n1,1,,2,\n")
}

func FuzzDelimitedColumns(f *testing.F) {
	fuzzFormat(f, delimitedFormat([]string{"point", "n", "e", "z", "code"}), "1,5000,2000,100.1,RF\n2,5010,2000,100.2\n",
		"1;5000,5;2000,5;100,1;\"a;b\"\r\n", "a 1 2 3'-4\" x\rb 2 3 4\r", "pt,a,b,c,d\n1,2,3,4,5\n", "\n#\n,,,,\n1,2,3,1e9,x\n")
}

func FuzzGSI(f *testing.F) {
	fuzzFormat(f, gsiFormat(), "110001+00000007 81...1+00012345 82...1+00002500 83...1+00001001\r\n",
		"*11....+000000000000RF12 81..10+0000000000012345 82..10-0000000000002500 83..10+0000000000001001\n"+
			"*11....+0000000000000013 21.102+0000000000000000\n",
		"410001+000ROOF1 42....+00000000\n110002+00000002 81...6+00123450 82...6+00025000 83...8+00100100 71....+0000DECK \n", "*1\n")
}

func FuzzSDR(f *testing.F) {
	fuzzFormat(f, sdrFormat(), "\x0200NMSDR33 V04-04.02     00-000-00 00:00 122111\r\n"+
		"08TP              42500.5           200.25          99.75           ROOF            \r\n"+
		"02TP               1500.5           200.25          99.75           1.5             \r\n"+
		"09F1              422\r\n\x0312345\r\n", "00NMSDR\n  ", "00NMSDR20 V03-05      00-000-00 00:00 111111\r08KI0042500.5     200.25    99.75     R\r")
}

func FuzzRW5(f *testing.F) {
	fuzzFormat(f, refusedFormats()[0], "JB,NMROOF,DT01-01-2024\nMO,AD0,UN1\nSP,PN5,N 10.5,E 20.25,EL 99.5,--RF\nSS,OP1,FP2,AR1,ZE90,SD3,--X\n",
		"JB,NM\nSP,PN,N,E,EL\n", "--x\nGPS,PN1,LA1,LN2\n")
}

func FuzzLevelBook(f *testing.F) {
	f.Add([]byte(loopBook))
	f.Add([]byte("sta;BS;IS;FS;HI;RL;rod;remark\nA;5'-1 7/16\";;;;820;direct;bm 12.5\n;1;;2\nB;;3\nsum;1;2;3\n"))
	f.Add([]byte("Sta  BS   FS  Elev\nA    5        100\nunit: m\n X       4  1\n"))
	f.Add([]byte("unit: ft\nbenchmark: \nclosing: x\nBS,FS\n1,\n2,3\n,1e99\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > mostFuzzed || !isLevelBook(data) {
			return
		}
		var file *File
		bounded(t, len(data), func() { file = readLevelBook("book", data) })
		owed(t, file, len(data))
		if file.Level == nil {
			return
		}
		if err := file.Level.Check(); err != nil {
			t.Error(err)
		}
		if n := len(file.Level.Text()); n > 1<<16+400*len(data) {
			t.Errorf("%d bytes become a page of %d", len(data), n)
		}
	})
}

func FuzzGridSheet(f *testing.F) {
	fuzzFormat(f, gridSheetFormat(), "unit: ft\nhi: 104\nrod,0,10,20\n0,1,,3\n10,4,5,6\n",
		",0,1\n0\n1", // found by fuzzing: neither a place nor a fault
		";0;12'-6\";25 ft\n20;5'-1 7/16\";1,5;\n10;-;x;2\n0;1;2;3;4\n")
}

func FuzzLandXML(f *testing.F) {
	fuzzFormat(f, landXMLFormat(), land(inFeet, square), land(inFeet, `<CgPoints><CgPoint name="1">5 6</CgPoint></CgPoints>`),
		`<!DOCTYPE x [<!ENTITY a "aaaa">]><LandXML>&a;</LandXML>`,
		land(`<Metric linearUnit="meter"/>`, `<CgPoints><CgPoint name="1">5 6 7</CgPoint><CgPoint pntRef="1"/></CgPoints>`+
			`<Surface name="S"><SourceData><DataPoints><PntList3D>1 2 3 4 5 6</PntList3D></DataPoints></SourceData></Surface>`))
}

func FuzzDXF(f *testing.F) {
	fuzzFormat(f, dxfFormat(),
		drawing("2", "0 LWPOLYLINE,70 1,10 0,20 0,42 1,10 20,20 0,42 1,0 POINT,10 1,20 2,30 3,0 TEXT,10 1,20 2,40 1,1 a"),
		drawing("0", "0 POLYLINE,70 64,0 VERTEX,70 192,10 0,20 0,30 1,0 VERTEX,70 128,71 1,72 2,73 9,0 SEQEND"),
		pairs("0 SECTION, 2 HEADER, 9 $INSUNITS, 70 2, 0 ENDSEC, 0 SECTION, 2 TABLES, 0 LAYER, 2 OLD, 70 1, 62 -7, 0 ENDSEC, 0 SECTION, 2 BLOCKS,"+
			"0 BLOCK,2 B,70 0,10 1,20 1,30 0,0 POINT,8 0,10 1,20 2,30 3,0 LWPOLYLINE,8 OLD,70 1,10 0,20 0,42 1,10 2,20 0,0 ENDBLK,0 BLOCK,2 C,10 0,20 0,0 INSERT,2 B,10 5,20 5,41 2,50 30,0 ENDBLK,"+
			"0 ENDSEC,0 SECTION,2 ENTITIES,0 INSERT,2 C,10 9,20 9,30 1,41 2,42 3,70 2,71 2,44 50,45 60,0 INSERT,2 B,10 1,20 1,210 0,220 0,230 -1,0 ENDSEC,0 EOF"),
		drawing("0", "0 POLYLINE,70 16,71 2,72 2,0 VERTEX,10 0,20 0,30 1,0 VERTEX,10 0,20 5,30 1,0 VERTEX,10 5,20 0,30 1,0 VERTEX,10 5,20 5,30 1,0 SEQEND"),
		drawing("6", "0 3DFACE,10 0,20 0,30 1,11 8,21 0,31 1,12 8,22 8,32 1,0 INSERT,66 1,10 1,20 2,0 ATTRIB,2 Z,1 4,0 SEQEND"))
}

func FuzzASCIIGrid(f *testing.F) {
	fuzzFormat(f, gridFormat(), "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\nNODATA_value -9999\n1 2\n3 -9999\n",
		"ncols 1\r\nnrows 1\r\nxllcenter ,5\r\nyllcenter ,5\r\ncellsize ,500E+02\r\n\r\n ,5e1",
		"ncols 3 ncols 1000000 nrows 10 dx 1 dy 2 xllcorner 0 yllcorner 0 nan", "ncols 1000000 nrows 10 dx 1 dy 2 xllcorner 0 yllcorner 0 nan")
}

func FuzzGeoJSON(f *testing.F) {
	fuzzFormat(f, geoJSONFormat(),
		`{"type":"Feature","id":1,"geometry":{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,4]]]}}`,
		`{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[[1,2,3]]}]}`,
		`{"type":"FeatureCollection","crs":{"properties":{"name":"EPSG:2154"}},"features":[{"type":"Feature","properties":{"name":"A"},`+
			`"geometry":{"type":"MultiPolygon","coordinates":[[[[0,0],[4,0],[4,4],[0,0]],[[1,1],[2,1],[2,2],[1,1]]]]}},{"type":"Feature","geometry":null}]}`)
}

func FuzzWKT(f *testing.F) {
	fuzzFormat(f, wktFormat(), "POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,1 2,2 2,1 1))",
		"SRID=1;MULTIPOINT ZM((1 2 3 4),(5 6 7 8));GEOMETRYCOLLECTION(POINT(1 2 3))",
		"MULTIPOLYGON Z(((0 0 1,4 0 1,4 4 1,0 0 1)),EMPTY)\nPOLYGON EMPTY", "GEOMETRYCOLLECTION(GEOMETRYCOLLECTION EMPTY)")
}

// FuzzRead tries the choice of a reader by content.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"x,y,z\n1,2,3\n", "1 2 3\n4 5 6\n", "", "\x00", "\r ", "0\"0000\n",
		"110001+00000007 81...1+00012345 82...1+00002500 83...1+00001001\r\n",
		"\x0200NMSDR33 V04-04.02     00-000-00 00:00 122111\r\n08TP\n", "JB,NM\nSP,PN,N,E,EL\n", "{5 1} {38 2}\n",
		"B H 232 0.4\n", "1-2\n", "PK\x03\x04", "LASF", "a,b,c\n1,2,3\n", "<LandXML", "0\nSECTION\n", "ncols 2\nnrows 2\n",
		"POLYGON((0 0,1 0,1 1))", "{\"type\":\"Point\"}", "A,BS,IS,FS\n1,2,,\n", "\xff\xfex\x00", "%PDF-1.4", "AC1015\x00", "ISO-10303-21;\n"} {
		f.Add([]byte(s), false)
		f.Add([]byte(s), true)
	}
	f.Fuzz(func(t *testing.T, data []byte, told bool) {
		if len(data) > mostFuzzed {
			return
		}
		var opt Options
		if told {
			opt.Columns = []string{"point", "n", "e", "z", "code"}
		}
		var file *File
		var err error
		bounded(t, boundOf(data), func() { file, err = Read("f", bytes.NewReader(data), opt) })
		if err == nil && file == nil {
			t.Fatal("neither a file nor an error")
		}
		if err == nil {
			owed(t, file, boundOf(data))
		}
	})
}
