package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"runnel/cmd/internal/out"
	"runnel/cmd/internal/pipeline"
	"runnel/render"
	"runnel/render/png"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/read"
)

// jobFile is what a folder given as JOB is looked into for.
const jobFile = "job.yaml"

// sheetDPI is the resolution of the pictures: letter size, 1650 x 1275.
const sheetDPI = 150

func runCommand() *cobra.Command {
	var outDir string
	var asJSON, strict bool
	var set []string
	cmd := &cobra.Command{
		Use:   "run JOB",
		Short: "Do the whole job and write pictures and tables",
		Args:  cobra.ExactArgs(1),
	}
	cmd.Flags().StringVarP(&outDir, "out", "o", "", "folder to write (default: out beside the job)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print summary.json instead of the report")
	cmd.Flags().BoolVar(&strict, "strict", false, "exit 3 when the finished surface does not pass")
	cmd.Flags().StringArrayVar(&set, "set", nil, "override a job key: --set taper.slope='3/8 in/ft'")
	cmd.RunE = worked(func(cmd *cobra.Command, args []string) error {
		r, dir, err := compute(cmd.Context(), args[0], set, pipeline.Taper, cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		if !cmd.Flags().Changed("out") {
			outDir = filepath.Join(dir, "out")
		}
		if err := out.Write(outDir, append(pictures(r), render.Outputs(r)...)); err != nil {
			return err
		}
		if err := printResult(cmd.OutOrStdout(), r, asJSON); err != nil {
			return err
		}
		if !asJSON {
			fmt.Fprintf(cmd.OutOrStdout(), "Pictures and tables are in %s\n", outDir)
		}
		return strictly(r, strict)
	})
	return cmd
}

// stageCommands are run's stages on their own: they print, and write nothing
// but the survey's pictures where asked.
func stageCommands() []*cobra.Command {
	stages := []struct {
		name, short string
		last        pipeline.Stage
	}{
		{"survey", "Fit the surface and say how far it can be trusted", pipeline.Survey},
		{"drainage", "Say where water stands and which way it runs", pipeline.Drainage},
		{"taper", "Lay out the taper and count its boards", pipeline.Taper},
	}
	var cmds []*cobra.Command
	for _, s := range stages {
		var asJSON bool
		var set []string
		var columns, outDir string
		cmd := &cobra.Command{Use: s.name + " JOB", Short: s.short, Args: cobra.ExactArgs(1)}
		if s.last == pipeline.Survey {
			cmd.Use = s.name + " JOB|FILE"
			cmd.Long = s.short + ".\nGiven a survey file on its own, say what it holds; FILE#LAYER is one layer, surface\nor outline of it."
			cmd.Flags().StringVarP(&outDir, "out", "o", "", "of a job: folder to write survey.png and existing.png to")
			cmd.Flags().StringVar(&columns, "columns", "", "columns of a file without header: point,n,e,z,code")
		}
		cmd.Flags().BoolVar(&asJSON, "json", false, "print the figures as summary.json does")
		cmd.Flags().StringArrayVar(&set, "set", nil, "override a job key")
		cmd.RunE = worked(func(cmd *cobra.Command, args []string) error {
			if s.last == pipeline.Survey && isBare(args[0]) {
				if outDir != "" {
					return fmt.Errorf("%s: --out is for a job; a survey file on its own is only told", args[0])
				}
				return surveyFile(cmd.OutOrStdout(), args[0], columns, asJSON)
			}
			if columns != "" {
				return fmt.Errorf("%s: --columns is for a survey file on its own; in a job, write survey.columns", args[0])
			}
			r, _, err := compute(cmd.Context(), args[0], set, s.last, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			if outDir != "" {
				if err := out.Write(outDir, surveyPictures(r)); err != nil {
					return err
				}
			}
			if s.last == pipeline.Survey && !asJSON {
				return render.WriteSurvey(cmd.OutOrStdout(), r)
			}
			return printResult(cmd.OutOrStdout(), r, asJSON)
		})
		cmds = append(cmds, cmd)
	}
	return cmds
}

func printResult(w io.Writer, r *render.Result, asJSON bool) error {
	if asJSON {
		return render.WriteSummary(w, r)
	}
	return render.WriteText(w, r)
}

// compute reads a job and runs it up to a stage; dir is the job's folder.
func compute(ctx context.Context, path string, set []string, last pipeline.Stage,
	errOut io.Writer) (r *render.Result, dir string, err error) {
	job, dir, name, err := readJob(path, set, last)
	if err != nil {
		return nil, "", err
	}
	r, err = pipeline.Run(ctx, job, last, progressOn(errOut))
	if faults := (problem.FaultsError{}); errors.As(err, &faults) {
		err = read.Located(os.DirFS(dir), name, faults.Faults).Err()
	}
	return r, dir, err
}

// orFile is what a stage takes beside a job.
func orFile(s pipeline.Stage) string {
	if s == pipeline.Survey {
		return ", or a survey file, or FILE#LAYER"
	}
	return ""
}

// readJob gives a job, its folder and the name of its file there.
func readJob(path string, set []string, last pipeline.Stage) (job *survey.Job, dir, name string, err error) {
	info, err := os.Stat(path)
	if err != nil {
		why := "no such job"
		if ending := strings.ToLower(filepath.Ext(path)); ending != "" && ending != ".yaml" && ending != ".yml" {
			why = "no such file"
		}
		return nil, "", "", fmt.Errorf("%s: %s; give a job folder or its %s%s", path, why, jobFile, orFile(last))
	}
	dir, name = path, jobFile
	if !info.IsDir() {
		dir, name = filepath.Split(path)
		dir = filepath.Clean(dir)
	}
	settings, err := settingsOf(set)
	if err != nil {
		return nil, "", "", err
	}
	job, problems := read.Job(os.DirFS(dir), name, settings)
	if err := problems.Err(); err != nil {
		return nil, "", "", err
	}
	return job, dir, name, nil
}

// progressOn tells of each stage on a terminal and stays silent elsewhere.
func progressOn(w io.Writer) pipeline.Progress {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil
	}
	return func(stage string, done, total int) { fmt.Fprintf(w, "%s: %d of %d\n", stage, done, total) }
}

func strictly(r *render.Result, strict bool) error {
	for _, a := range r.Areas {
		if strict && a.Proof != nil && !a.Proof.Passes {
			return errDoesNotPass
		}
	}
	return nil
}

// picture is a sheet as a file to write.
func picture(name string, s scene.Scene) render.File {
	return render.File{
		Name:  name + ".png",
		Write: func(w io.Writer) error { return png.Write(w, s, sheetDPI) },
	}
}

// surveyPictures lists the sheets of the survey of a result.
func surveyPictures(r *render.Result) []render.File {
	var files []render.File
	for i := range r.Areas {
		suffix := render.Suffix(r, i)
		files = append(files, picture("survey"+suffix, render.SurveySheet(r, i)),
			picture("existing"+suffix, render.ExistingSheet(r, i)))
	}
	return files
}

// pictures lists the sheets of a result.
func pictures(r *render.Result) []render.File {
	files := surveyPictures(r)
	for i, a := range r.Areas {
		suffix := render.Suffix(r, i)
		files = append(files, picture("ponding"+suffix, render.PondingSheet(r, i)),
			picture("slopes"+suffix, render.SlopesSheet(r, i)))
		if a.Structure != nil {
			files = append(files, picture("structure"+suffix, render.StructureSheet(r, i)))
		}
		for _, s := range render.SectionSheets(r, i) {
			files = append(files, picture(s.Name, s.Scene))
		}
		if a.Design == nil {
			continue
		}
		files = append(files, picture("taper"+suffix, render.TaperSheet(r, i)))
		if a.AsBuilt != nil {
			files = append(files, picture("asbuilt"+suffix, render.AsBuiltSheet(r, i)))
		}
		for _, s := range render.PlacementSheets(r, i) {
			files = append(files, picture(s.Name, s.Scene))
		}
		for _, s := range render.CutSheets(r, i) {
			files = append(files, picture(s.Name, s.Scene))
		}
	}
	return files
}
