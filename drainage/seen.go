package drainage

import (
	"runnel/survey"
	"runnel/survey/geom"
)

// SeenFinding is one pond that people saw, against those computed.
type SeenFinding struct {
	Seen    survey.SeenPond
	Outline geom.Ring // in the frame
	Pond    string    // the computed pond that it meets; "" where there is none
	DepthIn float64   // computed, at the deepest place of that pond
	Agrees  bool
	Words   string // for the report
}
