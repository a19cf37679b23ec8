package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// The exit codes.
const (
	exitDone = iota
	exitFailed
	exitWrongUse
	exitDoesNotPass
)

// errDoesNotPass is the answer of --strict.
var errDoesNotPass = errors.New("the finished surface does not pass")

// useError is a wrong command line.
type useError struct{ error }

// run is the whole program but for the process: it returns the exit code.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	root := &cobra.Command{
		Use:           "runnel",
		Short:         "Does this low-slope roof drain, and what makes it drain?",
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.AddCommand(runCommand(), asBuiltCommand(), newCommand())
	root.AddCommand(stageCommands()...)
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return useError{err} })
	root.CompletionOptions.DisableDefaultCmd = true
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	if errors.Is(err, context.Canceled) {
		err = workError{errors.New("stopped; no output folder was written or changed")}
	}
	fmt.Fprintln(errOut, err)
	return codeOf(err)
}

func codeOf(err error) int {
	var use useError
	switch {
	case errors.Is(err, errDoesNotPass):
		return exitDoesNotPass
	case errors.As(err, &use), !startedWork(err):
		return exitWrongUse
	}
	return exitFailed
}

// workError marks an error that came from the work itself; cobra's own errors
// (unknown command, wrong number of words) are wrong use.
type workError struct{ error }

func (e workError) Unwrap() error { return e.error }

func startedWork(err error) bool {
	var w workError
	return errors.As(err, &w)
}

// worked wraps a command so that its errors count as failures of the work.
func worked(f func(cmd *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		if err := f(cmd, args); err != nil {
			return workError{err}
		}
		return nil
	}
}
