package read

import "strings"

// shape is the keys of one kind of mapping in the job file: those that are
// read now, and those of the agreed job file whose part is not built yet.
type shape struct{ now, later string }

// shapes has one entry a kind of mapping. A key that stands here is known; one
// of later gets a note, one that stands nowhere is a fault.
var shapes = map[string]shape{
	"file": {
		now:   "job survey scope rules taper stock seen ponds rain sections areas lines regions thermal asbuilt foreman laid fastening",
		later: "prices",
	},
	"job": {now: "name units plan north"},
	"survey": {
		now: "shots surface cores reading_error columns reading unit hi zero benchmark set_ups places " +
			"deck_shots closings allowed method instrument checked date by weather photos",
	},
	"deck_shots": {now: "shots columns reading unit hi zero benchmark set_ups"},
	"asbuilt":    {now: "shots columns reading unit hi zero benchmark set_ups reading_error place run"},
	"set_up":     {now: "id reading hi zero benchmark tied_to shift"},
	"benchmark":  {now: "on elevation rod close allowed"},
	"closing":    {now: "set_up on found known allowed by"},
	"photo":      {now: "file at note"},
	"scope":      {now: "partial"},
	"rules": {now: "like name edition source mode field valley gutter sump design pond dry_hours exception " +
		"overflow flashing"},
	"taper": {
		now: "scheme slope start base cover thickest axes turn_boards sump cricket edges " +
			"cutting kerf bundles sliver most_layers",
	},
	"cricket":   {now: "board valley"},
	"sump":      {now: "size board"},
	"line":      {now: "kind at"},
	"region":    {now: "outline scheme slope"},
	"thermal":   {now: "required_r required_u r_rule r_per_inch conductivity", later: "worst_u"},
	"foreman":   {now: "hi rate"},
	"fastening": {now: "attach cover embed room step lengths plates per_board area_each pressure screw zones beads kit"},
	"by zone":   {now: "inner field perimeter corner"},
	"zones":     {now: "by height width"},
	"base":      {now: "layers thickness"},
	"seen":      {now: "pond depth hours"},
	"ponds":     {now: "depth area drying"},
	"rain":      {now: "rate overflow_rate"},
	"section":   {now: "name from to"},
	"area": {
		now:   "name outline courts edges outlets curbs doors sills weeps ducts deck breaklines joints crickets",
		later: "axes walls pipes",
	},
	"own cricket": {now: "from to width on board"},
	"deck":        {now: "type span framing bays sag camber"},
	"bays":        {now: "size from"},
	"edge":        {now: "edge kind height above onto"},
	"outlet": {
		now: "id kind at edge along size flange inlet above width height overflow state reset capacity onto bowl strainer dam",
	},
	"bowl": {now: "size depth"},
	"door": {now: "id edge along at width sill above"},
	"sill": {now: "id edge along at width height above"},
	"weep": {now: "id edge along at width height above"},
	"curb": {now: "id at size turn height above"},
	"duct": {now: "id from to height above"},
}

// names lists the keys of a shape, those read now first.
func (s shape) names() []string { return strings.Fields(s.now + " " + s.later) }

func (s shape) isLater(name string) bool {
	for _, k := range strings.Fields(s.later) {
		if k == name {
			return true
		}
	}
	return false
}

// SettableKeys lists the dotted keys that a Setting may override: those that
// hold one value. Lists, such as areas, stand in the job file alone.
func SettableKeys() []string {
	return []string{
		"job.name", "job.units", "job.plan", "job.north",
		"survey", "survey.shots", "survey.surface", "survey.cores", "survey.reading_error",
		"survey.reading", "survey.unit", "survey.hi", "survey.zero", "survey.allowed",
		"survey.benchmark.on", "survey.benchmark.elevation", "survey.benchmark.rod",
		"survey.benchmark.close", "survey.benchmark.allowed",
		"survey.places", "survey.deck_shots",
		"survey.method", "survey.instrument", "survey.checked", "survey.date", "survey.by",
		"survey.weather",
		"scope",
		"rules", "rules.like", "rules.name", "rules.edition", "rules.source", "rules.mode",
		"rules.field", "rules.valley", "rules.gutter", "rules.sump", "rules.design", "rules.pond",
		"rules.dry_hours", "rules.exception", "rules.flashing",
		"taper.scheme", "taper.slope", "taper.start", "taper.base.layers",
		"taper.base.thickness", "taper.cover", "taper.thickest", "taper.axes",
		"taper.turn_boards", "taper.sump.size", "taper.sump.board", "taper.edges",
		"taper.cutting", "taper.kerf", "taper.bundles", "taper.sliver", "taper.most_layers",
		"taper.cricket", "taper.cricket.board", "taper.cricket.valley",
		"thermal.required_r", "thermal.required_u", "thermal.r_rule", "thermal.r_per_inch",
		"thermal.conductivity",
		"foreman.hi", "foreman.rate",
		"fastening.attach", "fastening.cover", "fastening.embed", "fastening.room", "fastening.step",
		"fastening.screw", "fastening.kit", "fastening.zones.by", "fastening.zones.height",
		"fastening.zones.width",
		"stock", "laid",
		"asbuilt", "asbuilt.shots", "asbuilt.reading", "asbuilt.unit", "asbuilt.hi", "asbuilt.zero",
		"asbuilt.place", "asbuilt.run", "asbuilt.reading_error",
		"ponds.depth", "ponds.area", "ponds.drying",
		"rain.rate", "rain.overflow_rate",
	}
}
