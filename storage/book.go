package storage

import (
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"go.etcd.io/bbolt"
)

// Options are how a book is opened. The zero value opens it for reading and writing.
type Options struct {
	// ReadOnly opens a private copy of the book as it stands now, and leaves the book to whoever has it.
	ReadOnly bool
	// Ahead hands the book out once all but its entries was found to be sound: what needs entries, and what writes, waits for the rest. Where
	// that is damaged, it fails then, and so does everything after it; Whole tells. A copy for reading is whole anyway.
	Ahead bool
	// Now tells the time; nil is time.Now.
	Now func() time.Time
	// Program is named to others who find the book open, as in "Bendbook 1.2"; "" is "Bendbook".
	Program string
	// Copies keeps copies of the book in a folder beside it, whenever it is written to: see rolling.go.
	Copies bool

	schema   schema   // the versions that can be read; zero is this program's own
	maxSize  int      // bytes that the file may grow to; 0 is without limit
	openFile openFile // opens the book's file; nil is os.OpenFile
}

// openFile is os.OpenFile, or what a test puts in its place.
type openFile func(name string, flag int, mode os.FileMode) (*os.File, error)

func (o Options) withDefaults() Options {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Program == "" {
		o.Program = "Bendbook"
	}
	if o.schema.version == 0 {
		o.schema = currentSchema()
	}
	if o.openFile == nil {
		o.openFile = os.OpenFile
	}
	return o
}

// Book is an open book. Its methods may be called from several goroutines.
type Book struct {
	path     string // of the book, also where a copy of it is shown
	id       string
	db       *bbolt.DB
	file     *os.File // bbolt's own
	readOnly string
	release  func() // takes back what tells others who has the book; while it is still locked
	discard  func() // removes the private copy that is shown; once it is closed

	walk     *walk                    // nil where the book was whole before it was handed out
	gathered atomic.Pointer[gathered] // nil once it was used, or something was written

	rolling *rolling // nil where no copies are made
	copyErr error
	keeping sync.Mutex
	kept    string // where the book's content lies, once its file has no name any more

	closed atomic.Bool
	// broken is set once bbolt panicked, or failed in a commit in a way that leaves open what is on disk.
	// bbolt may then hold its own locks for ever, so that it is not called again.
	broken atomic.Pointer[error]
}

// Path is the book's file.
func (b *Book) Path() string { return b.path }

// ID is the book's own identifier, given when it was begun.
func (b *Book) ID() string { return b.id }

// ReadOnly says why nothing can be written: who has the book, and as of when it is shown. "" where writing is possible.
func (b *Book) ReadOnly() string { return b.readOnly }

// Close gives the book up. It waits for reads and writes that are under way. A second call does nothing.
func (b *Book) Close() error {
	if b.closed.Swap(true) {
		return nil
	}
	const doing = "closing"
	b.walk.stop()
	if b.rolling != nil && b.broken.Load() == nil {
		b.copyErr = b.rolling.close()
	}
	defer b.discard()
	if b.broken.Load() != nil {
		b.release()
		return abandon(b.file)
	}
	var lost error
	where, named := b.place()
	if where != replaced {
		b.release() // who has the other book there is for that one to say
	}
	if b.readOnly == "" && !named {
		lost = guarded(func() error { return b.inPlace(doing) })
	}
	return also(lost, explain(doing, b.path, b.db.Close()))
}

// CopyFault says, once the book is closed, why the last copy of it that was due could not be made; nil where it was.
func (b *Book) CopyFault() error { return b.copyErr }

// view runs read in a transaction that sees the book as it is now. What read takes from bbolt must be copied.
func (b *Book) view(doing string, read func(*bbolt.Tx) error) error {
	return b.run(doing, func() error { return b.db.View(read) })
}

// update runs write in a transaction that is on disk when update returns nil, and left no trace when it does not.
func (b *Book) update(doing string, write func(*bbolt.Tx) error) error {
	if b.readOnly != "" {
		return explain(doing, b.path, fmt.Errorf("%w: %s", ErrReadOnly, b.readOnly))
	}
	if err := b.Whole(); err != nil {
		return err
	}
	b.gathered.Store(nil)
	var id int // of the transaction; 0 until it has begun
	done := false
	err := b.run(doing, func() error {
		if err := b.inPlace(doing); err != nil {
			return err
		}
		err := b.db.Update(func(tx *bbolt.Tx) error {
			id = tx.ID()
			err := dropStaleTags(tx)
			if err == nil {
				err = write(tx)
			}
			if err == nil {
				err = stampTags(tx)
			}
			done = err == nil
			return err
		})
		if err == nil || !done {
			return err
		}
		return b.afterFailedCommit(id, err)
	})
	if err == nil && b.rolling != nil {
		b.rolling.changed()
	}
	return err
}

// afterFailedCommit finds out whether a commit that failed has left its mark in the file all the same. Then a later
// write would build upon pages that may never have reached the disk.
func (b *Book) afterFailedCommit(id int, err error) error {
	var last int
	look := b.db.View(func(tx *bbolt.Tx) error {
		last = tx.ID()
		return nil
	})
	if look == nil && last < id {
		return err
	}
	err = fmt.Errorf("%w (%w)", ErrUnsure, err)
	b.broken.Store(&err)
	return err
}

// run is the one way to bbolt: what it does to a damaged file comes back as an error.
func (b *Book) run(doing string, do func() error) error {
	if b.closed.Load() {
		return explain(doing, b.path, ErrClosed)
	}
	if broken := b.broken.Load(); broken != nil {
		return explain(doing, b.path, *broken)
	}
	err := guarded(do)
	var caught *caughtPanic
	if errors.As(err, &caught) {
		b.broken.Store(&err)
	}
	return explain(doing, b.path, err)
}

// caughtPanic is what bbolt, or the memory that it mapped, threw.
type caughtPanic struct{ reason any }

// Error implements error.
func (c *caughtPanic) Error() string { return fmt.Sprintf("%v (%v)", ErrDamaged, c.reason) }

// Unwrap makes it an ErrDamaged.
func (c *caughtPanic) Unwrap() error { return ErrDamaged }

// guarded runs do and turns a panic, or a fault in mapped memory, into an error that wraps ErrDamaged: a damaged page
// makes bbolt follow a wild pointer, and a file that was cut short has nothing behind its mapping.
func guarded(do func() error) (err error) {
	before := debug.SetPanicOnFault(true)
	defer debug.SetPanicOnFault(before)
	defer func() {
		if reason := recover(); reason != nil {
			err = &caughtPanic{reason}
		}
	}()
	return do()
}

// abandon gives up a file together with bbolt's lock on it, without asking bbolt.
func abandon(file *os.File) error {
	return also(unlock(file), file.Close())
}
