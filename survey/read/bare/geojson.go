package bare

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"runnel/survey/problem"
)

// geoObject is any object of a GeoJSON file: H. Butler and others 2016, The
// GeoJSON Format, RFC 7946, sections 3 and 4 of its predecessor for crs.
type geoObject struct {
	Type        string          `json:"type"`
	Features    []geoObject     `json:"features"`
	Geometry    *geoObject      `json:"geometry"`
	Geometries  []geoObject     `json:"geometries"`
	Coordinates json.RawMessage `json:"coordinates"`
	Properties  json.RawMessage `json:"properties"`
	ID          json.RawMessage `json:"id"`
	CRS         json.RawMessage `json:"crs"`
}

func geoJSONFormat() Format {
	return Format{Name: "GeoJSON", Is: isGeoJSON, Read: readGeoJSON}
}

// isGeoJSON says whether data are an object with one of GeoJSON's words, whole
// or not.
func isGeoJSON(data []byte) bool {
	data = bytes.TrimLeft(withoutMark(data), " \t\r\n")
	if !bytes.HasPrefix(data, []byte("{")) {
		return false
	}
	for _, word := range []string{`"FeatureCollection"`, `"Feature"`, `"coordinates"`, `"geometries"`} {
		if bytes.Contains(data, []byte(word)) {
			return true
		}
	}
	return false
}

// readGeoJSON reads polygons and points; a polygon's name is that in its
// properties, else its id.
func readGeoJSON(name string, data []byte) *File {
	s := &shapes{name: name, file: &File{Format: "GeoJSON"}}
	if s.tooLarge(data) {
		return s.file
	}
	data = withoutMark(data)
	dec := json.NewDecoder(bytes.NewReader(data))
	for n := 0; ; n++ { // a file may hold one object after another
		var top geoObject
		err := dec.Decode(&top)
		if n > 0 && errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.fault(lineOf(data, err), "",
				"not as GeoJSON should be: "+err.Error(), "export it anew")
			return s.file
		}
		s.walk("", top)
		s.system(top)
	}
	return s.done()
}

// lineOf is the line of an error of the JSON reader, 0 where it names none.
func lineOf(data []byte, err error) int {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	at := int64(-1)
	if errors.As(err, &syntax) {
		at = syntax.Offset
	} else if errors.As(err, &kind) {
		at = kind.Offset
	} else if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		at = int64(len(bytes.TrimRight(data, " \t\r\n")))
	}
	if at < 0 || at > int64(len(data)) {
		return 0
	}
	return 1 + bytes.Count(data[:at], []byte{'\n'})
}

// system notes the coordinate system that an object states.
func (s *shapes) system(top geoObject) {
	crs := systemOf(top.CRS)
	if crs == "" || s.crs == crs {
		return
	}
	s.crs = crs
	s.file.Problems.Add(problem.Problem{File: s.name, Field: "crs", Value: crs,
		Why: "the coordinate system is named; its unit is not looked up", Grade: problem.Note})
}

// LikeDegrees says whether the outlines look like longitudes and latitudes: they
// lie within the bounds of these and reach over no more than most units, which
// is less than any roof does in a length unit.
func (f *File) LikeDegrees(most float64) bool {
	box, some := f.OutlineBox()
	w, h := box.Size()
	return some && max(-box.Min.X, box.Max.X) <= 180 && max(-box.Min.Y, box.Max.Y) <= 90 && max(w, h) <= most
}

// degrees notes outlines that look like degrees.
func (s *shapes) degrees() {
	const tenth = 0.1
	if !s.file.LikeDegrees(tenth) {
		return
	}
	s.file.Problems.Add(problem.Problem{File: s.name, Grade: problem.Note,
		Why:  "the coordinates look like longitude and latitude in degrees, not like lengths in plan",
		Mend: "export it in a plan coordinate system, in feet or metres"})
}

// systemOf is the name of the coordinate system that a crs object states.
func systemOf(raw json.RawMessage) string {
	var crs struct {
		Properties struct {
			Name string `json:"name"`
		} `json:"properties"`
	}
	if json.Unmarshal(raw, &crs) != nil {
		return ""
	}
	return crs.Properties.Name
}

func (s *shapes) walk(label string, g geoObject) {
	switch g.Type {
	case "FeatureCollection":
		for _, f := range g.Features {
			s.walk("", f)
		}
	case "Feature":
		if g.Geometry != nil {
			s.walk(labelOf(g), *g.Geometry)
		}
	case "GeometryCollection":
		for i, part := range g.Geometries {
			s.walk(partLabel(label, i, len(g.Geometries)), part)
		}
	default:
		s.geometry(label, g)
	}
}

// geometry takes one geometry with coordinates.
func (s *shapes) geometry(label string, g geoObject) {
	ok := false
	switch g.Type {
	case "Point":
		var c []float64
		if ok = coordinates(g, &c); ok {
			s.point(label, 0, c)
		}
	case "MultiPoint":
		var cs [][]float64
		ok = coordinates(g, &cs)
		for i, c := range cs {
			s.point(partLabel(label, i, len(cs)), 0, c)
		}
	case "Polygon":
		var rings [][][]float64
		if ok = coordinates(g, &rings); ok {
			s.polygon(label, 0, rings)
		}
	case "MultiPolygon":
		var parts [][][][]float64
		ok = coordinates(g, &parts)
		for i, rings := range parts {
			s.polygon(partLabel(label, i, len(parts)), 0, rings)
		}
	case "LineString", "MultiLineString":
		s.lines++
		ok = true
	default:
		s.file.Refused++
		s.fault(0, label, fmt.Sprintf("%q is no geometry of GeoJSON", g.Type), "export polygons or points")
		return
	}
	if !ok {
		s.file.Refused++
		s.fault(0, label, fmt.Sprintf("the coordinates of a %s are not as they should be", g.Type), "export it anew")
	}
}

// coordinates reads the coordinates of g; a null among them would be read as
// 0 and is refused. On false nothing is left in to.
func coordinates[T any](g geoObject, to *T) bool {
	var got T
	if len(g.Coordinates) == 0 || bytes.Contains(g.Coordinates, []byte("null")) ||
		json.Unmarshal(g.Coordinates, &got) != nil {
		return false
	}
	*to = got
	return true
}

// labelOf is the name of a feature, else its id.
func labelOf(g geoObject) string {
	var properties map[string]json.RawMessage
	if json.Unmarshal(g.Properties, &properties) == nil {
		for _, key := range []string{"name", "Name", "NAME"} {
			if text := plain(properties[key]); text != "" {
				return text
			}
		}
	}
	return plain(g.ID)
}

// plain is a text or a number as written.
func plain(raw json.RawMessage) string {
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return text
	}
	var n json.Number
	if json.Unmarshal(raw, &n) == nil {
		return n.String()
	}
	return ""
}

// partLabel names part i of n.
func partLabel(label string, i, n int) string {
	if n == 1 {
		return label
	}
	return strings.TrimPrefix(fmt.Sprintf("%s, part %d", label, i+1), ", ")
}
