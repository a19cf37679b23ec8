package drainage

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// StructureInput is what the page for the engineer is made of, of one surface.
type StructureInput struct {
	Site    *survey.Site
	Report  *Report
	Rain    *RainReport
	Deck    survey.DeckKind
	Bays    []survey.Bay // of the job; nil: none stated
	AddedIn [2]float64   // average and greatest thickness of new insulation; 0: no design
	WhatIf  *WhatIf      // nil: none tried
	Units   unit.System
}

// freeSlope is the slope toward free drainage under which a bay is one that
// may pond under load: ASCE 7-10 8.4 as summed up in a trade article; later
// editions go further by the direction of framing.
const freeSlope = 0.25 * unit.InchPerFoot

// leastStretchSqft is the least that is told of where bays are not stated: the
// area from which ponds are reported.
const leastStretchSqft = 4

// flattestShare of a bay may be flatter than what is called its slope: beside
// drains, creases and walls no plane can be read.
const flattestShare = 0.05

// boardPcf is what a cubic foot of insulation board weighs, in pounds: foam near
// 2 lb/cu ft, 0.17 psf an inch; common practice, no source.
const boardPcf = 2.0

// BoardPsf is what insulation of a thickness weighs, in pounds a square foot.
func BoardPsf(thickIn float64) float64 { return boardPcf / 12 * thickIn }

// kgM3PerPcf is 0.45359237 kg over (0.3048 m) cubed.
const kgM3PerPcf = 0.45359237 / (0.3048 * 0.3048 * 0.3048)

// mostSlopes is at how many places of a bay slopes are read.
const mostSlopes = 400

// StructureOf gathers what an engineer is to look at. It says what to look at
// and never that a bay is out of danger. Cost: that of some hundred slopes a bay.
func StructureOf(in StructureInput) *StructurePage {
	p := &StructurePage{Stated: len(in.Bays) > 0, Framing: framing(in.Deck)}
	for n, thickIn := range in.AddedIn {
		p.AddedPsf[n] = BoardPsf(thickIn)
	}
	surf := in.Report.Surface
	slopes := SlopesOf(surf, in.Report.Window)
	if p.Stated {
		for _, b := range in.Bays {
			var cells []int
			cellsIn(surf.Lattice, b.Whole, func(k int) {
				if surf.Roof[k] {
					cells = append(cells, k)
				}
			})
			p.add(in, slopes, "bay "+b.ID, b.Polys, cells)
		}
	} else {
		for _, a := range in.Report.Areas {
			var cells []int
			for _, poly := range a.Regions {
				for k, on := range survey.CellsInside(surf.Lattice, poly.Outer, poly.Holes) {
					if on && surf.Roof[k] {
						cells = append(cells, k)
					}
				}
			}
			if a.SqFt < leastStretchSqft {
				continue
			}
			p.add(in, slopes, "roof that drains to "+a.Outlet, a.Regions, cells)
		}
	}
	p.find(in)
	return p
}

// framing says what is known of the framing.
func framing(d survey.DeckKind) string {
	text := "framing direction not known"
	if d.Framing != "" && !strings.EqualFold(d.Framing, "unknown") {
		text = "framing: " + d.Framing
	}
	if d.SpanDeg != nil {
		text += fmt.Sprintf("; the deck spans %g deg from the sheet's x", *d.SpanDeg)
	}
	return text
}

// add measures one bay; without roof cells there is none.
func (p *StructurePage) add(in StructureInput, slopes Slopes, id string, outline []geom.Poly, cells []int) {
	if len(cells) == 0 {
		return
	}
	surf := in.Report.Surface
	b := StructureBay{ID: id, Outline: outline, Slope: slopeOfMost(slopes, surf, cells)}
	b.UnderMin = b.Slope < freeSlope && b.Slope >= 0
	for _, k := range cells {
		b.HoldsIn = math.Max(b.HoldsIn, in.Rain.BlockedIn[k]-surf.ElevIn[k])
		b.PondIn = math.Max(b.PondIn, in.Report.FilledIn[k]-surf.ElevIn[k])
	}
	least := ""
	if in.Rain.AtLeast {
		least = "at least "
	}
	b.HoldsPsf = psfPerIn * b.HoldsIn
	var why []string
	switch {
	case b.Slope < 0:
		why = append(why, "its slope cannot be told")
	case b.UnderMin:
		why = append(why, "slopes "+b.Slope.Format(in.Units)+", under "+freeSlope.Format(in.Units))
	}
	const worthIn = 0.5 // under it water weighs less than 3 psf
	if b.HoldsIn >= worthIn {
		why = append(why, "holds "+least+unit.Inches(b.HoldsIn).FormatThin(in.Units)+" with drains blocked, "+
			unit.PoundsPerSquareFoot(b.HoldsPsf).Format(in.Units))
	}
	if b.PondIn >= worthIn/4 {
		why = append(why, unit.Inches(b.PondIn).FormatThin(in.Units)+" stands anyway")
	}
	b.Why = strings.Join(why, "; ")
	p.Bays = append(p.Bays, b)
}

