package table

import (
	"errors"
	"fmt"
	"io/fs"
)

// What may stand where a file should.
var (
	errFolder    = errors.New("a folder")
	errIrregular = errors.New("no regular file")
)

// Open opens a regular file. What it is is asked before it is opened, since
// opening a pipe waits for whoever writes to it, and asked of the open file
// again, since it may have been exchanged.
func Open(fsys fs.FS, name string) (fs.File, error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, err
	}
	if err := regular(info); err != nil {
		return nil, err
	}
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = regular(info)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// regular refuses folders, pipes, devices and sockets.
func regular(info fs.FileInfo) error {
	switch {
	case info.IsDir():
		return errFolder
	case !info.Mode().IsRegular():
		return errIrregular
	}
	return nil
}

// FileTrouble says why a file cannot be read.
func FileTrouble(err error) (why, mend string) {
	switch {
	case errors.Is(err, errFolder):
		return "a folder stands where a file was expected", "name the file in it"
	case errors.Is(err, errIrregular):
		return "is not a regular file", "name a file"
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file", "check the name and the folder"
	case errors.Is(err, fs.ErrPermission):
		return "the file may not be read", "change its permissions"
	case errors.Is(err, fs.ErrInvalid):
		return "the name is no file name", "write a name such as shots.csv"
	}
	return fmt.Sprintf("the file cannot be read: %v", err), "check the file"
}
