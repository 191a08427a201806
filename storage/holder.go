package storage

import (
	"bytes"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"time"

	"bendbook/model/plain"
)

// Who has a book open is told by a small file beside it. It is a courtesy to the reader of a message; the
// lock on the book itself is what keeps a second writer out.
func holderPath(path string) string { return path + ".holder" }

// hold tells others who has the book, and returns what takes that back. The book must be locked. Where the
// file can't be written, others learn less, and that is all.
func hold(path string, now time.Time) (release func()) {
	who := fmt.Sprintf("process %d", os.Getpid())
	if u, err := user.Current(); err == nil {
		who += " of " + u.Username
	}
	if host, err := os.Hostname(); err == nil {
		who += " on " + host
	}
	who += " since " + now.Format("2006-01-02 15:04")
	release = func() { _ = os.Remove(holderPath(path)) }
	release() // what an earlier holder left would name the wrong one
	_ = os.WriteFile(holderPath(path), []byte(who+"\n"), 0o600)
	return release
}

// heldBy says that another process has the book, and which.
func heldBy(path string) string {
	text := filepath.Base(path) + " is open in another Bendbook"
	if who, err := os.ReadFile(holderPath(path)); err == nil && len(who) > 0 {
		text += fmt.Sprintf(" (%s)", bytes.TrimSpace(who[:min(len(who), 200)]))
	}
	return plain.Line(text)
}

// busy is an ErrBusy that says who has the book, and what to do.
type busy string

// Error implements error.
func (b busy) Error() string { return string(b) }

// Is makes it an ErrBusy.
func (busy) Is(target error) bool { return target == ErrBusy }
