package bare

import (
	"bytes"
	"encoding/xml"
	"regexp"
	"slices"
	"strings"

	"runnel/survey/read/table"
)

// What to do about a file that holds no survey, or one that is not read.
const (
	askForText  = "ask for the points as a text table"
	asCloud     = "export it as LAS 1.2 or 1.4, or as text: x,y,z"
	asDXF       = "save it as text DXF"
	asGeoJSON   = "export it as GeoJSON or WKT in plan coordinates"
	asGrid      = "export the raster as an ESRI ASCII grid"
	whyPicture  = "a picture holds no elevations that can be read"
	whyPacked   = "a compressed file"
	whyScan     = "a scanner's point cloud in a format that is not read"
	whyDegrees  = "places by latitude and longitude, not in plan"
	unpack      = "unpack it"
	asDelimited = "export coordinates: delimited text with a header such as point,n,e,z,code"
)

// known is how files of one format begin, and what is said to them.
type known struct{ magic, format, why, mend string }

// binaries are formats that are known by their first bytes and hold bytes that
// no text holds. All are from memory.
func binaries() []known {
	return []known{
		{"\x89PNG", "PNG picture", whyPicture, askForText},
		{"\xff\xd8\xff", "JPEG picture", whyPicture, askForText},
		{"GIF8", "GIF picture", whyPicture, askForText},
		{"BM", "BMP picture", whyPicture, askForText},
		{"RIFF", "WebP picture or sound", whyPicture, askForText},
		{"II*\x00", "TIFF picture", "a TIFF is not read", asGrid},
		{"MM\x00*", "TIFF picture", "a TIFF is not read", asGrid},
		{"II+\x00", "TIFF picture", "a TIFF is not read", asGrid},
		{"\x1f\x8b", "gzip archive", whyPacked, unpack},
		{"7z\xbc\xaf", "7z archive", whyPacked, unpack},
		{"Rar!\x1a", "RAR archive", whyPacked, unpack},
		{"BZh", "bzip2 archive", whyPacked, unpack},
		{"\xfd7zXZ", "xz archive", whyPacked, unpack},
		{"\x28\xb5\x2f\xfd", "zstd archive", whyPacked, unpack},
		{"ASTM-E57", "E57 point cloud", whyScan, asCloud},
		{"ply", "PLY mesh or cloud", whyScan, asCloud},
		{"# .PCD", "PCD point cloud", whyScan, asCloud},
		{"\x00\x00\x27\x0a", "shapefile", "a shapefile is not read", asGeoJSON},
		{"SQLite format 3", "database file", "a database is not read", asGeoJSON},
		{"\x00\x01\x00\x00Standard", "database file", "a database is not read", "save the table as CSV"},
		{"\xd0\xcf\x11\xe0", "old office document", "an old workbook or document", "save the sheet as CSV"},
		{"%PDF", "PDF", "this is a PDF, and no survey that can be read", askForText},
		{"\xff\xfe\xff\x0e", "model file", "a model in a format that is not read", asDXF},
	}
}

// foreignTexts are formats of text, by how they begin, that would else be taken
// for delimited text, or for nothing. All are from memory.
var foreignTexts = [...]struct {
	begin             *regexp.Regexp
	format, why, mend string
}{
	{regexp.MustCompile(`^# \.PCD|^VERSION \.\d\s+FIELDS `), "PCD point cloud", whyScan, asCloud},
	{regexp.MustCompile(`^ply\s+format `), "PLY mesh or cloud", whyScan, asCloud},
	{regexp.MustCompile(`^\d+\s+\d+\s+(\S+ +\S+ +\S+\s+){4}(\S+ +\S+ +\S+ +\S+\s+){4}`), "PTX point cloud", whyScan, asCloud},
	{regexp.MustCompile(`^solid\b[^\n\r]*\s+facet normal `), "STL mesh", "a mesh in a format that is not read", asDXF},
	{regexp.MustCompile(`^(#[^\n\r]*\s+|\s+|(mtllib|o|g|usemtl|s) [^\n\r]*\s+)*v( +[-+.\deE]+){3,7}\s+(v|vt|vn|f|o|g|#)\b`),
		"OBJ mesh", "a mesh in a format that is not read", asDXF},
	{regexp.MustCompile(`^ISO-10303-21;`), "IFC or STEP model", "a building model is not read", "export the roof surface as text DXF with 3-D faces"},
	{regexp.MustCompile(`^\$G[A-Z]{4},`), "NMEA log", whyDegrees, asDelimited},
	{regexp.MustCompile(`^[^\n\r]{40,60}RINEX VERSION`), "RINEX log", "observations of satellites: they hold no coordinates", asDelimited},
	{regexp.MustCompile(`^DS(AA|BB|RB)\b`), "grid of another kind", "a grid in a format that is not read", asGrid},
	{regexp.MustCompile(`^\[\s*[\[{]`), "JSON", "this is JSON, and no survey that can be read", "export the points as a text table"},
	{regexp.MustCompile(`^\{\\rtf`), "RTF document", "a written document", askForText},
}

