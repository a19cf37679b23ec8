package bare

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"runnel/survey/problem"
)

// open reads data as the program does.
func open(t *testing.T, name, data string, columns ...string) *File {
	t.Helper()
	f, err := Read(name, strings.NewReader(data), Options{Columns: columns})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var pnezd = []string{"point", "n", "e", "z", "code"}

// TestRead_PublicFiles holds the counts and ranges that readers written apart
// from this program gave.
func TestRead_PublicFiles(t *testing.T) {
	for _, c := range []struct {
		file    string
		columns []string
		format  string
		points  int
		refused int
		unit    Unit
		ranges  []float64 // x, y, z, least and greatest; nil: none
	}{
		{"survey/pnezd_topo_1311_crlf.asc", nil, "delimited text, no header", 1311, 0, "", nil},
		{"survey/pnezd_topo_1311_crlf.asc", pnezd, "delimited text, columns as told", 1311, 0, "",
			[]float64{1454146.847, 1455709.870, 538402.685, 539259.644, 583.021, 701.098}},
		{"survey/gsi8_total_station_with_xyz.gsi", nil, "GSI-8", 689, 10, Metres,
			[]float64{0, 540.484, 0, 533.896, -2.924, 11.235}},
		{"survey/sdr33_target_points.sdr", nil, "SDR33", 12, 0, Metres,
			[]float64{906.920, 915.791, 505.975, 510.504, 19.226, 19.699}},
		{"survey/xyz_header_crlf_extra_column.txt", nil, "delimited text", 10, 0, "",
			[]float64{289814.15, 289818.50, 4320978.61, 4320980.59, 170.58, 170.76}},
		{"survey/xyz_double_space_delimited.txt", nil, "delimited text", 10, 0, "",
			[]float64{289814.15, 289818.50, 4320978.61, 4320980.59, 170.58, 170.76}},
		{"survey/xyz_quoted_header.txt", nil, "delimited text", 9, 0, "", []float64{0, 29, 1, 25, 2, 2}},
		{"roofs/apartment_L_roof_points.csv", nil, "delimited text", 20000, 0, "",
			[]float64{770508.83, 770545.21, 6277500.01, 6277553.69, 36.30, 38.59}},
		{"roofs/ridge_valley_roof_points.xyz", nil, "delimited text, no header", 13376, 0, "", nil},
		{"roofs/ridge_valley_roof_points.xyz", []string{"x", "y", "z"}, "delimited text, columns as told", 13376, 0, "",
			[]float64{84808.300, 84832.787, 447412.816, 447446.896, 3.050, 4.996}},
		{"roofs/apartment_L_roof_shots_pnezd_ft.csv", pnezd, "delimited text, columns as told", 84, 0, "",
			[]float64{2005.03, 2112.65, 5002.67, 5166.43, 100, 100.52}},
		{"roofs/ridge_valley_roof_shots_pnezd_ft.csv", pnezd, "delimited text, columns as told", 56, 0, "",
			[]float64{2005, 2075, 5005, 5105, 100, 100.24}},
		{"survey/rw5_small_polar.rw5", nil, "RW5 collector log", 0, 10, "", nil},
		{"survey/brace_tagged_coordinates.coo", nil, "tagged coordinates in braces", 0, 300, "", nil},
		{"survey/level_lines_start_end_distance_rise.txt", nil, "levelling lines", 0, 9, "", nil},
		{"survey/pnezd_topo_breaklines.brk", nil, "breaklines", 0, 35, "", nil},
	} {
		t.Run(filepath.Base(c.file)+strings.Join(c.columns, ""), func(t *testing.T) {
			f := open(t, c.file, string(publicFile(t, c.file)), c.columns...)
			if f.Format != c.format || f.Count() != c.points || f.Refused != c.refused || f.Unit != c.unit {
				t.Errorf("%s with %d points, %d refused, unit %q; want %+v", f.Format, f.Count(), f.Refused, f.Unit, c)
			}
			if (c.points == 0) != (len(f.Problems.Faults()) > 0) {
				t.Errorf("%d points with faults %v", c.points, f.Problems.Faults())
			}
			low, high, ok := f.Bounds()
			if ok != (c.ranges != nil) {
				t.Fatalf("range given: %v", ok)
			}
			for i := range c.ranges {
				got := [2][3]float64{low, high}[i%2][i/2]
				if d := got - c.ranges[i]; d > 0.00051 || d < -0.00051 {
					t.Errorf("figure %d of the ranges is %.4f, want %.4f", i, got, c.ranges[i])
				}
			}
		})
	}
}

// TestRead_PublicWarnings: what the public lists are known to hold is said.
func TestRead_PublicWarnings(t *testing.T) {
	for _, c := range []struct {
		file, words string
		columns     []string
	}{
		{"survey/pnezd_topo_1311_crlf.asc", "82.068 under all others", pnezd},
		{"survey/gsi8_total_station_with_xyz.gsi", "109 places bear a name", nil},
		{"survey/xyz_header_crlf_extra_column.txt", `"Intensity" is not read`, nil},
		{"survey/sdr33_target_points.sdr", "a station at N 509.970, E 937.274, elevation 20.053", nil},
		{"survey/rw5_small_polar.rw5", "must be computed first", nil},
		{"roofs/ridge_valley_roof_points.xyz", "column 3: numbers 3.050 to 4.996", nil},
	} {
		f := open(t, c.file, string(publicFile(t, c.file)), c.columns...)
		if !says(f, c.words) {
			t.Errorf("%s: no problem says %q: %v", c.file, c.words, f.Problems)
		}
	}
}

func says(f *File, words string) bool {
	return slices.ContainsFunc(f.Problems, func(p problem.Problem) bool { return strings.Contains(p.Error(), words) })
}

// TestDelimited_Spellings: one list of three places, written in every way.
func TestDelimited_Spellings(t *testing.T) {
	want := []Place{{ID: "7", X: 10.5, Y: 20.25, Z: 100.5, Code: "RF"}, {ID: "8", X: 30.5, Y: 40.25, Z: 101.5, Code: "DR"},
		{ID: "9", X: -5.5, Y: 60.25, Z: 102.5, Code: "RF"}}
	const comma = "point,x,y,z,code\n7,10.5,20.25,100.5,RF\n8,30.5,40.25,101.5,DR\n9,-5.5,60.25,102.5,RF\n"
	swap := func(old, new string) string { return strings.ReplaceAll(comma, old, new) }
	_, body, _ := strings.Cut(comma, "\n")
	noHeader := []string{"point", "x", "y", "z", "code"}
	for name, c := range map[string]struct {
		text    string
		columns []string
	}{
		"commas":            {comma, nil},
		"semicolons":        {swap(",", ";"), nil},
		"tabs":              {swap(",", "\t"), nil},
		"blanks":            {swap(",", "   "), nil},
		"commas and blanks": {swap(",", " , "), nil},
		"byte-order mark":   {"\ufeff" + comma, nil},
		"CRLF":              {swap("\n", "\r\n"), nil},
		"CR":                {swap("\n", "\r"), nil},
		"CR CR CR LF":       {swap("\n", "\r\r\r\n"), nil},
		"no last line end":  {strings.TrimSuffix(comma, "\n"), nil},
		"blank lines":       {swap("\n", "\n\n  \n"), nil},
		"comments":          {"# a roof\n" + comma, nil},
		"decimal commas":    {strings.ReplaceAll(swap(",", ";"), ".", ","), nil},
		"decimal commas, blanks, no header": {strings.ReplaceAll(strings.ReplaceAll(body, ",", " "), ".", ","),
			noHeader},
		"other names":             {strings.Replace(comma, "point,x,y,z,code", "Pt#,Easting,Northing,Elev,Description", 1), nil},
		"quotes":                  {"\"point\",\"x\",\"y\",\"z\",\"code\"\n\"7\",\"10.5\",20.25,100.5,\"RF\"\n8,30.5,40.25,101.5,DR\n9,-5.5,60.25,102.5,RF", nil},
		"extra columns":           {"point,x,hz,y,z,code\n7,10.5,1,20.25,100.5,RF\n8,30.5,2,40.25,101.5,DR\n9,-5.5,3,60.25,102.5,RF", nil},
		"other order":             {"z,code,y,x,id\n100.5,RF,20.25,10.5,7\n101.5,DR,40.25,30.5,8\n102.5,RF,60.25,-5.5,9", nil},
		"no header":               {body, noHeader},
		"header not known":        {"Pto,Este,Norte,Cota,Nota\n" + body, noHeader},
		"header, mark, told":      {"\ufeffPto,Este,Norte,Cota,Nota\n" + body, noHeader},
		"lines before the header": {"Roof of a shop\nshot by day, 12 degrees\n\n" + comma, nil},
		"feet and blanks":         {strings.NewReplacer(",", " ", "100.5", `100' 6"`, "101.5", `101' 6"`, "102.5", `102'-6"`).Replace(comma), nil},
		"feet, inches, parts":     {strings.NewReplacer("100.5", `100'-6"`, "101.5", `101'-6"`, "102.5", `102' 6"`).Replace(comma), nil},
	} {
		t.Run(name, func(t *testing.T) {
			f := open(t, "f", c.text, c.columns...)
			got := slices.Clone(f.Places)
			for i := range got {
				got[i].Line = 0
			}
			if !slices.Equal(got, want) || f.Refused != 0 {
				t.Errorf("%d refused, places %+v, problems %v", f.Refused, got, f.Problems)
			}
		})
	}
}

func TestDelimited_Cases(t *testing.T) {
	for name, c := range map[string]struct {
		text    string
		columns []string
		points  int
		refused int
		unit    Unit
		z       float64
		words   string
	}{
		"metres in the header":    {"x_m,y_m,z_m\n1,2,3.25\n", nil, 1, 0, Metres, 3.25, ""},
		"US survey feet":          {"x (us-ft),y (us-ft),z (us-ft)\n1,2,3.25\n", nil, 1, 0, SurveyFeet, 3.25, ""},
		"millimetres beside feet": {"x,y,z_mm\n1,2,304.8\n", nil, 1, 0, Feet, 1, "all are given in feet"},
		"feet-inch-fraction":      {"x,y,z\n1,2,5'-4 1/2\"\n", nil, 1, 0, Feet, 5.375, "carry a unit"},
		"rod readings":            {"x,y,rod\n1,2,4.75\n", nil, 1, 0, "", 4.75, "bigger is lower"},
		"one line spoilt":         {"x,y,z\n1,2,3\n1,2,wet\n1,2\n", nil, 1, 2, "", 3, `z "wet"`},
		"fraction after a blank":  {"1 2 5'-4 1/2\"\n", []string{"x", "y", "z"}, 1, 0, Feet, 5.375, "carry a unit"},
		"feet, inches, fraction":  {"1 2 5' 4 1/2\" 12\n", []string{"x", "y", "z", "-"}, 1, 0, Feet, 5.375, "carry a unit"},
		"feet, then a number":     {"1 2 5' 12\n", []string{"x", "y", "z", "-"}, 1, 0, Feet, 5, "carry a unit"},
		"unknown header":          {"este,norte,cota\n1,2,3\n4,5,6\n", nil, 2, 0, "", 0, "este, norte, cota"},
		"unknown column told":     {"1,2,3\n", []string{"x", "y", "upward"}, 0, 0, "", 0, "no such column"},
		"column missing":          {"1,2,3\n", []string{"point", "x", "y"}, 0, 0, "", 0, "no column of elevations"},
		"named twice":             {"id,x,y,z\nA,1,2,3\nA,4,5,6\n", nil, 2, 0, "", 3, "1 places bear a name"},
		"many lines spoilt":       {"1,2,3\n" + strings.Repeat("1,2,3\n1,wet\n", 3000), nil, 3001, 3000, "", 3, "(so on 2995 lines: 13, 15, 17"},
		"prose with numbers":      {strings.Repeat("Of 12 drains 3 were shut.\nWe looked, and went home\nin the rain.\n", 9), nil, 0, 0, "", 0, "no survey"},
		"header alone":            {"shot,x,y,z\n", nil, 0, 0, "", 0, "a header and no places below it"},
		"header alone, tabs":      {"# site 4\nPt\tNorth\tEast\tElev\n", nil, 0, 0, "", 0, "a header and no places below it"},
		"degrees":                 {"name,lat,lon,elev\na,47.1,8.5,400\nb,47.2,8.5,401\n", nil, 0, 0, "", 0, "latitude and longitude"},
		"decimal commas cut":      {"point,x,y,z\n1,3,0,3,0,100,030\n2,9,7,3,0,100,030\n", nil, 0, 2, "", 0, "commas seem to part the values and their decimals"},
		"the same before codes":   {"point,x,y,z,code\n1,3,0,3,0,100,030,RF\n2,9,7,3,0,100,RF\n", nil, 0, 2, "", 0, "commas seem to part the values and their decimals"},
		"the same, columns told":  {"1,3,0,3,0,100,030\n2,9,7,3,0,100,030\n", []string{"point", "x", "y", "z"}, 0, 2, "", 0, "commas seem to part the values and their decimals"},
		"codes with commas":       {"point,x,y,z,code\n1,3,5,100,drain, 4, in\n2,9,3,101,RF\n", nil, 2, 0, "", 100, ""},
		"thousands by commas":     {"x;y;z\n1,003.50;3.0;100.5\n1,010.50;3.0;1,100.5\n", nil, 0, 2, "", 0, "a sign parts the thousands"},
		"thousands by points":     {"x;y;z\n1.003,50;3,0;100,5\n10,5;3,0;99,5\n", nil, 1, 1, "", 99.5, "a sign parts the thousands"},
		"units of a kind, metric": {"x (m),y (m),z [mm]\n1,2,1500\n3,4,1600\n", nil, 2, 0, "m", 1.5, "in different units"},
		"units of a kind, feet":   {"x_ft,y_ft,z_in\n1,2,18\n3,4,24\n", nil, 2, 0, "ft", 1.5, "some lengths carry a unit"},
		"5.4 among feet, inches":  {"x,y,rod\n1,2,5'-4\"\n3,4,5.4\n5,6,5'-5\"\n", nil, 2, 1, "ft", 5 + 4.0/12, "5.4 may be 5.4 ft or 5 ft 4 in"},
		"5.4 among metres":        {"x,y,z\n1,2,1.5 m\n3,4,5.4\n", nil, 2, 0, "ft", 1.5 / 0.3048, "plain numbers count as feet"},
		"prose":                   {"The roof was wet.\nWe went home at 5.\n", nil, 0, 0, "", 0, "no survey"},
		"empty":                   {"", nil, 0, 0, "", 0, "empty"},
		"zip":                     {"PK\x03\x04\x00\x00", nil, 0, 0, "", 0, "zip"},
		"PDF":                     {"%PDF-1.4\n1 2 3\n", nil, 0, 0, "", 0, "PDF"},
		"PNG":                     {"\x89PNG\r\n\x1a\n\x00", nil, 0, 0, "", 0, "picture"},
		"JPEG":                    {"\xff\xd8\xff\xe0\x00\x10JFIF", nil, 0, 0, "", 0, "picture"},
		"binary":                  {"\x07\x00\x01\x02", nil, 0, 0, "", 0, "no text"},
		"binary drawing":          {"AC1027\x00\x00", nil, 0, 0, "", 0, "drawing"},
		"UTF-16":                  {"\xff\xfex\x00,\x00", nil, 0, 0, "", 0, "UTF-16"},
	} {
		t.Run(name, func(t *testing.T) {
			f := open(t, "f", c.text, c.columns...)
			if f.Count() != c.points || f.Refused != c.refused || f.Unit != c.unit || c.words != "" && !says(f, c.words) {
				t.Errorf("%d points, %d refused, unit %q: %v", f.Count(), f.Refused, f.Unit, f.Problems)
			}
			if len(f.Places) > 0 && (f.Places[0].Z > c.z+1e-9 || f.Places[0].Z < c.z-1e-9) {
				t.Errorf("z is %v, want %v", f.Places[0].Z, c.z)
			}
		})
	}
}

// TestAlone: a place that stands apart is told, wherever it stands in the list,
// and none of an even list is.
func TestAlone(t *testing.T) {
	list := func(apart float64, at int) string {
		var b strings.Builder
		b.WriteString("x,y,z\n")
		for i := range 12 {
			z := 100 + 0.1*float64((5*i)%12)
			if i == at {
				z += apart
			}
			fmt.Fprintf(&b, "%d,%d,%.2f\n", i, i, z)
		}
		return b.String()
	}
	for at := range 12 {
		for apart, word := range map[float64]string{-10: "under all others", 10: "over all others", 0: ""} {
			f := open(t, "f", list(apart, at))
			told := len(f.Problems) == 1 && f.Problems[0].Line == at+2 && says(f, word)
			if told != (apart != 0) || apart == 0 && len(f.Problems) > 0 {
				t.Errorf("place %d apart by %v: %v", at, apart, f.Problems)
			}
		}
	}
}

// TestLogs reads small logs, written by hand after the layout of the public
// ones.
func TestLogs(t *testing.T) {
	field := func(s string) string { return fmt.Sprintf("%-16s", s) }
	rec := func(code, id string, v ...string) string {
		out := code + fmt.Sprintf("%16s", id)
		for _, s := range v {
			out += field(s)
		}
		return out
	}
	for name, c := range map[string]struct {
		text    string
		format  string
		want    []Place
		refused int
		unit    Unit
	}{
		"GSI-16": {"*11....+000000000000RF12 81..10+0000000000012345 82..10-0000000000002500 83..10+0000000000001001\n" +
			"*11....+0000000000000013 21.102+0000000000000000\n", "GSI-16",
			[]Place{{ID: "RF12", X: 12.345, Y: -2.5, Z: 1.001, Line: 1}}, 1, Metres},
		"GSI-8 feet": {"110001+00000007 81...1+00012345 82...1+00002500 83...1+00001001\r\n", "GSI-8",
			[]Place{{ID: "7", X: 12.345, Y: 2.5, Z: 1.001, Line: 1}}, 0, Feet},
		"GSI-8 tenth millimetres": {"110001+00000007 81...6+00012345 82...6+00002500 83...8+00100100\r\n", "GSI-8",
			[]Place{{ID: "7", X: 1.2345, Y: 0.25, Z: 1.001, Line: 1}}, 0, Metres},
		"GSI-8 two units": {"110001+00000007 81...0+00012345 82...1+00002500 83...1+00001001\r\n", "GSI-8", nil, 1, Metres},
		"SDR33 feet": {"\x0200NMSDR33 V04-04.02     00-000-00 00:00 122111\r\n" +
			rec("08TP", "00000042", "500.5", "200.25", "99.75", "ROOF") + "\r\n" + rec("08TP", "00000043", "500.5", "", "99.75", "") +
			"\r\n" + rec("09F1", "00000044", "1", "2", "3") + "\r\n\x0312345\r\n", "SDR33",
			[]Place{{ID: "42", X: 200.25, Y: 500.5, Z: 99.75, Code: "ROOF", Line: 2}}, 2, Feet},
		"GSI-8 blocks in one line, a code, no number": {"41....+000ROOF1 42....+00000000\n" +
			"110001+00000000 81..00+00001000 82..00+00002000 83..00-00000003 110002+00000A08 81..00+00001500 82..00+00002000 83..00+00000003 71....+0000DECK\n",
			"GSI-8", []Place{{ID: "0", X: 1, Y: 2, Z: -0.003, Line: 2}, {ID: "A08", X: 1.5, Y: 2, Z: 0.003, Code: "DECK", Line: 2}}, 0, Metres},
		"GSI-8 hundredths of a millimetre, no height": {"110001+00000007 81...8+00100000 82...8+00200000\n110002+00000008 81...8+00100000 82...8+00200000 83...8+00300000 87...8+00000000 88...0+00001500\n",
			"GSI-8", []Place{{ID: "8", X: 1, Y: 2, Z: 3, Line: 2}}, 1, Metres},
		"SDR33 east first": {"00NMSDR33 V04-04.02     01-Jan-26 09:30 113121\n" +
			rec("08KI", "P7", "200.25", "500.5", "99.75", "DRAIN 2") + "\n", "SDR33",
			[]Place{{ID: "P7", X: 200.25, Y: 500.5, Z: 99.75, Code: "DRAIN 2", Line: 2}}, 0, Metres},
		"SDR2x": {"00NMSDR20V03-05     0000                112111\r\n10NMROOF\r\n" +
			"02KI0001500.000   200.000   100.000   1.500     BASE            \r\n" +
			"08KI0042500.5     200.25    99.75     ROOF            \r\n13NMnote\r\n", "SDR2x",
			[]Place{{ID: "42", X: 200.25, Y: 500.5, Z: 99.75, Code: "ROOF", Line: 4}}, 0, Metres},
		"RW5 with stored points": {"JB,NMROOF,DT01-01-2024\nMO,AD0,UN1\nSP,PN5,N 10.5,E 20.25,EL 99.5,--RF\nSS,OP1,FP2,AR1,ZE90,SD3,--X\n",
			"RW5 collector log", []Place{{ID: "5", X: 20.25, Y: 10.5, Z: 99.5, Code: "RF", Line: 3}}, 1, ""},
	} {
		t.Run(name, func(t *testing.T) {
			f := open(t, "f", c.text)
			if f.Format != c.format || !slices.Equal(f.Places, c.want) || f.Refused != c.refused || f.Unit != c.unit {
				t.Errorf("%+v", f)
			}
		})
	}
}
