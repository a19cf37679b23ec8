package main

import (
	"fmt"
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
		if err := os.Mkdir(dir, 0o755); err != nil {
			return fmt.Errorf("%s: cannot make the folder; name one that does not exist yet: %w", dir, err)
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