// foreignFormats makes a format of each.
func foreignFormats() []Format {
	var out []Format
	for _, f := range foreignTexts {
		out = append(out, refused(f.format, func(data []byte) bool {
			return f.begin.Match(bytes.TrimLeft(withoutMark(data[:min(len(data), 4096)]), " \t\r\n"))
		}, f.why, f.mend))
	}
	return out
}

// foreign says what a file is of which no format could make anything.
func foreign(name string, data []byte) *File {
	start := data[:min(len(data), looked)]
	if len(bytes.Trim(data, "\ufeff \t\r\n\x1a\x00")) == 0 {
		return refusal(name, "the file is empty", "export it again")
	}
	if k, ok := knownBy(start); ok {
		f := refusal(name, k.why, k.mend)
		f.Format = k.format
		return f
	}
	if why, mend := table.Foreign(start); why != "" {
		return refusal(name, why+", and no survey that can be read", mend)
	}
	if !isText(start) {
		return refusal(name, "a binary file of no known format", askForText)
	}
	if lines := linesOf(start, 50); len(lines) > 0 && !slices.ContainsFunc(lines, func(l string) bool { return numbersIn(l) != 1 }) {
		return refusal(name, "one number a line is no place", "write a place on each line: point,n,e,z,code")
	}
	if lines := linesOf(withoutMark(start), 2); len(lines) == 1 && table.IsHeading(lines[0]) {
		return refusal(name, "the list has a header and no places below it", "export it again, with the points")
	}
	return refusal(name, noSurvey, listMend)
}

// What is said of text without numbers.
const (
	noSurvey = "no survey: no format that is known, and no lines of numbers"
	listMend = "export it as delimited text with a header such as point,n,e,z,code"
)

// knownBy knows a format by its first bytes.
func knownBy(start []byte) (known, bool) {
	if !isText(start) || bytes.HasPrefix(start, []byte("%PDF")) {
		for _, k := range binaries() {
			if bytes.HasPrefix(start, []byte(k.magic)) {
				return k, true
			}
		}
	}
	switch {
	case bytes.HasPrefix(start, []byte("PK\x03\x04")):
		return archive(start), true
	case bytes.HasPrefix(start, []byte("AC10")):
		return known{"", "DWG drawing", "a binary drawing", asDXF}, true
	case len(start) > 8 && bytes.Equal(start[4:8], []byte("ftyp")):
		return known{"", "picture or film", whyPicture, askForText}, true
	case isUTF16(start):
		return known{"", "text in UTF-16", "the text is UTF-16, and no survey that can be read", "save it as UTF-8"}, true
	case bytes.HasPrefix(bytes.TrimLeft(withoutMark(start), " \t\r\n"), []byte("<")):
		return markup(start), true
	}
	return known{}, false
}

// archive tells a zip archive by the names of the files in it.
func archive(start []byte) known {
	for _, k := range []known{
		{"xl/", "workbook", "this is a workbook, and no survey that can be read", "save the sheet as CSV"},
		{"word/", "written document", "this is a written document, and no survey that can be read", askForText},
		{"mimetypeapplication/vnd.oasis.opendocument.spreadsheet", "workbook", "this is a workbook, and no survey that can be read", "save the sheet as CSV"},
		{".kml", "KMZ", whyDegrees, asGeoJSON},
	} {
		if bytes.Contains(start, []byte(k.magic)) {
			return k
		}
	}
	return known{"", "zip archive", "this is a zip archive", "unpack it; save a workbook as CSV"}
}

// isUTF16 says whether a text has a mark of UTF-16, or a zero in nearly every
// other place.
func isUTF16(start []byte) bool {
	if bytes.HasPrefix(start, []byte("\xff\xfe")) || bytes.HasPrefix(start, []byte("\xfe\xff")) {
		return true
	}
	start = start[:min(len(start), 200)]
	zeros := [2]int{}
	for i, c := range start {
		if c == 0 {
			zeros[i%2]++
		}
	}
	half := len(start) / 2
	return half >= 4 && (zeros[0] >= half-1 && zeros[1] == 0 || zeros[1] >= half-1 && zeros[0] == 0)
}

// markup tells XML by its first element.
func markup(start []byte) known {
	dec := xml.NewDecoder(bytes.NewReader(withoutMark(start)))
	dec.Strict = false
	root := ""
	for root == "" {
		t, err := dec.RawToken()
		if err != nil {
			break
		}
		if e, ok := t.(xml.StartElement); ok {
			root = e.Name.Local
		}
	}
	switch strings.ToLower(root) {
	case "kml":
		return known{"", "KML", whyDegrees, asGeoJSON}
	case "gpx":
		return known{"", "GPX", whyDegrees, asDelimited}
	case "html":
		return known{"", "web page", "this is a web page, and no survey that can be read", askForText}
	case "jobfile":
		return known{"", "JobXML collector log", "a collector's log that is not read", asDelimited}
	case "svg":
		return known{"", "SVG picture", whyPicture, askForText}
	case "featurecollection":
		return known{"", "GML", "this is GML, which is not read", asGeoJSON}
	}
	return known{"", "XML", "this is XML of a kind that is not read, and no survey that can be read", "export the points as a text table, or LandXML"}
}
