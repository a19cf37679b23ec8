// Package render turns what was computed into pictures and tables.
//
// Pictures are scenes (render/scene): plain marks in sheet inches that any
// writer can put on paper. Tables and files are written through io.Writer.
package render

import (
	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/ask"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/taper"
	"runnel/taper/ladder"
)

// Result is everything that one run computed.
type Result struct {
	Job   *survey.Job
	Rules drainage.Rules
	Areas []AreaResult
}

// AreaResult is everything computed for one area.
type AreaResult struct {
	Area     survey.Area
	Site     *survey.Site
	Fit      *fit.Result // nil: no survey, a level deck is assumed
	Existing *drainage.Report
	InletIn  []float64              // of each outlet on the existing surface; nil: flush
	Base     *survey.Surface        // what the boards are laid on
	DeckTop  *survey.Surface        // the deck as shot, or inferred through cores; nil: not known
	Cloud    *fit.CloudReport       // nil: no point cloud
	Deck     fit.DeckReport         // how base and deck were found
	Asked    []ask.Question         // what the survey leaves open
	Seen     []drainage.SeenFinding // ponds people saw against those computed
	Part     *geom.Poly             // in the frame, that a partial scope takes; nil: all, or none of it
	// Options are all ways that were designed, as sorted: Chosen is the one that
	// the files show, Recommended the cheapest that passes; -1: without prices
	// nothing is recommended, or none passes. Empty without a design.
	Options             []taper.Option
	Chosen, Recommended int
	Design              *taper.Design           // nil: no design was asked for, or a partial scope takes nothing of the area
	Proof               *taper.Proof            // nil with Design
	Change              *taper.DeckChange       // what deck shots changed; nil: none, or no design
	Heights             []taper.HeightLeft      // what the design leaves of stated heights
	Rain                [2]*drainage.RainReport // on the existing and on the finished surface; nil: not surveyed, no design
	WhatIf              [2]*drainage.WhatIf     // a deflection tried on either; nil: none asked for
	Foreman             *taper.Foreman          // nil with Design
	Fastening           *taper.Fastening        // nil: the job does not state how boards are held, or no design
	AsBuilt             *taper.AsBuilt          // nil: nothing was shot on the surface as laid, or no design
	// Structure is the page for the engineer, of the finished surface where there
	// is one; nil: nothing was surveyed or designed.
	Structure *drainage.StructurePage
	// FinishedInletIn is of each outlet on the finished surface; nil: flush.
	FinishedInletIn []float64
	Rung            ladder.Rung
	Why             string        // the reason for the rung, with its figure
	Ladder          []ladder.Step // every rung as tested, least disturbance first; nil: not climbed
}
