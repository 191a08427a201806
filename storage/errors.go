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

	"bendbook/model/plain"
)

// Errors on opening a book. The file was not touched.
var (
	ErrEmpty   = errors.New("the file is empty")
	ErrForeign = errors.New("it is not a book of bows")
	ErrOld     = errors.New("it was written by an older Bendbook, in a layout that this one can't read")
	ErrNewer   = errors.New("it was written by a newer Bendbook")
	ErrBusy    = errors.New("it is open in another Bendbook")
	ErrItself  = errors.New("it is the book itself")
	// ErrLost: the journal of a book is there, but not the book.
	ErrLost = errors.New("the book is gone, but its journal is there")
	// ErrRestless: no moment was found at which a copy could be made.
	ErrRestless = errors.New("another Bendbook keeps writing to it")
)

// Errors on opening, reading or writing.
var (
	// ErrDamaged: the file is not as it was written.
	ErrDamaged = errors.New("it is damaged")
	// ErrUnsound: a copy is not whole, so nothing was made of it.
	ErrUnsound = errors.New("it didn't come out whole")
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
	// ErrOverwritten: somebody else wrote into the book's file.
	ErrOverwritten = errors.New("it was overwritten while open")
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
	return plain.Line(line)
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
	if errors.Is(err, berrors.ErrDatabaseNotOpen) {
		e.Err = ErrClosed
	} else if isFull(err) {
		e.Err = fmt.Errorf("%w (%w)", ErrFull, e.Err)
	}
	for _, a := range advice(doing == opening) {
		if errors.Is(e.Err, a.err) {
			e.Do = a.do
			return e
		}
	}
	if errors.As(err, new(syscall.Errno)) {
		e.Do = "check the disk, then try again"
	}
	return e
}

// advice is what to do about an error, the first that fits; "" where the error says so.
func advice(opening bool) []struct {
	err error
	do  string
} {
	damaged, readOnly := "see what is whole with bendbook check", ""
	if opening {
		damaged = "leave it as it is: see what is whole with bendbook check, then restore a copy or rescue what can be read"
		readOnly = "open it with --read-only, or ask its owner for access"
	}
	return []struct {
		err error
		do  string
	}{
		{ErrUnsure, "close the book and open it again to see whether it was kept"},
		{ErrEmpty, "restore a copy, or remove it to begin a new book there"},
		{ErrOld, "export with the version that wrote it, then import here"},
		{ErrForeign, "choose another file"},
		{ErrLost, "bring it back with bendbook restore or bendbook rescue"},
		{ErrNewer, "open it with that version, or a later one"},
		{ErrRestless, "try again in a moment"},
		{ErrItself, "choose another name"},
		{ErrUnsound, "see what is whole with bendbook check"},
		{ErrDamaged, damaged},
		{ErrReadOnly, readOnly},
		{ErrFull, "make room and save again; what was saved before is safe"},
		{errReadOnlyDisk(), "open it with --read-only, or move it to a disk that can be written"},
		{fs.ErrExist, "choose another name"},
		{fs.ErrPermission, "ask its owner for access, or choose another file"},
		{fs.ErrNotExist, "check the name, or choose another file"},
		{syscall.ENOTDIR, "a part of the path is a file, not a folder; choose another place"},
		{syscall.EISDIR, "it is a folder; name a file in it"},
	}
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

// isInvalid says whether bbolt found no whole page at the head of a file.
func isInvalid(err error) bool {
	return errors.Is(err, berrors.ErrInvalid) || errors.Is(err, berrors.ErrChecksum) || errors.Is(err, berrors.ErrVersionMismatch)
}

// isLocked says whether another process held the lock for as long as bbolt was told to wait.
func isLocked(err error) bool { return errors.Is(err, berrors.ErrTimeout) }
