package storage

import (
	"bytes"
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

	maxSize int // of the file in bytes; 0 is without limit
	// openFile opens the book's file; nil is os.OpenFile.
	openFile func(name string, flag int, mode os.FileMode) (*os.File, error)
}

func (o Options) withDefaults() Options {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.openFile == nil {
		o.openFile = os.OpenFile
	}
	return o
}

// Book is an open book. Its methods may be called from several goroutines.
type Book struct {
	path string // of the book, also where a copy of it is shown
	id   string
	opts Options

	mu       sync.RWMutex // held for writing by Refresh and Close
	db       *bbolt.DB
	file     *os.File // bbolt's own
	readOnly string
	cleanUp  func() // removes what tells others who has the book, or the private copy that is shown
	closed   bool

	writing sync.Mutex // one write at a time
	start   []byte     // of the file as it was left: see startOf
	size    int64
	journal *journal
	notice  string
	copies  *copies

	// broken is set after a panic in bbolt, or when it is unsure what is on disk. bbolt may then hold its
	// own locks for ever, so it isn't called again.
	broken atomic.Pointer[error]
}

// Notice says what opening the book had to mend; "" for nothing.
func (b *Book) Notice() string { return b.notice }

// ReadOnly says why nothing can be written, and as of when the book is shown; "" where writing is possible.
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
	const doing = "closing"
	var err error
	if b.readOnly == "" && b.broken.Load() == nil {
		err = guarded(func() error { return b.inPlace(doing) })
		if b.copies != nil && err == nil {
			b.copies.closing(b)
		}
	}
	err = also(err, b.journal.close())
	if b.readOnly != "" || stillAt(b.path, b.file) {
		b.cleanUp() // who has another file there is for that one to say
	}
	if b.broken.Load() != nil {
		return explain(doing, b.path, also(err, abandon(b.file)))
	}
	return explain(doing, b.path, also(err, b.db.Close()))
}

// CopyFault says why the copy that was due last couldn't be made; nil where it was.
func (b *Book) CopyFault() error {
	if b.copies == nil {
		return nil
	}
	return b.copies.fault
}

// view runs read in a transaction that sees the book as it is now. What read takes from bbolt must be
// copied.
func (b *Book) view(doing string, read func(*bbolt.Tx) error) error {
	b.mu.RLock()
	defer b.mu.RUnlock()
	return b.run(doing, func() error { return b.db.View(read) })
}

// update saves the lines in the journal and what write puts in the book. Both are on disk when it returns
// nil; when it doesn't, neither is, unless the error is an ErrUnsure.
func (b *Book) update(doing string, lines []line, write func(*bbolt.Tx) error) error {
	b.mu.RLock()
	defer b.mu.RUnlock()
	if b.readOnly != "" {
		return &Error{Doing: doing, Path: b.path, Err: fmt.Errorf("%w: %s", ErrReadOnly, b.readOnly)}
	}
	b.writing.Lock()
	defer b.writing.Unlock()
	return b.run(doing, func() error {
		err := b.inPlace(doing)
		if err == nil && len(lines) > 0 && !b.journal.inPlace() {
			err = b.renewJournal("")
		}
		if err == nil {
			err = guarded(func() error { return b.commit(lines, write) })
		}
		if errors.Is(err, errPanic) {
			err = fmt.Errorf("%w (%w)", ErrUnsure, err)
		}
		if err == nil && b.copies != nil {
			b.copies.changed(b)
		}
		return err
	})
}

// commit puts values in the book, and just before that the lines in the journal: a line that the book lacks
// is added on opening.
func (b *Book) commit(lines []line, write func(*bbolt.Tx) error) error {
	before := b.journal.at
	err := b.db.Update(func(tx *bbolt.Tx) error {
		err := write(tx)
		if err == nil && len(lines) > 0 {
			err = b.journal.append(lines)
		}
		if err == nil {
			err = putHead(tx, head{bookFormat, bookVersion, b.id, b.journal.at})
		}
		return err
	})
	start, size, unread := startOf(b.file)
	if err != nil { // whether bbolt still has the file mapped
		unread = also(unread, b.db.View(func(*bbolt.Tx) error { return nil }))
	}
	changed := 0
	for _, page := range []int{0, pageSize} {
		if len(start) != len(b.start) || !bytes.Equal(start[page:page+pageSize], b.start[page:page+pageSize]) {
			changed++
		}
	}
	switch {
	case unread != nil || changed > 1 || err != nil && changed > 0:
		err = fmt.Errorf("%w (%w)", ErrUnsure, cmp.Or[error](err, unread, ErrOverwritten))
	case err != nil && b.journal.at != before:
		err = also(err, b.journal.cutTo(before))
	}
	b.start, b.size = start, size
	if errors.Is(err, ErrUnsure) {
		b.broken.Store(&err)
	}
	return err
}

// startOf reads the first two pages of a book's file. bbolt writes one of them at the end of each commit:
// as long as they are the same, nothing was committed.
func startOf(file *os.File) (start []byte, size int64, err error) {
	info, err := file.Stat()
	if err != nil {
		return nil, 0, err
	}
	start = make([]byte, 2*pageSize)
	if _, err = file.ReadAt(start, 0); errors.Is(err, io.EOF) {
		err = nil // the rest is zero, as in no book
	}
	return start, info.Size(), err
}

// run is the one way to bbolt: what it does to a damaged file comes back as an error.
func (b *Book) run(doing string, do func() error) error {
	if b.closed {
		return explain(doing, b.path, ErrClosed)
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

// errPanic is what bbolt, or the memory that it mapped, threw.
var errPanic = fmt.Errorf("%w: its pages lead nowhere", ErrDamaged)

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

// closeAfter closes a bbolt file after err, without asking bbolt if that panicked.
func closeAfter(err error, db *bbolt.DB, file *os.File) error {
	if errors.Is(err, errPanic) {
		return abandon(file)
	}
	return db.Close()
}

// abandon gives up a file together with bbolt's lock on it.
func abandon(file *os.File) error { return also(unlock(file), file.Close()) }
