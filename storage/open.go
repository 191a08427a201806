package storage

import (
	"cmp"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/oklog/ulid/v2"
	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// lockWait is how long each of the two steps of opening waits for a book that another process has.
const lockWait = 250 * time.Millisecond

// Open opens the book at path, or begins a new one where there is nothing. What it refuses it leaves
// untouched. The error is an ErrBusy where another process has the book; it then may be opened read-only.
func Open(path string, opts Options) (b *Book, err error) {
	found, err := locate(path)
	if _, there := os.Lstat(journalPath(found)); there == nil && errors.Is(err, fs.ErrNotExist) {
		err = errLost // no book is begun where one was lost
	}
	if errors.Is(err, fs.ErrNotExist) && !opts.ReadOnly {
		if err := begin(found, opts.now()); err != nil {
			return nil, explain("beginning the book", path, err)
		}
		found, err = locate(path)
	}
	switch {
	case err != nil:
	case opts.ReadOnly:
		b, err = openCopy(found, opts)
	default:
		b, err = openHeld(found, opts)
	}
	if err != nil {
		return nil, explain("opening", path, err)
	}
	return b, nil
}

// locate is the absolute path of the book's file itself, behind any links. Where there is nothing, it is
// where the file would be, and the error wraps fs.ErrNotExist.
func locate(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path, err
	}
	found, err := filepath.EvalSymlinks(abs)
	if err == nil {
		return found, nil
	}
	if _, linkErr := os.Lstat(abs); linkErr == nil && errors.Is(err, fs.ErrNotExist) {
		// No book is begun behind a link that leads nowhere: its disk may just not be there.
		return abs, errors.New("it is a link to a file that isn't there")
	}
	return abs, err
}

// inspect opens a book's file for reading. It refuses what is surely no book, without waiting for it.
func inspect(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, fmt.Errorf("%w but a folder", errForeign)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%w, nor an ordinary file", errForeign)
	case info.Size() == 0:
		return nil, errEmpty
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	start, err := startOf(file)
	marked := strings.Contains(start.pages, "\xed\xda\x0c\xed") // as bbolt does
	wiped := strings.Trim(start.pages, "\x00") == ""
	if err == nil && !marked && !wiped {
		err = errForeign
	}
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return file, nil
}

// openHeld opens a book for reading and writing, and holds it against others.
func openHeld(path string, opts Options) (*Book, error) {
	t, err := look(path) // bbolt opened for writing may write to a damaged or foreign file
	if err != nil {
		return nil, err
	}
	db, file, err := openBolt(path, bbolt.Options{})
	switch {
	case errors.Is(err, syscall.EROFS):
		return nil, fmt.Errorf("%w: its disk is read-only (%w)", errReadOnly, err)
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("%w (%w)", errReadOnly, err)
	case err != nil:
		return nil, err
	}
	b := &Book{path: path, id: t.head.ID, opts: opts, db: db, file: file}
	b.journal.path = journalPath(path)
	b.start, err = startOf(file) // on Windows bbolt makes the file longer when it opens it
	if err == nil && (b.start.pages != t.start.pages || !stillAt(path, file)) {
		err = errRestless // another process was there between the two steps
	}
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if err := guarded(func() error { return b.reconcile(t) }); err != nil {
		return nil, errors.Join(err, b.journal.close(), shut(errors.Is(err, errPanic), db, file))
	}
	return b, nil
}

// stillAt says whether an open file is the one that has the name.
func stillAt(path string, file *os.File) bool {
	named, err := os.Stat(path)
	opened, wrong := file.Stat()
	return err == nil && wrong == nil && os.SameFile(named, opened)
}

// look reads all of a book. The error is for one that isn't whole.
func look(path string) (t tally, err error) {
	err = read(path, t.verify)
	return t, err
}

// read has do read a book, under a lock that keeps writers out meanwhile.
func read(path string, do func(*bbolt.Tx, *os.File) error) error {
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, PreLoadFreelist: true})
	if err != nil {
		return err
	}
	err = guarded(func() error {
		return db.View(func(tx *bbolt.Tx) error { return do(tx, file) })
	})
	return errors.Join(err, shut(errors.Is(err, errPanic), db, file))
}

