package read

import (
	_ "embed"
)

//go:embed starter/job.yaml
var starterJob []byte

//go:embed starter/shots.csv
var starterShots []byte

// WriteStarter hands over the files of a job to start from: a commented
// job.yaml and its shot list, an invented rectangular roof with one drain and
// a low spot. It stops at the first error of write.
func WriteStarter(write func(name string, data []byte) error) error {
	if err := write("job.yaml", starterJob); err != nil {
		return err
	}
	return write("shots.csv", starterShots)
}
