// Package out writes the folder of a run whole or not at all.
package out

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"runnel/render"
)

// marker is the file by which Runnel knows a folder as its own. It lists what
// Runnel wrote there, a name a line.
const marker = ".runnel"

// Write makes the folder dir with the given files. All is written into a
// folder beside dir first, so that dir is never half written: on an error, of
// which a full disk and a failing writer are two, dir is as it was and nothing
// is left behind.
//
// A folder that stands there already is replaced only if it is empty, or if
// Runnel made it and it holds nothing else. The folder above must exist. A link is never followed.
func Write(dir string, files []render.File) (err error) {
	dir, err = filepath.Abs(dir)
	if err != nil {
		return fmt.Errorf("find %s: %w", dir, err)
	}
	if err := checkParent(filepath.Dir(dir)); err != nil {
		return err
	}
	if err := checkOwn(dir); err != nil {
		return err
	}
	work, err := os.MkdirTemp(filepath.Dir(dir), marker+"-")
	if err != nil {
		return fmt.Errorf("make a folder beside %s: %w", dir, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(work)) }()
	fresh := filepath.Join(work, "new")
	if err := fill(fresh, files); err != nil {
		return err
	}
	return swap(dir, fresh, filepath.Join(work, "old"))
}

func checkParent(parent string) error {
	info, err := os.Stat(parent)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: no such folder; make it first", parent)
	}
	if err != nil {
		return fmt.Errorf("look at %s: %w", parent, err)
	}
	if !info.IsDir() {
		return fmt.Errorf("%s: is a file, not a folder; name another place", parent)
	}
	return nil
}

// checkOwn gives an error where something stands at dir that is not a folder
// of Runnel's own making.
func checkOwn(dir string) error {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("look at %s: %w", dir, err)
	case info.Mode()&fs.ModeSymlink != 0:
		return fmt.Errorf("%s: is a link, which is not replaced; name the folder itself", dir)
	case !info.IsDir():
		return fmt.Errorf("%s: is a file; name a folder", dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("look into %s: %w", dir, err)
	}
	if len(entries) == 0 {
		return nil
	}
	own, err := ownNames(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !own[e.Name()] && !left(e.Name()) {
			return fmt.Errorf("%s: holds %s, which Runnel did not write; move it away or name another folder",
				dir, e.Name())
		}
	}
	return nil
}

// left says whether a name is the marker, or what file browsers leave in the
// folders that they show.
func left(name string) bool {
	return name == marker || name == ".DS_Store" || name == "Thumbs.db"
}

// ownNames reads the marker of dir.
func ownNames(dir string) (map[string]bool, error) {
	path := filepath.Join(dir, marker)
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: was not made by Runnel and is not replaced; name another folder", dir)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	own := map[string]bool{}
	for name := range strings.Lines(string(data)) {
		own[strings.TrimSuffix(name, "\n")] = true
	}
	return own, nil
}

func fill(dir string, files []render.File) error {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return fmt.Errorf("make %s: %w", dir, err)
	}
	var names strings.Builder
	for _, f := range files {
		if f.Name != filepath.Base(f.Name) || !filepath.IsLocal(f.Name) || strings.HasPrefix(f.Name, ".") ||
			strings.ContainsAny(f.Name, "\\\n") {
			return fmt.Errorf("%q cannot name a file of the output folder", f.Name)
		}
		names.WriteString(f.Name + "\n")
	}
	if err := writeAll(dir, files); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, marker), []byte(names.String()), 0o666); err != nil {
		return fmt.Errorf("write %s: %w", marker, err)
	}
	return nil
}

// writeAll writes the files on all cores, each worker its own; the error is
// that of the first file that failed in the order given.
func writeAll(dir string, files []render.File) error {
	faults := make([]error, len(files))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.NumCPU() {
		wg.Go(func() {
			for n := int(next.Add(1)) - 1; n < len(files); n = int(next.Add(1)) - 1 {
				faults[n] = writeSafely(filepath.Join(dir, files[n].Name), files[n])
			}
		})
	}
	wg.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	return nil
}

// writeSafely writes one file; a writer that panics fails like any other, so
// that nothing is left behind.
func writeSafely(path string, f render.File) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("write %s: a fault of Runnel's own, please report it with the job folder: %v", f.Name, r)
		}
	}()
	if err := writeFile(path, f); err != nil {
		return fmt.Errorf("write %s: %w", f.Name, err)
	}
	return nil
}

// writeFile writes one file that must not be there yet.
func writeFile(path string, f render.File) (err error) {
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	buffered := bufio.NewWriterSize(out, 1<<16)
	if err := f.Write(buffered); err != nil {
		return err
	}
	return buffered.Flush()
}

// swap puts fresh in the place of dir; what stood there goes to old, and comes
// back where fresh cannot take its place.
func swap(dir, fresh, old string) error {
	err := os.Rename(dir, old)
	stood := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("move the old %s away: %w", dir, err)
	}
	if err := os.Rename(fresh, dir); err != nil {
		err = fmt.Errorf("put the new %s in place: %w", dir, err)
		if stood {
			err = errors.Join(err, os.Rename(old, dir))
		}
		return err
	}
	return nil
}
