package read

import (
	"io/fs"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

const seqKind = yaml.SequenceNode

// Setting is a value that overrides one of the job file.
type Setting struct {
	Key   string // dotted, one of SettableKeys
	Value string // as it would stand in the file
	From  string // where it came from; stands in problems instead of file and line
}

// jobReader is one reading of a job file.
type jobReader struct {
	fsys fs.FS
	file string
	from map[*yaml.Node]string // origin of values that settings gave
	out  table.Tally
	more problem.List // of the tables that the job names

	units     unit.System    // of the job
	plan      unit.Length    // what a plain plan number measures
	src       *survey.Source // of the job
	placesAt  item           // the list of a level book's places
	allowedAt item           // the misclosure that the survey allows
	book      table.BookUnit // what a plain elevation measures
	areas     []*areaRead
	marks     []mark // that should lie on them
	drawn     []drawn

	outlineFiles outlineFiles
}

// Job reads a job file of fsys and the tables it names, relative to its
// folder. Settings override values of the file; a later one of the same key
// wins. All problems come back at once; with a fault among them there is no
// job. Notes stand in Job.Notes too.
//
// Left out, and so taken for granted with a note where it matters: scope is
// tear-off, rules are us-reroof (metric jobs: metric-falls), taper.scheme is
// chosen by the outlets, a scupper is 12 in wide, insulation has R 5.7 an inch. Which ponds are worth
// reporting is left to the rules; a base, a cover and a greatest thickness are
// none; edges not named are parapets.
//
// Cost: as the file and its tables are long; n log n in vertices.
func Job(fsys fs.FS, name string, set []Setting) (*survey.Job, problem.List) {
	r := &jobReader{fsys: fsys, file: name, from: map[*yaml.Node]string{}, out: table.Tally{File: name}}
	var job *survey.Job
	if root := r.parse(); root != nil {
		r.graft(root, set)
		if f, ok := (item{r: r, n: root}).fields("file"); ok {
			job = r.job(f)
		}
	}
	found := append(r.out.All(), r.more...).Sorted()
	if len(found.Faults()) > 0 {
		return nil, found
	}
	job.Notes = found.Notes()
	return job, found
}

// job reads every part; what is faulty is left empty.
func (r *jobReader) job(f fields) *survey.Job {
	j := &survey.Job{}
	r.head(j, f.get("job"))
	src := r.source(j, f.get("survey"))
	r.asBuilt(j, &src, f.get("asbuilt"))
	r.readAreas(f.get("areas"))
	r.rules(j, f.get("rules"))
	r.taper(j, f.get("taper"))
	r.thermal(j, f.get("thermal"))
	r.foreman(j, f.get("foreman"))
	r.fastening(j, f.get("fastening"))
	r.stock(j, f.get("stock"))
	r.seen(j, f.get("seen"))
	r.ponds(j, f.get("ponds"))
	r.rain(j, f.get("rain"))
	r.checkAreas(j)
	r.checkMarks()
	r.sections(j, f.get("sections"))
	r.lines(j, f.get("lines"))
	r.regions(j, f.get("regions"))
	r.checkDrawn(j)
	r.laidRows(f.get("laid"), f.get("taper"))
	r.scope(j, f.get("scope"), f.get("taper"))
	r.tables(j, src)
	for _, a := range r.areas {
		j.Areas = append(j.Areas, a.Area)
	}
	return j
}

func (r *jobReader) head(j *survey.Job, v item) {
	r.units, r.plan = unit.US, unit.Foot
	f, ok := v.fields("job")
	if !ok {
		if v.absent {
			v.fault("the job has no head", "write job: {name: ..., units: us}, or units: metric")
		}
		return
	}
	if j.Name, ok = f.get("name").text(); !ok && f.get("name").absent {
		j.Name = "unnamed job"
		f.get("name").note("the job has no name", "write a name for the sheets")
	}
	switch u := f.get("units"); u.word("us", "metric") {
	case "us":
		j.Units = unit.US
	case "metric":
		j.Units, r.units, r.plan = unit.Metric, unit.Metric, unit.Metre
	default:
		if u.absent {
			u.fault("units are not stated", "write units: us (feet) or units: metric (metres)")
		}
	}
	if plan := table.BookNamed(f.get("plan").word("ft", "us-ft", "in", "m", "mm")); plan != table.UnsetBook {
		r.plan = plan.One()
	}
	j.NorthDeg, _ = f.get("north").degrees()
}

// stock reads the board table that the job names.
func (r *jobReader) stock(j *survey.Job, v item) {
	name, ok := v.text()
	if !ok {
		return
	}
	in, ok := r.open(v, name)
	if !ok {
		return
	}
	defer in.Close()
	var found problem.List
	j.Stock, found = Stock(in, name)
	r.more = append(r.more, found...)
}

func (r *jobReader) seen(j *survey.Job, v item) {
	if r.tooMany(v) {
		return
	}
	for _, s := range v.list() {
		f, ok := s.fields("seen")
		if !ok {
			continue
		}
		var p survey.SeenPond
		at := f.get("pond")
		if at.absent {
			at.fault("the pond has no outline", "write pond: [[x, y], ...], its wet edge")
		}
		if p.Outline, ok = at.ring(); ok {
			r.simple(at, "pond", p.Outline)
			r.marks = append(r.marks, mark{at, "pond was seen", p.Outline})
		}
		p.Depth, _ = f.get("depth").positive(0, true)
		if h, ok := f.get("hours").text(); ok {
			x, plain := table.Number(h)
			if !plain || x < 0 || x > 1e6 {
				f.get("hours").fault("hours after the rain were expected", "write a number such as 48")
			}
			p.Hours = x
		}
		j.Seen = append(j.Seen, p)
	}
}

func (r *jobReader) ponds(j *survey.Job, v item) {
	f, ok := v.fields("ponds")
	if !ok {
		return
	}
	j.Ponds.Depth, _ = f.get("depth").positive(0, false)
	j.Ponds.Drying, _ = f.get("drying").positive(0, false)
	if a, ok := f.get("area").area(); ok {
		j.Ponds.Area = a
		if a <= 0 {
			f.get("area").fault("must be more than 0", "write an area such as 4 sq ft or 0.4 m2")
		}
	}
}

// tooMany refuses a list longer than any roof has.
func (r *jobReader) tooMany(v item) bool {
	if v.absent || v.n.Kind != yaml.SequenceNode || len(v.n.Content) <= mostItems {
		return false
	}
	v.fault("the list is longer than 2000", "divide the roof into areas, or the job into jobs")
	return true
}