// slopeOfMost is the slope that all of some cells but the flattest reach, read
// on a coarser raster; -1 where none can be read.
func slopeOfMost(slopes Slopes, surf *survey.Surface, cells []int) unit.Slope {
	stride := max(1, int(math.Sqrt(float64(len(cells))/mostSlopes)))
	var found []float64
	for _, k := range cells {
		if k%surf.NX%stride != stride/2 || k/surf.NX%stride != stride/2 {
			continue
		}
		if up, ok := slopes.At(k); ok {
			found = append(found, math.Round(up.Norm()*1e9)/1e9)
		}
	}
	if len(found) == 0 {
		return -1 * unit.InchPerFoot
	}
	slices.Sort(found)
	return unit.InchesPerFoot(found[int(flattestShare*float64(len(found)))])
}

// find says in sentences what the page shows.
func (p *StructurePage) find(in StructureInput) {
	name := "bays"
	if !p.Stated {
		name = "stretches of roof"
		p.Findings = append(p.Findings, "bays are not stated: the roof is told by the outlet that it drains to")
	}
	under, deepest := 0, StructureBay{}
	for _, b := range p.Bays {
		if b.UnderMin {
			under++
		}
		if b.HoldsIn > deepest.HoldsIn {
			deepest = b
		}
	}
	p.Findings = append(p.Findings, fmt.Sprintf("%d of %d %s slope less than %s toward free drainage", under, len(p.Bays), name,
		freeSlope.Format(in.Units)))
	if deepest.HoldsIn > 0 {
		least := ""
		if in.Rain.AtLeast {
			least = "at least "
		}
		p.Findings = append(p.Findings, fmt.Sprintf("with the primary drains and scuppers blocked water stands %s%s deep, %s, on the %s",
			least, unit.Inches(deepest.HoldsIn).FormatThin(in.Units), unit.PoundsPerSquareFoot(deepest.HoldsPsf).Format(in.Units), deepest.ID))
	}
	p.Findings = append(p.Findings, doubts(in.Report)...)
	p.Findings = append(p.Findings, short(in.Rain, in.Units)...)
	p.Findings = append(p.Findings, p.Framing)
	p.Findings = append(p.Findings, in.Rain.Words...)
	if p.AddedPsf[1] > 0 {
		density := fmt.Sprintf("%g lb/cu ft", boardPcf)
		if in.Units == unit.Metric {
			density = fmt.Sprintf("%.0f kg/m3", boardPcf*kgM3PerPcf)
		}
		p.Findings = append(p.Findings, "new insulation weighs "+unit.PoundsPerSquareFoot(p.AddedPsf[0]).Format(in.Units)+
			" on average and "+unit.PoundsPerSquareFoot(p.AddedPsf[1]).Format(in.Units)+" at the most, taken as "+density+" "+
			"(common practice, no source: ask the maker); cover board, membrane and water apart, nothing taken off for what is torn off")
	}
	if w := in.WhatIf; w != nil {
		p.Findings = append(p.Findings, "tried: "+w.Words+": "+w.finding(in.Units))
	}
}

// doubts say what the survey leaves open of slopes and depths.
func doubts(r *Report) (out []string) {
	if pct := r.UnknownPct + r.ThinPct; pct >= materialUnknownPct {
		out = append(out, fmt.Sprintf("on %.0f %% of the roof the shots are too far or too thin to tell: slopes and depths there are not sure", pct))
	}
	if len(r.NoShotNear) > 0 {
		out = append(out, "no shot stands near "+strings.Join(r.NoShotNear, ", ")+": nothing is known of the water there")
	}
	switch r.MeetsDesign {
	case TooClose:
		out = append(out, "whether the roof meets its least slopes is too close to call with this survey")
	case Unknown:
		out = append(out, "whether the roof meets its least slopes is not known")
	case Meets, FallsShort:
	}
	return out
}

// short says which outlets do not take what comes to them, and what other areas
// discharge here.
func short(r *RainReport, sys unit.System) (out []string) {
	for _, f := range r.Outlets {
		text := ""
		if f.Verdict == FallsShort {
			text = "falls short: "
			if f.Gpm >= 0 {
				text += unit.GallonsPerMinute(f.Gpm).Format(sys) + " come; "
			}
			text += f.Words
		}
		if f.OtherSqFt > 0 {
			if text != "" {
				text += "; "
			}
			text += "other areas discharge " + unit.SquareFeet(f.OtherSqFt).Format(sys) + " of roof to it"
		}
		if text != "" {
			out = append(out, f.Outlet+" "+text)
		}
	}
	return out
}

// finding says what stands on a deflected surface.
func (w *WhatIf) finding(sys unit.System) string {
	if len(w.Report.Ponds) == 0 {
		return "no pond worth reporting"
	}
	n := fmt.Sprintf("%d ponds", len(w.Report.Ponds))
	if len(w.Report.Ponds) == 1 {
		n = "1 pond"
	}
	return n + ", " + unit.Inches(w.Report.Ponds[0].DepthIn).FormatThin(sys) + " at the deepest"
}

// Finding says what was tried and what stands then.
func (w *WhatIf) Finding(sys unit.System) string { return w.Words + ": " + w.finding(sys) }
