package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
)

// How often a copy is tried while another process writes, and for how long at the most.
const (
	copyTries = 200
	copyWait  = 700 * time.Millisecond
)

// openSnapshot opens a private copy of the book as it stands now.
func openSnapshot(path string, opts Options) (*Book, error) {
	why, err := whyReadOnly(path, opts)
	if err != nil {
		return nil, err
	}
	to, asOf, err := privateCopy(path, opts, filepath.Dir(path), os.TempDir())
	if err != nil {
		return nil, err
	}
	discard := func() { _ = os.Remove(to) }
	h, met, err := migrateCopy(to, opts)
	if err != nil {
		discard()
		return nil, err
	}
	if errors.Is(met.flaw, ErrDamaged) {
		why += "; " + "a part of it is damaged (bendbook check tells which)"
	}
	db, file, err := openBolt(to, bbolt.Options{ReadOnly: true, Timeout: lockWait}, os.OpenFile)
	if err != nil {
		discard()
		return nil, err
	}
	// The open file is enough where the system allows it: then nothing stays behind, however the program ends.
	if os.Remove(to) == nil {
		discard = func() {}
	}
	return &Book{
		path: path, id: h.ID, db: db, file: file,
		readOnly: fmt.Sprintf("%s; shown as of %s", why, clock(asOf, opts.Now())),
		release:  func() {}, discard: discard,
	}, nil
}

// whyReadOnly finds out who or what keeps the book from being written.
func whyReadOnly(path string, opts Options) (string, error) {
	// A wait of next to nothing makes bbolt try the lock once.
	db, _, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: 1}, opts.openFile)
	if isLocked(err) {
		return busy(path, opts).who(), nil
	}
	if err == nil {
		err = db.Close()
	}
	if err != nil {
		return "", err
	}
	file, err := opts.openFile(path, os.O_RDWR, 0)
	if err != nil {
		return fmt.Sprintf("%s may not be written", filepath.Base(path)), nil
	}
	return fmt.Sprintf("%s was opened for reading only", filepath.Base(path)), file.Close()
}

// privateCopy makes the copy in a file readable by its owner alone, in the first of the folders that can be written and
// has room: beside the book, so that no one's names come to lie elsewhere, or in the system's own, since a full disk should
// keep no one from reading.
func privateCopy(path string, opts Options, folders ...string) (name string, asOf time.Time, err error) {
	for _, folder := range folders {
		var to *os.File
		if to, err = os.CreateTemp(folder, "."+filepath.Base(path)+".view-*"); err != nil {
			continue
		}
		asOf, err = copySteady(path, to, opts.Now)
		if err = also(err, to.Close()); err == nil {
			return to.Name(), asOf, nil
		}
		_ = os.Remove(to.Name())
		if !isFull(err) {
			break
		}
	}
	return "", time.Time{}, err
}

// copySteady copies the book as one transaction left it, while another process may go on writing, and returns as of
// when it is.
//
// bbolt writes a transaction's pages only where the one before it, n, has none: pages that transaction n freed may be
// used by n+1, but what n itself reaches is freed by n+1 at the earliest and written over by n+2, which begins only
// when the meta page of n+1 is on disk (db.go: beginRWTx, freelist ReleasePendingPages; tx.go: Commit). So as long as
// the meta pages read after the copy are those read before it, nothing that n reaches was written over. Had n+1
// shown, n+2 might already have been at work; then the copy is made anew.
func copySteady(path string, to *os.File, now func() time.Time) (asOf time.Time, err error) {
	from, err := os.Open(path)
	if err != nil {
		return time.Time{}, err
	}
	defer from.Close()
	begun := time.Now()
	for range copyTries {
		asOf = now()
		steady, err := copyOnce(from, to)
		if err != nil || steady {
			return asOf, err
		}
		if time.Since(begun) > copyWait {
			break
		}
	}
	return time.Time{}, ErrRestless
}

// source is the book's file as it is read for a copy.
type source interface {
	io.ReaderAt
	Stat() (os.FileInfo, error)
}

// copyOnce copies the book and says whether its meta pages stood still meanwhile.
func copyOnce(from source, to *os.File) (steady bool, err error) {
	before, err := metasOf(from)
	if err != nil {
		return false, err
	}
	if _, err := to.Seek(0, io.SeekStart); err != nil {
		return false, err
	}
	if err := to.Truncate(0); err != nil {
		return false, err
	}
	if _, err := io.CopyN(to, io.NewSectionReader(from, 0, before.length()), before.length()); err != nil {
		return false, err
	}
	after, err := metasOf(from)
	if err != nil {
		return false, err
	}
	if !bytes.Equal(before.raw[0], after.raw[0]) || !bytes.Equal(before.raw[1], after.raw[1]) {
		return false, nil
	}
	// The meta page of n+1 may have been caught half-way by the copy, though neither reading saw it.
	for i, raw := range before.raw {
		if _, err := to.WriteAt(raw, int64(i)*before.current.pageSize); err != nil {
			return false, err
		}
	}
	return true, nil
}

func metasOf(file source) (metas, error) {
	info, err := file.Stat()
	if err != nil {
		return metas{}, err
	}
	return readMetas(file, info.Size())
}

// migrateCopy checks a private copy and brings it up to date.
func migrateCopy(path string, opts Options) (head, tally, error) {
	opts.openFile = os.OpenFile
	h, met, err := look(path, opts, lockWait)
	if err != nil || h.Version == opts.schema.version {
		return h, met, err
	}
	db, file, err := openBolt(path, bbolt.Options{Timeout: lockWait}, opts.openFile)
	if err != nil {
		return head{}, tally{}, err
	}
	h, err = opts.schema.migrate(db, h)
	return h, met, closeAfter(err, db, file)
}
