package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/user"
	"path/filepath"
	"syscall"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// copyWait is how long a copy is tried while another process writes.
const copyWait = 700 * time.Millisecond

// openCopy opens a private copy of the book as it stands now.
func openCopy(path string, opts Options) (*Book, error) {
	to, start, err := privateCopy(path)
	if err != nil {
		return nil, err
	}
	b := &Book{path: path, opts: opts, start: start, cleanUp: func() { _ = os.Remove(to) }}
	defer b.cleanUp() // the open file is enough, except on Windows
	held := errors.Is(notHeld(path), ErrBusy)
	why := whyReadOnly(path, held)
	t, flaw := look(to)
	if flaw != nil && (t.bows == 0 || !errors.Is(flaw, errDamaged)) {
		return nil, flaw
	} else if flaw != nil {
		why += "; part of it is damaged: see bendbook check"
	}
	b.readOnly = fmt.Sprintf("%s; shown as of %s", why, opts.now().Format("15:04"))
	if flaw == nil && !held { // a holder has looked at the journal already
		came, err := addFromJournal(to, journalPath(path), t.head)
		if err != nil {
			return nil, err
		}
		if came.lines() > 0 {
			b.notice = came.back() + " came from the journal."
		}
	}
	b.db, b.file, err = openBolt(to, bbolt.Options{ReadOnly: true})
	return b, err
}

// addFromJournal adds to a copy of a book what only the journal has, and says what came: the power was cut,
// or an older book was put back, and nobody has opened it for writing since.
func addFromJournal(path, journal string, h head) (came tally, err error) {
	file, err := os.Open(journal)
	if err != nil {
		return came, nil // check says what is wrong with it
	}
	defer file.Close()
	text, same, err := sinceKnown(file, h.Journal)
	if err != nil || same || text.foreign(h.ID) {
		return came, err
	}
	db, bolt, err := openBolt(path, bbolt.Options{})
	if err != nil {
		return came, err
	}
	err = finish(db, bolt, func() error {
		return db.Update(func(tx *bbolt.Tx) error {
			return came.addMissing(tx, text.saves, make(map[place]bool))
		})
	})
	return came, err
}

// Refresh brings a read-only book up to what its holder has written since; changed says whether anything
// came. A book open for writing never changes by itself.
func (b *Book) Refresh() (changed bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	defer func() { err = explain("reading", b.path, err) }()
	if b.readOnly == "" || b.closed {
		return false, nil
	}
	file, err := os.Open(b.path)
	if err != nil {
		return false, err
	}
	start, err := startOf(file)
	if err = errors.Join(err, file.Close()); err != nil || start == b.start {
		return false, err
	}
	fresh, err := openCopy(b.path, b.opts)
	if err != nil {
		return false, err
	}
	err = shut(b.broken.Swap(nil) != nil, b.db, b.file)
	b.cleanUp()
	b.db, b.file, b.start = fresh.db, fresh.file, fresh.start
	b.readOnly, b.cleanUp = fresh.readOnly, fresh.cleanUp
	return true, err
}

// whyReadOnly finds out who or what keeps the book from being written.
func whyReadOnly(path string, held bool) string {
	if held {
		return heldBy(path)
	}
	name := plain.Line(filepath.Base(path))
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	switch {
	case errors.Is(err, syscall.EROFS):
		return name + " is on a read-only disk"
	case err != nil:
		return name + " is write-protected"
	}
	_ = file.Close() // nothing was written
	return name + " was opened for reading only"
}

// notHeld refuses a book that another process has, whatever else is wrong with it.
func notHeld(path string) error {
	// bbolt takes the lock before it looks at what is in the file.
	db, _, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: 1}) // tries once
	switch {
	case err == nil:
		return db.Close()
	case errors.Is(err, ErrBusy):
		return err
	}
	return nil
}

// privateCopy copies the book to a file readable by its owner alone: beside the book, or in the system's
// own folder where there is no room or no right to write.
func privateCopy(path string) (name string, start opening, err error) {
	for _, folder := range []string{filepath.Dir(path), os.TempDir()} {
		var to *os.File
		if to, err = os.CreateTemp(folder, "."+filepath.Base(path)+".view-*"); err != nil {
			continue
		}
		start, err = copySteady(path, to)
		if err = errors.Join(err, to.Close()); err == nil {
			return to.Name(), start, nil
		}
		_ = os.Remove(to.Name())
	}
	return "", start, err
}

// copySteady copies the book as one transaction left it, while another process may go on writing.
//
// bbolt ends a transaction by writing one of the first two pages, and what transaction n reaches is written
// over by n+2 at the earliest, after n+1 ended. So as long as these pages are the same before and after,
// nothing that they reach has changed.
func copySteady(path string, to *os.File) (start opening, err error) {
	from, err := inspect(path)
	if err != nil {
		return start, err
	}
	defer from.Close()
	for begun := time.Now(); time.Since(begun) < copyWait; {
		if start, err = startOf(from); err != nil {
			return start, err
		}
		_, err = io.Copy(io.NewOffsetWriter(to, 0), io.NewSectionReader(from, 0, start.size))
		if err == nil {
			err = to.Truncate(start.size)
		}
		if err == nil { // a page may have been caught half-written that neither reading sees
			_, err = to.WriteAt([]byte(start.pages), 0)
		}
		after, unread := startOf(from)
		if err = errors.Join(err, unread); err != nil || after.pages == start.pages {
			return start, err
		}
	}
	return start, errRestless
}

// Who has a book open is told by a small file beside it. It is a courtesy to the reader of a message; the
// lock on the book itself is what keeps a second writer out.
func holderPath(path string) string { return path + ".holder" }

// hold tells others who has the book, and returns what takes that back. The book must be locked.
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

func (b busy) Error() string { return string(b) }

// Is makes it an ErrBusy.
func (busy) Is(target error) bool { return target == ErrBusy }
