package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	berrors "go.etcd.io/bbolt/errors"
)

// forbid is a disk that refuses to open files with any of these flags; the zero flag is O_RDONLY. The rights of the
// file itself are set too, but a test may be run by one whom they do not bind.
func forbid(t *testing.T, path string, mode os.FileMode, forbidden func(flag int) bool) openFile {
	t.Helper()
	must(t, os.Chmod(path, mode))
	t.Cleanup(func() { must(t, os.Chmod(path, 0o600)) })
	return func(name string, flag int, mode os.FileMode) (*os.File, error) {
		if forbidden(flag) {
			return nil, &fs.PathError{Op: "open", Path: name, Err: syscall.EACCES}
		}
		return os.OpenFile(name, flag, mode)
	}
}

func TestABookThatMayNotBeWrittenCanBeRead(t *testing.T) {
	path := begin(t, 3)
	before := readFile(t, path)
	disk := forbid(t, path, 0o400, func(flag int) bool { return flag&(os.O_RDWR|os.O_WRONLY) != 0 })
	_, err := Open(path, Options{openFile: disk})
	want := "opening " + path + ": nothing can be written to it (open " + path + ": permission denied); open it read-only, or ask its owner for access"
	if !errors.Is(err, ErrReadOnly) || !errors.Is(err, fs.ErrPermission) || err.Error() != want {
		t.Errorf("got %v", err)
	}
	view, err := Open(path, Options{openFile: disk, ReadOnly: true, Now: noon})
	must(t, err)
	if items, err := view.Items("b1"); err != nil || len(items) != 3 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	if got, want := view.ReadOnly(), "ash.book may not be written; shown as of 12:00"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	must(t, view.Close())
	if !bytes.Equal(readFile(t, path), before) {
		t.Error("the file was changed")
	}
}

func TestABookThatMayNotBeReadSaysSo(t *testing.T) {
	path := begin(t, 3)
	disk := forbid(t, path, 0, func(int) bool { return true })
	want := "opening " + path + ": permission denied; ask its owner for access, or choose another file"
	for _, readOnly := range []bool{false, true} {
		if _, err := Open(path, Options{openFile: disk, ReadOnly: readOnly}); !errors.Is(err, fs.ErrPermission) || err.Error() != want {
			t.Errorf("got %v", err)
		}
	}
}

func TestWhatIsInTheWayOfABookIsNamed(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "file")
	must(t, os.WriteFile(file, []byte("x"), 0o600))
	nowhere := filepath.Join(folder, "nowhere")
	for _, c := range []struct {
		path     string
		readOnly bool
		want     string
	}{
		{folder, false, "opening " + folder + ": it is not a book of bows but a folder; choose another file"},
		{filepath.Join(file, "ash.book"), false, "a part of the path is a file, not a folder; choose another place"},
		{nowhere, true, "no such file or directory; check the name, or choose another file"},
	} {
		_, err := Open(c.path, Options{ReadOnly: c.readOnly})
		if err == nil || !strings.HasSuffix(err.Error(), c.want) || !strings.Contains(err.Error(), c.path) {
			t.Errorf("%s: got %v, want %q", c.path, err, c.want)
		}
	}
	if left, err := os.ReadDir(folder); err != nil || len(left) != 1 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestABookBehindALink(t *testing.T) {
	path := begin(t, 3)
	folder := t.TempDir()
	link, dead := filepath.Join(folder, "link.book"), filepath.Join(folder, "dead.book")
	if err := os.Symlink(path, link); err != nil {
		t.Logf("this system makes no links: %v", err)
		return
	}
	must(t, os.Symlink(filepath.Join(folder, "not", "there"), dead))
	book := open(t, link, Options{})
	if _, err := os.Stat(holderPath(path)); err != nil {
		t.Errorf("the holder's name is not beside the book itself: %v", err)
	}
	// Whichever way the second comes, it meets the same lock.
	if _, err := Open(path, Options{}); !errors.Is(err, ErrBusy) {
		t.Errorf("got %v", err)
	}
	must(t, book.Close())
	if _, err := Open(dead, Options{}); err == nil || !strings.Contains(err.Error(), "it is a link to a file that is not there") {
		t.Errorf("got %v", err)
	}
}

func TestErrorsAreOneLineThatSaysWhatToDo(t *testing.T) {
	const path = "/shop/ash.book"
	at := func(err error) error { return &fs.PathError{Op: "open", Path: path, Err: err} }
	for _, c := range []struct {
		err  error
		is   error
		line string
	}{
		{at(fs.ErrPermission), fs.ErrPermission, "permission denied; ask its owner for access, or choose another file"},
		{&fs.PathError{Op: "mkdir", Path: "/shop", Err: syscall.EROFS}, syscall.EROFS, "/shop: read-only file system; open it read-only, or move it to a disk that can be written"},
		{at(syscall.ENOSPC), ErrFull, "the disk is full (no space left on device); make room and save again; what was saved before is safe"},
		{errors.New("file resize error: " + syscall.ENOSPC.Error()), ErrFull, "the disk is full (file resize error: no space left on device); make room and save again; what was saved before is safe"},
		{berrors.ErrMaxSizeReached, ErrFull, "the disk is full (database reached maximum size); make room and save again; what was saved before is safe"},
		{fmt.Errorf("writing: %w", syscall.EIO), syscall.EIO, "writing: input/output error; check the disk, then try again"},
		{berrors.ErrDatabaseNotOpen, ErrClosed, "the book was closed"},
		{also(ErrDamaged, nil, syscall.EIO), syscall.EIO, "it is damaged; besides, input/output error; leave it as it is: bendbook check tells what is whole, restore puts a copy back, rescue saves what can be read"},
	} {
		err := explain("opening", path, c.err)
		if want := "opening " + path + ": " + c.line; err.Error() != want || !errors.Is(err, c.is) {
			t.Errorf("%v: got %q, want %q", c.err, err, want)
		}
		if again := explain("listing", path, err); again != err {
			t.Errorf("explained twice: %v", again)
		}
	}
}

func TestACopyIsMadeElsewhereWhereTheFolderCannotBeWritten(t *testing.T) {
	path := bookPath(t)
	must(t, open(t, path, Options{}).Close())
	elsewhere := t.TempDir()
	name, _, err := privateCopy(path, Options{}.withDefaults(), filepath.Join(t.TempDir(), "gone"), elsewhere)
	must(t, err)
	if filepath.Dir(name) != elsewhere {
		t.Errorf("the copy is %s", name)
	}
	if !bytes.HasPrefix(readFile(t, path), readFile(t, name)) {
		t.Error("the copy differs from what the book holds")
	}
	if _, _, err := privateCopy(path, Options{}.withDefaults(), filepath.Join(t.TempDir(), "gone")); err == nil {
		t.Error("a copy was made nowhere")
	}
}
