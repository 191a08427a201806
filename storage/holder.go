package storage

import (
	"encoding/json"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"
)

// Holder is who has a book open, as told by a small file beside it. It is a courtesy to the reader of a message; the
// lock on the book itself is what keeps a second writer out.
type Holder struct {
	PID     int       `json:"pid"`
	Host    string    `json:"host"`
	User    string    `json:"user"`
	Since   time.Time `json:"since"`
	Program string    `json:"program"`
}

// BusyError says who has the book. It is an ErrBusy.
type BusyError struct {
	Path   string
	Holder Holder // zero where the other process has not said who it is
	now    time.Time
}

// Error implements error. How to look at the book meanwhile is for the caller to add.
func (b *BusyError) Error() string {
	return fmt.Sprintf("%s; close it there first", b.who())
}

// Is makes it an ErrBusy.
func (b *BusyError) Is(target error) bool { return target == ErrBusy }

// who is the first half of the message.
func (b *BusyError) who() string {
	text := fmt.Sprintf("%s is open in another Bendbook", filepath.Base(b.Path))
	h := b.Holder
	if h.PID == 0 {
		return shown(text)
	}
	who := []string{fmt.Sprintf("process %d", h.PID)}
	if h.User != "" {
		who = append(who, fmt.Sprintf("of %s", h.User))
	}
	if h.Host != "" {
		who = append(who, fmt.Sprintf("on %s", h.Host))
	}
	if !h.Since.IsZero() {
		who = append(who, fmt.Sprintf("since %s", clock(h.Since, b.now)))
	}
	return shown(text + " (" + strings.Join(who, " ") + ")")
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
	return &BusyError{Path: path, Holder: readHolder(path), now: opts.Now()}
}

// readHolder reads who has the book; zero where that cannot be told.
func readHolder(path string) Holder {
	const longest = 4096
	doc, err := os.ReadFile(holderPath(path))
	var h Holder
	if err != nil || len(doc) > longest || !utf8.Valid(doc) || json.Unmarshal(doc, &h) != nil {
		return Holder{}
	}
	return h
}

// hold tells others who has the book, and returns what takes that back. The book must be locked, so that the file
// is this process's own. Where it cannot be written, others learn less, and that is all.
func hold(path string, opts Options) (release func()) {
	h := Holder{PID: os.Getpid(), Host: host(), User: userName(), Since: opts.Now().Truncate(time.Second), Program: opts.Program}
	doc, err := json.Marshal(h)
	if err == nil {
		err = replaceFile(holderPath(path), append(doc, '\n'))
	}
	if err != nil {
		// What an earlier holder left behind would name the wrong one.
		_ = os.Remove(holderPath(path))
		return func() {}
	}
	return func() { _ = os.Remove(holderPath(path)) }
}

// replaceFile puts a whole file, readable by its owner alone, in the place of another.
func replaceFile(path string, content []byte) error {
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	_, err = file.Write(content)
	if err = also(err, file.Close()); err == nil {
		err = os.Rename(file.Name(), path)
	}
	if err != nil {
		return also(err, os.Remove(file.Name()))
	}
	return nil
}

func host() string {
	name, err := os.Hostname()
	if err != nil {
		return ""
	}
	name, _, _ = strings.Cut(name, ".")
	return name
}

func userName() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	return u.Username
}
