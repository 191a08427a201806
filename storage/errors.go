package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"syscall"

	berrors "go.etcd.io/bbolt/errors"

	"bendbook/model/plain"
)

// Problem is what can be wrong, and what the user can do about it; "" where the text says so.
type Problem struct{ what, do string }

// Error implements error.
func (p *Problem) Error() string { return p.what }

// Errors on opening a book. The file was not touched.
var (
	ErrEmpty   = &Problem{"the file is empty", "restore a copy, or remove it to begin a new book there"}
	ErrForeign = &Problem{"it is not a book of bows", "choose another file"}
	ErrOld     = &Problem{"an older Bendbook wrote it, in another layout",
		"export with the version that wrote it, then import here"}
	ErrNewer  = &Problem{"it was written by a newer Bendbook", "open it with that version, or a later one"}
	ErrBusy   = &Problem{"it is open in another Bendbook", "close it there first"}
	ErrItself = &Problem{"it is the book itself", "choose another name"}
	ErrLost   = &Problem{"the book is gone, but its journal is there",
		"bring it back with bendbook restore or bendbook rescue"}
	ErrRestless = &Problem{"another Bendbook keeps writing to it", "try again in a moment"}
)

// Errors on opening, reading or writing.
var (
	ErrDamaged = &Problem{"it is damaged",
		"leave it as it is: see what is whole with bendbook check, then restore a copy or rescue what can be read"}
	ErrUnsound = &Problem{"it didn't come out whole", "see what is whole with bendbook check"} // a copy
	ErrClosed  = &Problem{"the book was closed", ""}
)

// Errors on writing. The book is as it was before, except after ErrUnsure, when only opening it again shows
// what was kept.
var (
	ErrReadOnly = &Problem{"nothing can be written to it", "open it with --read-only, or ask its owner for access"}
	ErrFull     = &Problem{"the disk is full", "make room and save again; what was saved before is safe"}
	ErrTaken    = &Problem{"already in the book", ""}
	ErrNoBow    = &Problem{"no such bow in the book", ""}
	ErrNoKey    = &Problem{"it has no key", ""}
	ErrMoved    = &Problem{"nothing is there now: it was taken away while open", "put it back, then save again"}
	ErrReplaced = &Problem{"another file is there now: it was taken away while open",
		"put this one back, then save again"}
	ErrOverwritten = &Problem{"it was overwritten while open, and nothing was written",
		"close it and open it again: what you saved is in the journal"}
	ErrUnsure = &Problem{"the disk failed while saving",
		"close the book and open it again to see whether it was kept"}
)

// Error is what went wrong with a book, in one line: what was being done, what is wrong, what to do.
type Error struct {
	Doing, Path string // as in "opening", and the book's file
	Err         error  // wraps a Problem, or the system's error
	Do          string // what the user can do; "" where Err says so
}

// Error implements error.
func (e *Error) Error() string {
	line := e.Err.Error()
	if e.Doing != "" {
		line = fmt.Sprintf("%s %s: %s", e.Doing, e.Path, line)
	}
	if e.Do != "" {
		line += "; " + e.Do
	}
	return plain.Line(line)
}

// Unwrap gives what went wrong, for errors.Is and errors.As.
func (e *Error) Unwrap() error { return e.Err }

// explain puts err into words for the user, once.
func explain(doing, path string, err error) error {
	var known *Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	e := &Error{Doing: doing, Path: path, Err: err}
	// The path is named already, and the name of the system call helps nobody.
	if cause, ok := err.(*fs.PathError); ok {
		abs, _ := filepath.Abs(path) // the user may have given another name of it
		if e.Err = cause.Err; cause.Path != path && cause.Path != abs {
			e.Err = fmt.Errorf("%s: %w", cause.Path, cause.Err)
		}
	}
	if isFull(err) {
		e.Err = fmt.Errorf("%w (%w)", ErrFull, e.Err)
	}
	var problem *Problem
	if errors.As(e.Err, &problem) {
		e.Do = problem.do
		return e
	}
	for _, of := range []struct {
		err error
		do  string
	}{
		{errReadOnlyDisk(), "open it with --read-only, or move it to a disk that can be written"},
		{fs.ErrExist, "choose another name"},
		{fs.ErrPermission, "ask its owner for access, or choose another file"},
		{fs.ErrNotExist, "check the name, or choose another file"},
		{syscall.ENOTDIR, "a part of the path is a file, not a folder; choose another place"},
	} {
		if errors.Is(err, of.err) {
			e.Do = of.do
			return e
		}
	}
	if errors.As(err, new(syscall.Errno)) {
		e.Do = "check the disk, then try again"
	}
	return e
}

// also is err with what went wrong besides, in one line; nil where nothing did.
func also(err error, besides ...error) error {
	for _, more := range besides {
		switch {
		case err == nil:
			err = more
		case more != nil:
			err = fmt.Errorf("%w; besides, %w", err, more)
		}
	}
	return err
}

// isFull says whether err came of a disk, a quota or a size limit that is used up. bbolt flattens some of
// these errors to text, so the text is looked at too.
func isFull(err error) bool {
	full := errors.Is(err, berrors.ErrMaxSizeReached)
	for _, errno := range fullErrnos() {
		full = full || errors.Is(err, errno) || strings.Contains(err.Error(), errno.Error())
	}
	return full
}

// errReadOnlyDisk is the system's word for a disk that is mounted for reading only.
func errReadOnlyDisk() error { return syscall.EROFS }

// isLocked says whether another process held the lock for as long as bbolt was told to wait.
func isLocked(err error) bool { return errors.Is(err, berrors.ErrTimeout) }