// openBolt opens a bbolt file that exists. After a panic in it, no lock stays behind.
func openBolt(path string, how bbolt.Options) (db *bbolt.DB, file *os.File, err error) {
	if file, err = inspect(path); err != nil {
		return nil, nil, err
	}
	_ = file.Close() // it was only read
	how.OpenFile = func(name string, flag int, mode os.FileMode) (*os.File, error) {
		// A file that vanished after it was looked at must not come back empty.
		file, err = os.OpenFile(name, flag&^os.O_CREATE, mode)
		return file, err
	}
	how.Timeout = cmp.Or(how.Timeout, lockWait)
	err = guarded(func() error {
		db, err = bbolt.Open(path, 0o600, &how)
		return err
	})
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		err = ErrBusy
	case errors.Is(err, errPanic):
		err = errors.Join(err, shut(true, nil, file))
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum),
		errors.Is(err, berrors.ErrVersionMismatch):
		err = fmt.Errorf("%w: its first pages (%w)", errDamaged, err)
	}
	return db, file, err
}

// begin lays a new, empty book at path. One that another process made meanwhile is left as it is.
func begin(path string, now time.Time) error {
	id, err := ulid.New(ulid.Timestamp(now), rand.Reader)
	if err != nil {
		return fmt.Errorf("making the book's id: %w", err)
	}
	err = newFile(path, false, func(draft *os.File) error {
		db, err := bbolt.Open(draft.Name(), 0o600, &bbolt.Options{PageSize: pageSize})
		if err != nil {
			return err
		}
		err = db.Update(func(tx *bbolt.Tx) error {
			for _, name := range buckets() {
				if _, err := tx.CreateBucket([]byte(name)); err != nil {
					return err
				}
			}
			return putHead(tx, head{bookFormat, bookVersion, id.String(), position{}})
		})
		return errors.Join(err, db.Close())
	})
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}

// newFile makes a file whole under another name first, with mode 0600, so path never shows a half of it.
// over says whether a file that is there is replaced; otherwise the error wraps fs.ErrExist.
func newFile(path string, over bool, write func(draft *os.File) error) error {
	folder := filepath.Dir(path)
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		if err := errors.Join(os.MkdirAll(folder, 0o700), syncFolder(filepath.Dir(folder))); err != nil {
			return err
		}
	}
	draft, err := os.CreateTemp(folder, "."+filepath.Base(path)+".new-*")
	if err != nil {
		return err
	}
	err = write(draft)
	err = errors.Join(err, draft.Sync(), draft.Close())
	if err == nil && over {
		err = os.Rename(draft.Name(), path)
	} else if err == nil {
		err = layAside(draft.Name(), path)
	}
	if err == nil {
		err = syncFolder(folder)
	}
	if removed := os.Remove(draft.Name()); !errors.Is(removed, fs.ErrNotExist) {
		err = errors.Join(err, removed)
	}
	return err
}

// layAside gives a file another name; where the file system can, it keeps the one that it has until
// something takes its place. The error wraps fs.ErrExist where the name is taken.
func layAside(path, aside string) error {
	err := os.Link(path, aside)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(aside); err == nil {
		return fmt.Errorf("%s: %w", aside, fs.ErrExist)
	}
	return os.Rename(path, aside)
}

// freeName is that name, or with the first number behind it that is free.
func freeName(name string) string {
	numbered := name
	for n := 2; ; n++ {
		if _, err := os.Lstat(numbered); err != nil {
			return numbered
		}
		numbered = fmt.Sprintf("%s-%d", name, n)
	}
}

func sameFile(a, b string) bool {
	first, err := os.Stat(a)
	second, wrong := os.Stat(b)
	return err == nil && wrong == nil && os.SameFile(first, second)
}

// inPlace refuses where the file at the book's path is no longer the one that is open, or was written by
// somebody else: what is written then would be lost, or spoil what is there.
func (b *Book) inPlace() error {
	held, err := b.file.Stat()
	if err != nil {
		return err
	}
	found, err := os.Stat(b.path)
	switch {
	case err == nil && !os.SameFile(held, found):
		return errReplaced
	case errors.Is(err, fs.ErrNotExist):
		if b.journal.inPlace() {
			return errMoved
		}
		return errors.Join(errMoved, b.renewJournal("")) // it was taken away too
	}
	start, err := startOf(b.file)
	if err == nil && start != b.start {
		err = errOverwritten
		b.broken.Store(&err)
	}
	return err
}
