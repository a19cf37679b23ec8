package read

import (
	"bytes"
	"errors"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/level"
	"runnel/survey/unit"
)

var (
	errCloud = errors.New("a job with a point cloud cannot be written out: keep the cloud in its own file")
	errMixed = errors.New("a job whose shots are in part rod readings and in part elevations cannot be written out")
)

// survey writes where the elevations come from, and the tables.
func (w *jobWriter) survey(root group) error {
	j := w.job
	if j.Stock != nil {
		if err := w.write(w.stockName(), w.stock()); err != nil {
			return err
		}
	}
	if j.Survey.None {
		root.put("survey", "none")
		return nil
	}
	shots, deck, laid := w.lists()
	own, later, err := w.setUpsOf(shots, deck, laid)
	if err != nil {
		return err
	}
	g := block()
	g.put("shots", w.free("shots.csv"))
	if j.Survey.Surface != survey.UnsetSurface {
		g.put("surface", j.Survey.Surface.String())
	}
	g.put("reading_error", w.orNone(j.Survey.ReadingError))
	w.setUps(g, j.Survey.SetUps[:own])
	w.closings(g)
	if len(deck) > 0 {
		g.node("deck_shots", w.laterList("deck.csv", deck, own, later).n)
	}
	if w.hasCores() {
		g.put("cores", w.free("cores.csv"))
		if err := w.write(w.free("cores.csv"), w.cores()); err != nil {
			return err
		}
	}
	w.evidence(g)
	root.node("survey", g.n)
	if err := w.write(w.free("shots.csv"), w.shotTable(shots)); err != nil {
		return err
	}
	if len(laid) > 0 {
		w.asBuilt(root, laid, later)
	}
	for _, list := range []struct {
		name  string
		shots []areaShot
	}{{"deck.csv", deck}, {"asbuilt.csv", laid}} {
		if len(list.shots) == 0 {
			continue
		}
		if err := w.write(w.free(list.name), w.shotTable(list.shots)); err != nil {
			return err
		}
	}
	return nil
}

// areaShot is a shot with the name of its area.
type areaShot struct {
	survey.Shot
	area string
}

// lists gives the shots of all areas in the order of their files, as far as
// they come from one: set-ups are tied by the first shots of a name.
func (w *jobWriter) lists() (shots, deck, laid []areaShot) {
	for _, a := range w.job.Areas {
		for _, s := range a.Shots {
			shots = append(shots, areaShot{s, a.Name})
		}
		for _, s := range a.DeckShots {
			deck = append(deck, areaShot{s, a.Name})
		}
		for _, s := range a.AsBuilt {
			laid = append(laid, areaShot{s, a.Name})
		}
	}
	for _, list := range [][]areaShot{shots, deck, laid} {
		if !slices.ContainsFunc(list, func(s areaShot) bool { return s.File != list[0].File }) {
			slices.SortStableFunc(list, func(a, b areaShot) int { return a.Line - b.Line })
		}
	}
	return shots, deck, laid
}

// setUpsOf gives how many set-ups, the first ones, the survey's own list has,
// and up to which those of the deck's go; the others belong to the list of the
// surface as laid.
func (w *jobWriter) setUpsOf(shots, deck, laid []areaShot) (own, later int, err error) {
	for _, a := range w.job.Areas {
		if a.Cloud != nil {
			return 0, 0, errCloud
		}
	}
	for _, list := range [][]areaShot{shots, deck, laid} {
		rods := 0
		for _, s := range list {
			if s.SetUp > 0 {
				rods++
			}
		}
		if rods != 0 && rods != len(list) {
			return 0, 0, errMixed
		}
	}
	later = beforeOwn(slices.Concat(shots, deck), laid, len(w.job.Survey.SetUps))
	return beforeOwn(shots, deck, later), later, nil
}

