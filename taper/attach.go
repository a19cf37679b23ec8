package taper

import (
	"fmt"
	"slices"

	"runnel/survey"
)

// allowed is the boards of a stock that the job's way to hold them allows: base those
// for base layers, above those that lie on them; left is how many are left out.
func allowed(stock *survey.Stock) (base, above *survey.Stock, left int) {
	way, baseWay := stock.Attach, stock.Attach
	if stock.Attach == survey.BaseScrews {
		way, baseWay = survey.Adhesive, survey.Screws
	}
	base, _ = heldBy(stock, baseWay)
	above, left = heldBy(stock, way)
	return base, above, left
}

// heldBy is the boards of a stock that may be held one way; unset: all.
func heldBy(stock *survey.Stock, way survey.Attach) (*survey.Stock, int) {
	out := *stock
	not := func(a survey.Attach) bool {
		return way != survey.UnsetAttach && a != survey.UnsetAttach && a != way
	}
	tapered := func(b survey.TaperedBoard) bool { return not(b.Attach) }
	flat := func(b survey.FlatBoard) bool { return not(b.Attach) }
	out.Tapered = slices.DeleteFunc(slices.Clone(stock.Tapered), tapered)
	out.Strips = slices.DeleteFunc(slices.Clone(stock.Strips), tapered)
	out.Flats = slices.DeleteFunc(slices.Clone(stock.Flats), flat)
	out.Covers = slices.DeleteFunc(slices.Clone(stock.Covers), flat)
	count := func(s *survey.Stock) int { return len(s.Tapered) + len(s.Strips) + len(s.Flats) + len(s.Covers) }
	return &out, count(stock) - count(&out)
}

// tooMany is the error of a place where more boards lie on one another than the job
// allows; nil where there is none. Of several the first of the highest.
func (l *layOut) tooMany(s *survey.Site) error {
	if l.choice.MostLayers <= 0 {
		return nil
	}
	var top *Board
	for i := range l.boards {
		if b := &l.boards[i]; top == nil || b.Layer > top.Layer {
			top = b
		}
	}
	if top == nil || top.Layer <= l.choice.MostLayers {
		return nil
	}
	at := s.Frame.ToJob(top.Poly.Centroid())
	return fmt.Errorf("%d boards lie on one another at x %.1f ft, y %.1f ft, where the job allows %d (taper.most_layers): "+
		"take thicker flats, fewer base layers or a flatter slope, or ask the maker of the roof for more", top.Layer, at.X, at.Y, l.choice.MostLayers)
}
