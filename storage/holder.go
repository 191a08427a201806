package storage

import (
	"encoding/json"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"time"

	"bendbook/model/plain"
)

// Holder is who has a book open, as told by a small file beside it. It is a courtesy to the reader of a message; the
// lock on the book itself is what keeps a second writer out.
type Holder struct {
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	User  string    `json:"user"`
	Since time.Time `json:"since"`
}

// BusyError says who has the book. It is an ErrBusy.
type BusyError struct {
	Path   string
	Holder Holder // zero where the other process has not said who it is
	now    time.Time
}

// Error implements error. How to look at the book meanwhile is for the caller to add.
func (b *BusyError) Error() string { return b.who() + "; close it there first" }

// Is makes it an ErrBusy.
func (b *BusyError) Is(target error) bool { return target == ErrBusy }

// who is the first half of the message.
func (b *BusyError) who() string {
	text := filepath.Base(b.Path) + " is open in another Bendbook"
	h := b.Holder
	if h.PID != 0 {
		text += fmt.Sprintf(" (process %d", h.PID)
		if h.User != "" {
			text += " of " + h.User
		}
		if h.Host != "" {
			text += " on " + h.Host
		}
		if !h.Since.IsZero() {
			text += " since " + clock(h.Since, b.now)
		}
		text += ")"
	}
	return plain.Line(text)
}

// clock is t as one says it at the time now: without the day where it is the same.
func clock(t, now time.Time) string {
	t = t.In(now.Location())
	if t.Format(time.DateOnly) == now.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return t.Format("2006-01-02 15:04")
}

func holderPath(path string) string { return path + ".holder" }

// busy is the error for a book that another process has.
func busy(path string, opts Options) *BusyError {
	b := &BusyError{Path: path, now: opts.Now()}
	doc, err := os.ReadFile(holderPath(path))
	if err != nil || json.Unmarshal(doc, &b.Holder) != nil {
		b.Holder = Holder{}
	}
	return b
}

// hold tells others who has the book, and returns what takes that back. The book must be locked, so the file is this
// process's own. Where it can't be written, others learn less, and that is all.
func hold(path string, opts Options) (release func()) {
	h := Holder{PID: os.Getpid(), Since: opts.Now().Truncate(time.Second)}
	if name, err := os.Hostname(); err == nil {
		h.Host, _, _ = strings.Cut(name, ".")
	}
	if u, err := user.Current(); err == nil {
		h.User = u.Username
	}
	release = func() { _ = os.Remove(holderPath(path)) }
	release() // what an earlier holder left would name the wrong one
	if doc, err := json.Marshal(h); err == nil {
		_ = os.WriteFile(holderPath(path), append(doc, '\n'), 0o600)
	}
	return release
}
