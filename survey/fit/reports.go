package fit

import "runnel/survey/geom"

// CloudReport says how a point cloud became a roof surface.
type CloudReport struct {
	File           string
	InFile, OnArea int     // points
	Cells          int     // medians kept as shots
	CellFt         float64 // side of a cell
	DensityPerSqFt float64 // of the points on the area
	NoiseIn        float64 // one standard deviation of a point about the roof, inches
	LeftOut        int     // points on objects, strays and parapets
	Objects        []CloudObject
}

// CloudObject is a thing on the roof that is not roof.
type CloudObject struct {
	At     geom.Pt // frame, its middle
	Sqft   float64
	HighIn float64 // of its top above the roof about it
}
