package storage

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"go.etcd.io/bbolt"
)

// Options are how a book is opened. The zero value opens it for reading and writing.
type Options struct {
	// ReadOnly opens a private copy of the book, and leaves the book to whoever has it.
	ReadOnly bool
	// Now tells the time; nil is time.Now.
	Now func() time.Time
	// Copies keeps daily copies of the book in a folder beside it.
	Copies bool
}

func (o Options) now() time.Time {
	if o.Now == nil {
		return time.Now()
	}
	return o.Now()
}

// Book is an open book. Its methods may be called from several goroutines.
type Book struct {
	path string // of the book, also where a copy of it is shown
	id   string
	opts Options

	mu       sync.RWMutex // of all that is here
	db       *bbolt.DB
	file     *os.File // bbolt's own
	readOnly string
	shown    string // the private copy, where one is shown
	closed   bool

	start   opening // of the file as it was left
	journal journal
	notice  string
	copies  copies

	// broken is set after a panic in bbolt, or when it is unsure what is on disk. bbolt may then hold its
	// own locks for ever, so it isn't called again.
	broken atomic.Pointer[error]
}

// Notice says what opening the book had to mend; "" for nothing.
func (b *Book) Notice() string { return b.notice }

// ReadOnly says as of when a book to read only is shown; "" where writing is possible.
func (b *Book) ReadOnly() string {
	b.mu.RLock()
	defer b.mu.RUnlock()
	return b.readOnly
}

// Close gives the book up. It waits for reads and writes that are under way. A second call does nothing.
func (b *Book) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil
	}
	b.closed = true
	var err error
	if b.readOnly == "" && b.broken.Load() == nil {
		err = guarded(b.inPlace)
		if err == nil {
			b.copyOnClosing()
		}
	}
	err = errors.Join(err, b.journal.close(), shut(b.broken.Load() != nil, b.db, b.file))
	_ = os.Remove(b.shown)
	return explain("closing", b.path, err)
}

// view has read see the book as it is now. What it takes from bbolt must be copied.
func (b *Book) view(doing string, read func(*bbolt.Tx) error) error {
	b.mu.RLock()
	defer b.mu.RUnlock()
	return b.run(doing, func() error { return b.db.View(read) })
}

// update saves lines in the journal and what write puts in the book. Both are on disk when it returns nil,
// neither when it doesn't, unless the error is an errUnsure.
func (b *Book) update(doing string, s save, write func(*bbolt.Tx) error) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.run(doing, func() error {
		if b.readOnly != "" {
			return told{fmt.Errorf("%s %s: %w: %s", doing, b.path, errReadOnly, b.readOnly)}
		}
		err := b.inPlace()
		if err == nil && len(s.Lines) > 0 && !b.journal.inPlace() {
			err = b.renewJournal("")
		}
		if err == nil {
			err = guarded(func() error { return b.commit(s, write) })
		}
		if errors.Is(err, errPanic) {
			err = fmt.Errorf("%w (%w)", errUnsure, err)
		}
		if err == nil {
			b.changed()
		}
		return err
	})
}

// commit puts values in the book, and just before that a save in the journal.
func (b *Book) commit(s save, write func(*bbolt.Tx) error) error {
	before := b.journal.at
	err := b.db.Update(func(tx *bbolt.Tx) error {
		err := write(tx)
		if err == nil && len(s.Lines) > 0 {
			err = b.journal.append(s)
		}
		if err == nil {
			err = putHead(tx, head{bookFormat, bookVersion, b.id, b.journal.at})
		}
		return err
	})
	start, unread := startOf(b.file)
	if err != nil { // whether bbolt still has the file mapped
		unread = errors.Join(unread, b.db.View(func(*bbolt.Tx) error { return nil }))
	}
	switch {
	case unread != nil || err != nil && start.pages != b.start.pages:
		err = fmt.Errorf("%w (%w)", errUnsure, cmp.Or(err, unread))
	case err != nil && b.journal.at != before:
		err = errors.Join(err, b.journal.cutTo(before))
	}
	b.start = start
	if errors.Is(err, errUnsure) {
		b.broken.Store(&err)
	}
	return err
}

// opening is how a file begins: its first two pages, and its size. bbolt writes one of these pages at the
// end of each commit: as long as they are the same, nothing was committed.
type opening struct {
	pages string
	size  int64
}

// startOf reads a file's opening. What is missing of its pages is zero, as in no book.
func startOf(file *os.File) (opening, error) {
	pages := make([]byte, 2*pageSize)
	_, err := file.ReadAt(pages, 0)
	if errors.Is(err, io.EOF) {
		err = nil
	}
	info, wrong := file.Stat()
	if err = errors.Join(err, wrong); err != nil {
		return opening{}, err
	}
	return opening{string(pages), info.Size()}, nil
}

// run is the one way to bbolt: what it does to a damaged file comes back as an error.
func (b *Book) run(doing string, do func() error) error {
	if b.closed {
		return explain(doing, b.path, errClosed)
	}
	if broken := b.broken.Load(); broken != nil {
		return explain(doing, b.path, *broken)
	}
	err := guarded(do)
	if errors.Is(err, errPanic) {
		b.broken.Store(&err)
	}
	return explain(doing, b.path, err)
}

// guarded runs do and turns a panic, or a fault in mapped memory, into an error: a damaged page makes bbolt
// follow a wild pointer, and a file that was cut short has nothing behind its mapping.
func guarded(do func() error) (err error) {
	before := debug.SetPanicOnFault(true)
	defer debug.SetPanicOnFault(before)
	defer func() {
		if reason := recover(); reason != nil {
			err = fmt.Errorf("%w (%v)", errPanic, reason)
		}
	}()
	return do()
}

// shut closes a bbolt file, without asking bbolt if that panicked before.
func shut(panicked bool, db *bbolt.DB, file *os.File) error {
	if panicked {
		return errors.Join(unlock(file), file.Close())
	}
	return db.Close()
}
