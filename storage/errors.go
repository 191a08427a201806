package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	berrors "go.etcd.io/bbolt/errors"
)

// Errors on opening a book. The file was not touched.
var (
	ErrEmpty   = errors.New("the file is empty")
	ErrForeign = errors.New("it is not a book of bows")
	ErrNewer   = errors.New("it was written by a newer Bendbook")
	ErrBusy    = errors.New("it is open in another Bendbook")
	ErrItself  = errors.New("it is the book itself")
	// ErrRestless: no moment was found at which a copy for reading could be made.
	ErrRestless = errors.New("another Bendbook writes to it without a pause")
)

// Errors on opening, reading or writing.
var (
	// ErrDamaged: the file is not as it was written. The error says how far the damage is known to go.
	ErrDamaged = errors.New("it is damaged")
	// ErrUnsound: a copy is not whole, so that nothing was made of it.
	ErrUnsound = errors.New("it did not come out whole")
	ErrClosed  = errors.New("the book was closed")
)

// Errors on writing. The book is as it was before.
var (
	ErrReadOnly = errors.New("nothing can be written to it")
	ErrFull     = errors.New("the disk is full")
	ErrTaken    = errors.New("already in the book")
	ErrNoBow    = errors.New("no such bow in the book")
	ErrNoKey    = errors.New("it has no key")
	// ErrMoved: another file, or none, is where the book was when it was opened.
	ErrMoved = errors.New("it was taken away while open")
	// ErrUnsure: the disk failed at the last moment, and only opening the book again shows whether the value was kept.
	ErrUnsure = errors.New("the disk failed while saving")
)

// Error is what went wrong with a book, in one line: what was being done, what is wrong, what to do.
type Error struct {
	Doing string // "opening", "saving a draft in"
	Path  string // the book's file
	Err   error  // wraps one of the errors above, or the system's
	Do    string // what the user can do; "" where Err says so
}

// Error implements error.
func (e *Error) Error() string {
	line := fmt.Sprintf("%s %s: %v", e.Doing, e.Path, e.Err)
	if e.Do != "" {
		line += "; " + e.Do
	}
	return shown(line)
}

// Unwrap gives what went wrong on the disk, for errors.Is and errors.As.
func (e *Error) Unwrap() error { return e.Err }

// opening is what Open does with a book that is there.
const opening = "opening"

// explain puts err into words for the user, once.
func explain(doing, path string, err error) error {
	var known *Error
	var busy *BusyError
	if err == nil || errors.As(err, &known) || errors.As(err, &busy) {
		return err
	}
	e := &Error{Doing: doing, Path: path, Err: err}
	// The path stands in the line already, and the name of the system call helps nobody. What wraps such an error has its own words.
	switch cause := err.(type) {
	case *fs.PathError:
		abs, _ := filepath.Abs(path) // the name that the user gave is told already
		if e.Err = cause.Err; cause.Path != path && cause.Path != abs {
			e.Err = fmt.Errorf("%s: %w", cause.Path, cause.Err)
		}
	case *os.LinkError:
		e.Err = fmt.Errorf("%s: %w", cause.New, cause.Err)
	}
	switch {
	case errors.Is(err, ErrEmpty):
		e.Do = "restore it from a backup, or remove it to begin a new book there"
	case errors.Is(err, ErrForeign):
		e.Do = "choose another file"
	case errors.Is(err, ErrNewer):
		e.Do = "open it with that version, or a later one"
	case errors.Is(err, ErrRestless):
		e.Do = "try again in a moment"
	case errors.Is(err, ErrItself):
		e.Do = "choose another name"
	case errors.Is(err, ErrUnsound), errors.Is(err, ErrDamaged) && doing != opening:
		e.Do = "bendbook check tells what is whole"
	case errors.Is(err, ErrDamaged):
		e.Do = "leave it as it is: bendbook check tells what is whole, restore puts a copy back, rescue saves what can be read"
	case errors.Is(err, ErrReadOnly) && doing == opening:
		e.Do = "open it read-only, or ask its owner for access"
	case errors.Is(err, ErrTaken), errors.Is(err, ErrNoBow), errors.Is(err, ErrNoKey), errors.Is(err, ErrReadOnly):
	case errors.Is(err, ErrUnsure):
		e.Do = "close the book and open it again to see whether it was kept"
	case errors.Is(err, berrors.ErrDatabaseNotOpen):
		e.Err = ErrClosed
	case isFull(err):
		e.Err = fmt.Errorf("%w (%w)", ErrFull, e.Err)
		e.Do = "make room and save again; what was saved before is safe"
	case errors.Is(err, errReadOnlyDisk()):
		e.Do = "open it read-only, or move it to a disk that can be written"
	case errors.Is(err, fs.ErrExist):
		e.Do = "choose another name"
	case errors.Is(err, fs.ErrPermission):
		e.Do = "ask its owner for access, or choose another file"
	case errors.Is(err, fs.ErrNotExist):
		e.Do = "check the name, or choose another file"
	case errors.Is(err, syscall.ENOTDIR):
		e.Do = "a part of the path is a file, not a folder; choose another place"
	case errors.Is(err, syscall.EISDIR):
		e.Do = "it is a folder; name a file in it"
	case errors.As(err, new(syscall.Errno)):
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

// isFull says whether err came of a disk, a quota or a size limit that is used up. bbolt flattens some of these
// errors to text, so the text is looked at too.
func isFull(err error) bool {
	if errors.Is(err, berrors.ErrMaxSizeReached) {
		return true
	}
	for _, full := range fullErrnos() {
		if errors.Is(err, full) || strings.Contains(err.Error(), full.Error()) {
			return true
		}
	}
	return false
}

// errReadOnlyDisk is the system's word for a disk that is mounted for reading only.
func errReadOnlyDisk() error { return syscall.EROFS }

// isLocked says whether another process held the lock for as long as bbolt was told to wait.
func isLocked(err error) bool { return errors.Is(err, berrors.ErrTimeout) }