// beforeOwn gives how many of all set-ups, the first ones, stand before those of
// a list's own: all of them where it has elevations or was read from one of those
// that lists before it were read from.
func beforeOwn(before, list []areaShot, all int) int {
	most, least := 0, all+1
	for _, s := range before {
		most = max(most, s.SetUp)
	}
	for _, s := range list {
		least = min(least, s.SetUp)
	}
	if len(list) == 0 || least == 0 || least <= most {
		return all
	}
	return most
}

// setUps writes set-ups, or that the list holds elevations.
func (w *jobWriter) setUps(g group, list []survey.SetUp) {
	if len(list) == 0 {
		g.put("reading", "elevation")
		return
	}
	var out []*yaml.Node
	for _, u := range list {
		s := flow()
		s.put("id", u.ID)
		way, key := "rod", "hi"
		if u.Direct {
			way, key = "direct", "zero"
		}
		s.put("reading", way)
		switch {
		case u.TiedTo != "":
			s.put("tied_to", u.TiedTo)
		case u.On != "":
			b := flow()
			b.put("on", u.On)
			b.put("elevation", w.length(u.From))
			b.put("rod", w.length(u.Backsight))
			s.node("benchmark", b.n)
		default:
			s.put(key, w.length(u.HI))
		}
		s.put("shift", w.orNone(u.Shift))
		out = append(out, s.n)
	}
	g.list("set_ups", out)
}

func (w *jobWriter) closings(g group) {
	var out []*yaml.Node
	for _, c := range w.job.Survey.Closings {
		s := flow()
		s.put("set_up", c.SetUp)
		s.put("on", c.On)
		s.put("found", w.length(c.Found))
		s.put("known", w.length(c.Known))
		if flat := level.Flat(); c.By != flat.Name || c.Allowed != flat.At {
			s.put("allowed", w.length(c.Allowed))
			s.put("by", c.By)
		}
		out = append(out, s.n)
	}
	g.list("closings", out)
}

// laterList names a list taken after the survey; from is where its own set-ups
// begin among all and to where they end. Without any of its own it was read from
// the survey's, which its column set_up names.
func (w *jobWriter) laterList(file string, list []areaShot, from, to int) group {
	g := block()
	g.put("shots", w.free(file))
	if list[0].SetUp == 0 || from < to {
		w.setUps(g, w.job.Survey.SetUps[from:to])
	}
	return g
}

// asBuilt names the list of the surface as laid, and how far that may lie from
// the design.
func (w *jobWriter) asBuilt(root group, laid []areaShot, from int) {
	g, c := w.laterList("asbuilt.csv", laid, from, len(w.job.Survey.SetUps)), w.job.AsBuilt
	g.put("reading_error", w.orNone(c.ReadingError))
	g.put("place", w.orNone(c.Place))
	g.put("run", w.orNone(c.Run))
	root.node("asbuilt", g.n)
}

func (w *jobWriter) evidence(g group) {
	e := w.job.Survey.Evidence
	g.put("method", e.Method)
	g.put("instrument", e.Instrument)
	g.put("checked", e.Checked)
	g.put("date", e.Date)
	g.put("by", e.By)
	g.put("weather", e.Weather)
	var photos []*yaml.Node
	for _, p := range w.job.Survey.Photos {
		s := flow()
		s.put("file", p.File)
		s.node("at", pairNode(p.At, w.plan))
		s.put("note", p.Note)
		photos = append(photos, s.n)
	}
	g.list("photos", photos)
}

// free is a file name that the stock does not have.
func (w *jobWriter) free(name string) string {
	if w.job.Stock != nil && strings.EqualFold(w.stockName(), name) {
		return "job-" + name
	}
	return name
}

func (w *jobWriter) stockName() string {
	if name := w.job.Stock.Name; name != "" && !strings.EqualFold(name, JobFile) {
		return name
	}
	return "stock.csv"
}

// row writes one line of a table.
func row(b *bytes.Buffer, cells ...string) {
	for i, c := range cells {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(cellText(c))
	}
	b.WriteByte('\n')
}

