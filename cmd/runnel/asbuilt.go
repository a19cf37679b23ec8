package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"runnel/cmd/internal/out"
	"runnel/cmd/internal/pipeline"
	"runnel/render"
)

// asBuiltCommand holds shots on the surface as laid against the design.
func asBuiltCommand() *cobra.Command {
	var outDir string
	var asJSON bool
	var set []string
	cmd := &cobra.Command{
		Use:   "asbuilt JOB [SHOTS]",
		Short: "Hold the surface as laid against the design: places out of tolerance, ponds, what to shim",
		Long: "Hold shots on the surface as laid against the design.\n" +
			"SHOTS is a list in the job's folder, read as the job's key asbuilt says; without it the list that the key names.",
		Args: cobra.RangeArgs(1, 2),
	}
	cmd.Flags().StringVarP(&outDir, "out", "o", "", "folder to write asbuilt.csv and asbuilt.png to")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print summary.json instead")
	cmd.Flags().StringArrayVar(&set, "set", nil, "override a job key: --set asbuilt.place='3/8 in'")
	cmd.RunE = worked(func(cmd *cobra.Command, args []string) error {
		if len(args) > 1 {
			set = append(set, "asbuilt.shots="+inFolder(args[0], args[1]))
		}
		r, _, err := compute(cmd.Context(), args[0], set, pipeline.Taper, cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(r.Areas, func(a render.AreaResult) bool { return a.AsBuilt != nil }) {
			return noAsBuilt(r)
		}
		if outDir != "" {
			if err := out.Write(outDir, asBuiltFiles(r)); err != nil {
				return err
			}
		}
		if asJSON {
			return render.WriteSummary(cmd.OutOrStdout(), r)
		}
		return render.WriteAsBuilt(cmd.OutOrStdout(), r)
	})
	return cmd
}

// noAsBuilt says why nothing could be held against a design.
func noAsBuilt(r *render.Result) error {
	for _, a := range r.Areas {
		for _, sh := range a.Area.AsBuilt {
			if sh.Left == "" {
				return fmt.Errorf("area %s has no design to hold the surface as laid against: the job names no taper there", a.Area.Name)
			}
		}
	}
	return errors.New("no shot on the surface as laid lies on the roof; name a list: runnel asbuilt JOB SHOTS, or asbuilt: in the job")
}

// inFolder is a file as the job names it: relative to the job's folder where it
// stands there, else as written.
func inFolder(job, file string) string {
	dir := job
	if info, err := os.Stat(job); err == nil && !info.IsDir() {
		dir = filepath.Dir(job)
	}
	from, err := filepath.Abs(dir)
	if err != nil {
		return file
	}
	to, err := filepath.Abs(file)
	if err != nil {
		return file
	}
	if _, err := os.Stat(to); err != nil {
		return file
	}
	if rel, err := filepath.Rel(from, to); err == nil && !strings.HasPrefix(rel, "..") {
		return filepath.ToSlash(rel)
	}
	return file
}

// asBuiltFiles are the table and the sheets of the surface as laid.
func asBuiltFiles(r *render.Result) []render.File {
	files := []render.File{{Name: "asbuilt.csv", Write: func(w io.Writer) error { return render.WriteAsBuiltCSV(w, r) }}}
	for i, a := range r.Areas {
		if a.AsBuilt != nil {
			files = append(files, picture("asbuilt"+render.Suffix(r, i), render.AsBuiltSheet(r, i)))
		}
	}
	return files
}
