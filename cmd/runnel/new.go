package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"runnel/survey/read"
)

func newCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a commented starter job that itself runs",
		Args:  cobra.ExactArgs(1),
	}
	cmd.RunE = worked(func(cmd *cobra.Command, args []string) error {
		dir := args[0]
		if err := os.Mkdir(dir, 0o755); errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: there is such a folder or file already; name one that does not exist yet", dir)
		} else if err != nil {
			return fmt.Errorf("%s: cannot make the folder; name one in a folder that may be written: %w", dir, err)
		}
		err := read.WriteStarter(func(name string, data []byte) error {
			return os.WriteFile(filepath.Join(dir, name), data, 0o644)
		})
		if err != nil {
			return fmt.Errorf("write starter job: %w", err)
		}
		fmt.Fprintf(cmd.OutOrStdout(), "A starter job is in %s. Run it: runnel run %s\n", dir, dir)
		return nil
	})
	return cmd
}
