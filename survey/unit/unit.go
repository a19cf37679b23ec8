// Package unit holds the measures of a roof as types, so that an inch is
// never taken for a foot.
//
// Lengths are kept in inches and slopes in inches of fall per foot of run:
// quarters, eighths and whole feet are then exact. A measure is born only by
// naming its unit (4*unit.Foot, unit.Feet(x)), read only by naming it
// (w.Inches()), and changes its kind only through a named function (SlopeOf,
// AreaOf). The house test in cmd/internal/house holds all code to this.
package unit

import "math"

// Length is a length or a height, kept in inches. The zero value is no length.
type Length float64

// Area is kept in square inches.
type Area float64

// Volume is kept in cubic inches.
type Volume float64

// Slope is kept in inches of fall per foot of run; downhill is positive.
type Slope float64

// The units that a length may be born in. A foot is the international foot.
const (
	Inch       Length = 1
	Foot              = 12 * Inch
	Millimetre        = Inch / 25.4
	Metre             = 1000 * Millimetre
	// SurveyFoot is the US survey foot, 1200/3937 m.
	SurveyFoot = 1200 * Metre / 3937
)

// InchPerFoot is one inch of fall a foot of run.
const InchPerFoot Slope = 1

// The units that areas and volumes may be born in.
const (
	SquareInch  Area   = 1
	SquareFoot         = 144 * SquareInch
	SquareMetre        = SquareInch / (0.0254 * 0.0254)
	CubicInch   Volume = 1
	CubicFoot          = 1728 * CubicInch
	CubicMetre         = CubicInch / (0.0254 * 0.0254 * 0.0254)
	// Gallon is the US liquid gallon, 231 cubic inches.
	Gallon = 231 * CubicInch
	// BoardFoot is one square foot, one inch thick.
	BoardFoot = 144 * CubicInch
)

// Feet gives x feet.
func Feet(x float64) Length { return Length(x) * Foot }

// Inches gives x inches.
func Inches(x float64) Length { return Length(x) * Inch }

// Millimetres gives x millimetres.
func Millimetres(x float64) Length { return Length(x) * Millimetre }

// Metres gives x metres.
func Metres(x float64) Length { return Length(x) * Metre }

// Inches is l in inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Feet is l in feet.
func (l Length) Feet() float64 { return float64(l / Foot) }

// Millimetres is l in millimetres.
func (l Length) Millimetres() float64 { return float64(l / Millimetre) }

// Metres is l in metres.
func (l Length) Metres() float64 { return float64(l / Metre) }

// SquareFeet gives x square feet.
func SquareFeet(x float64) Area { return Area(x) * SquareFoot }

// SquareFeet is a in square feet.
func (a Area) SquareFeet() float64 { return float64(a / SquareFoot) }

// SquareMetres is a in square metres.
func (a Area) SquareMetres() float64 { return float64(a / SquareMetre) }

// CubicFeet gives x cubic feet.
func CubicFeet(x float64) Volume { return Volume(x) * CubicFoot }

// CubicFeet is v in cubic feet.
func (v Volume) CubicFeet() float64 { return float64(v / CubicFoot) }

// CubicMetres is v in cubic metres.
func (v Volume) CubicMetres() float64 { return float64(v / CubicMetre) }

// Gallons is v in US gallons.
func (v Volume) Gallons() float64 { return float64(v / Gallon) }

// BoardFeet is v in board feet.
func (v Volume) BoardFeet() float64 { return float64(v / BoardFoot) }

// InchesPerFoot gives a slope of x inches of fall per foot of run.
func InchesPerFoot(x float64) Slope { return Slope(x) * InchPerFoot }

// InchesPerFoot is s in inches of fall per foot of run.
func (s Slope) InchesPerFoot() float64 { return float64(s / InchPerFoot) }

// Ratio is s as fall over run in one unit: 1/4 in/ft is 1/48.
func (s Slope) Ratio() float64 { return float64(s/InchPerFoot) / 12 }

// Percent is s in per cent.
func (s Slope) Percent() float64 { return 100 * s.Ratio() }

// Degrees is the angle of s above the level.
func (s Slope) Degrees() float64 { return math.Atan(s.Ratio()) * 180 / math.Pi }

// SlopeOfRatio gives the slope of fall over run in one unit: 1.0/48 is 1/4
// in/ft.
func SlopeOfRatio(ratio float64) Slope { return Slope(12*ratio) * InchPerFoot }

// SlopeOfDegrees gives the slope of an angle above the level.
func SlopeOfDegrees(deg float64) Slope { return SlopeOfRatio(math.Tan(deg * math.Pi / 180)) }

// SlopeOf is the slope of a fall over a run; the run must not be 0.
func SlopeOf(fall, run Length) Slope { return Slope(float64(fall)/(float64(run)/12)) * InchPerFoot }

// Fall is how much lower a slope ends after a run.
func Fall(s Slope, run Length) Length { return Length(float64(s)*(float64(run)/12)) * Inch }

// AreaOf is the area of a rectangle.
func AreaOf(a, b Length) Area { return Area(float64(a) * float64(b)) }

// VolumeOf is the volume of an area of one depth.
func VolumeOf(a Area, depth Length) Volume { return Volume(float64(a) * float64(depth)) }

// RatioOf is a over b, without unit; b must not be 0.
func RatioOf(a, b Length) float64 { return float64(a) / float64(b) }

// System says which units people read.
type System int

// The systems; the zero value is unset.
const (
	UnsetSystem System = iota
	US
	Metric
)

// String names s as the job file writes it.
func (s System) String() string {
	switch s {
	case UnsetSystem:
		return "unset"
	case US:
		return "us"
	case Metric:
		return "metric"
	}
	panic("unit: unknown System")
}
