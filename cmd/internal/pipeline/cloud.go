package pipeline

import (
	"context"
	"errors"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/problem"
)

// clouds is job with the point clouds of its areas made into shots, and what
// became of each, beside the areas; nil where there is none. Faults of all areas
// come together.
func clouds(ctx context.Context, job *survey.Job, tell Progress) (*survey.Job, []*fit.CloudReport, error) {
	reports := make([]*fit.CloudReport, len(job.Areas))
	if job.Survey.None {
		return job, reports, nil
	}
	out := *job
	out.Areas = slices.Clone(job.Areas)
	out.Notes = slices.Clone(job.Notes)
	var faults problem.List
	for i, a := range job.Areas {
		if !fit.IsCloud(a) {
			continue
		}
		opt := fit.CloudOptions{FloorIn: floorIn(job.Survey), Units: job.Units,
			Progress: func(done, total int) { tell("thin point cloud of area "+a.Name, done, total) }}
		if job.Taper != nil {
			opt.AxesDeg = job.Taper.AxesDeg
		}
		shots, r, err := fit.CloudShots(ctx, a, opt)
		var p problem.Problem
		switch {
		case errors.As(err, &p):
			faults.Add(p)
			continue
		case err != nil:
			return nil, nil, err
		}
		out.Areas[i], reports[i] = shots, r
		out.Notes = append(out.Notes, r.Notes...)
	}
	if err := faults.Err(); err != nil {
		return nil, nil, err
	}
	return &out, reports, nil
}

// fromTheAir are words of a job's method and instrument that tell of a cloud
// made of photographs from the air.
const fromTheAir = "drone uav uas photogrammetry photogrammetric photographs"

// floorIn is the least standard error of a surface from a point cloud: as the
// job states it, else by how the cloud was made, in inches.
func floorIn(s survey.Source) float64 {
	if s.ReadingError > 0 {
		return s.ReadingError.Inches()
	}
	air := strings.Fields(fromTheAir)
	apart := func(r rune) bool { return !('a' <= r && r <= 'z') }
	for _, w := range strings.FieldsFunc(strings.ToLower(s.Evidence.Method+" "+s.Evidence.Instrument), apart) {
		if slices.Contains(air, w) || slices.Contains(air, strings.TrimSuffix(w, "s")) {
			return fit.DroneFloorIn
		}
	}
	return fit.FloorIn
}

// fitOptions are those of the fit of an area.
func (p plan) fitOptions(area string, cloud *fit.CloudReport) fit.Options {
	opt := fit.Options{Progress: p.step("fit surface of area " + area)}
	if cloud == nil {
		opt.ReadingErrorIn = p.job.Survey.ReadingError.Inches()
	} else {
		opt.FloorIn = cloud.FloorIn
	}
	return opt
}

// cloudNote is what a report says of a cloud where it tells of the fit.
func cloudNote(p plan, cloud *fit.CloudReport) string {
	if cloud == nil {
		return ""
	}
	return strings.Join(cloud.Words(p.job.Units), "; ")
}
