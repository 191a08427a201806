package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"syscall"

	"bendbook/model/plain"
)

// problem is what can be wrong, and what the user can do about it; "" where the text says so.
type problem struct{ what, do string }

func (p *problem) Error() string { return p.what }

// Errors on opening a book. The file was not touched.
var (
	errEmpty   = &problem{"the file is empty", "restore a copy, or remove it to begin a new book there"}
	errForeign = &problem{"it isn't a book of bows", "choose another file"}
	errVersion = &problem{"another version of Bendbook wrote it",
		"export with the version that wrote it, then import here"}
	ErrBusy   = &problem{"it is open in another Bendbook", "close it there first"}
	errItself = &problem{"it is the book itself", "choose another name"}
	errLost   = &problem{"the book is gone, but its journal is there",
		"bring it back with bendbook restore or bendbook rescue"}
	errRestless = &problem{"another Bendbook keeps writing to it", "try again in a moment"}
)

// Errors on opening, reading or writing.
var (
	errDamaged = &problem{"it is damaged",
		"leave it as it is, and run bendbook check; then restore a copy, or rescue it"}
	errClosed = &problem{"the book was closed", ""}
	errSum    = fmt.Errorf("%w: its checksum doesn't fit", errDamaged)
	errPanic  = fmt.Errorf("%w: its pages lead nowhere", errDamaged) // bbolt, or memory that it mapped, threw
)

// Errors on writing. The book is as it was before, except after errUnsure, when only opening it again shows
// what was kept.
var (
	errReadOnly = &problem{"nothing can be written to it",
		"open it with --read-only, or ask its owner for access"}
	errTaken = &problem{"already in the book", ""}
	errNoBow = &problem{"no such bow in the book", ""}
	errNoKey = &problem{"it has no key", ""}
	errMoved = &problem{"the file was moved or deleted while open",
		"put it back and save again, or run bendbook rescue"}
	errReplaced = &problem{"another file took its place while open",
		"put this one back, then save again"}
	errOverwritten = &problem{"it was overwritten while open; nothing was saved to it",
		"close it and open it again: what you saved is in the journal"}
	errUnsure = &problem{"the disk failed while saving",
		"close the book and open it again to see if the entry was saved"}
)

// told is an error in one line: what was being done to which file, what is wrong, what to do.
type told struct{ error }

func (t told) Error() string {
	return plain.Line(strings.ReplaceAll(t.error.Error(), "\n", "; besides, "))
}

// Unwrap gives what went wrong, for errors.Is and errors.As.
func (t told) Unwrap() error { return t.error }

type joined interface{ Unwrap() []error }

// explain puts err into words for the user, once.
func explain(doing, path string, err error) error {
	if err == nil || errors.As(err, new(told)) {
		return err
	}
	for list, ok := err.(joined); ok && len(list.Unwrap()) == 1; list, ok = err.(joined) {
		err = list.Unwrap()[0]
	}
	do := toDo(err)
	// The path is named already, and the name of the system call helps nobody.
	if cause, ok := err.(*fs.PathError); ok {
		abs, _ := filepath.Abs(path) // the user may have given another name of it
		if err = cause.Err; cause.Path != path && cause.Path != abs {
			err = fmt.Errorf("%s: %w", cause.Path, cause.Err)
		}
	}
	if do != "" {
		do = "; " + do
	}
	return told{fmt.Errorf("%s %s: %w%s", doing, path, err, do)}
}

// toDo is what the user can do about an error; "" where its text says so.
func toDo(err error) string {
	var p *problem
	if errors.As(err, &p) {
		return p.do
	}
	const room = "make room and save again; what you saved before is safe"
	for _, system := range []struct {
		err error
		do  string
	}{
		{syscall.ENOSPC, room}, {syscall.EDQUOT, room}, {syscall.EFBIG, room},
		{syscall.EROFS, "open it with --read-only, or move it to another disk"},
		{fs.ErrExist, "choose another name"},
		{fs.ErrPermission, "ask its owner for access, or choose another file"},
		{fs.ErrNotExist, "check the name, or choose another file"},
		{syscall.ENOTDIR, "a part of the path is a file, not a folder; choose another place"},
	} {
		if errors.Is(err, system.err) || strings.Contains(err.Error(), system.err.Error()) { // bbolt flattens some
			return system.do
		}
	}
	if errors.As(err, new(syscall.Errno)) {
		return "check the disk, then try again"
	}
	return ""
}