// shotTable writes shots, all rod readings or all elevations.
func (w *jobWriter) shotTable(list []areaShot) []byte {
	var b bytes.Buffer
	rods := len(list) > 0 && list[0].SetUp > 0
	figure := func(s areaShot) unit.Length {
		if rods {
			return s.Rod
		}
		return s.Elev
	}
	u := columnUnit(func(yield func(unit.Length) bool) {
		for _, s := range list {
			if !yield(figure(s)) {
				return
			}
		}
	}, w.job.Units)
	if rods {
		row(&b, "shot", "x", "y", "rod_"+u.word, "code", "set_up", "area")
	} else {
		row(&b, "shot", "x", "y", "z_"+u.word, "code", "area")
	}
	for _, s := range list {
		cells := []string{s.ID, coordText(s.At.X, w.plan), coordText(s.At.Y, w.plan),
			plainText(unit.RatioOf(figure(s), u.one)), s.Code}
		if rods {
			cells = append(cells, w.job.Survey.SetUps[s.SetUp-1].ID)
		}
		row(&b, append(cells, s.area)...)
	}
	return b.Bytes()
}

func (w *jobWriter) hasCores() bool {
	return slices.ContainsFunc(w.job.Areas, func(a survey.Area) bool { return len(a.Cores) > 0 })
}

func (w *jobWriter) cores() []byte {
	var b bytes.Buffer
	row(&b, "id", "x", "y", "thickness", "layers", "wet", "roofs", "area")
	for _, a := range w.job.Areas {
		for _, c := range a.Cores {
			wet, roofs := "", ""
			switch {
			case c.WetKnown && c.Wet:
				wet = "yes"
			case c.WetKnown:
				wet = "no"
			}
			if c.Roofs > 0 {
				roofs = strconv.Itoa(c.Roofs)
			}
			row(&b, c.ID, coordText(c.At.X, w.plan), coordText(c.At.Y, w.plan), w.length(c.Thickness),
				w.layers(c.Layers), wet, roofs, a.Name)
		}
	}
	return b.Bytes()
}

// layers writes the layers of a core as layersOf reads them.
func (w *jobWriter) layers(list []survey.Layer) string {
	var out []string
	for _, l := range list {
		s := w.length(l.Thickness) + " " + l.Name
		if l.Wet {
			s += " wet"
		}
		out = append(out, s)
	}
	return strings.Join(out, " + ")
}

func (w *jobWriter) stock() []byte {
	var b bytes.Buffer
	price := func(p float64) string {
		if p == 0 {
			return ""
		}
		return plainText(p)
	}
	inBundle := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	hold := func(a survey.Attach) string {
		if a == survey.UnsetAttach {
			return ""
		}
		return a.String()
	}
	row(&b, "kind", "slope", "thin", "thick", "along", "depth", "to_order", "price", "bundle", "attach")
	for _, kind := range []struct {
		word   string
		boards []survey.TaperedBoard
	}{{"tapered", w.job.Stock.Tapered}, {"strip", w.job.Stock.Strips}} {
		for _, t := range kind.boards {
			order := ""
			if t.ToOrder {
				order = "yes"
			}
			row(&b, kind.word, slopeText(t.Slope, w.job.Units), w.length(t.Thin), w.length(t.Thick), w.length(t.Along),
				w.length(t.Depth), order, price(t.Price), inBundle(t.Bundle), hold(t.Attach))
		}
	}
	for _, kind := range []struct {
		word   string
		boards []survey.FlatBoard
	}{{"flat", w.job.Stock.Flats}, {"cover", w.job.Stock.Covers}} {
		for _, f := range kind.boards {
			row(&b, kind.word, "", "", w.length(f.Thickness), w.length(f.Along), w.length(f.Depth), "", price(f.Price), inBundle(f.Bundle), hold(f.Attach))
		}
	}
	return b.Bytes()
}
