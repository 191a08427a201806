package storage

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

func TestABackupIsTheBookWhileAnotherWritesToIt(t *testing.T) {
	t.Parallel()
	path := begin(t, 2)
	writer := start(t, path, 1<<20)
	for range 5 {
		writer.line()
	}
	to := filepath.Join(t.TempDir(), "copy.book")
	done, err := Backup(path, to, false, Options{Now: noon})
	must(t, err)
	if done.Bows != 1 || done.Entries < 12 || done.Entries%2 != 0 || !done.AsOf.Equal(noon()) {
		t.Errorf("got %+v", done)
	}
	if items, err := open(t, to, Options{}).Items("b1"); err != nil || len(items) != done.Entries {
		t.Errorf("the copy has %d entries, %v; %d were told of", len(items), err, done.Entries)
	}
	writer.kill()
}

func TestABackupReplacesNothingUnasked(t *testing.T) {
	t.Parallel()
	path := begin(t, 2)
	before := readFile(t, path)
	folder := t.TempDir()
	taken, link, astray, hard := filepath.Join(folder, "taken"), filepath.Join(folder, "link"), filepath.Join(folder, "astray"), filepath.Join(filepath.Dir(path), "hard")
	must(t, os.WriteFile(taken, []byte("x"), 0o600))
	must(t, os.Symlink(path, link))
	must(t, os.Symlink("nowhere", astray))
	must(t, os.Link(path, hard))
	for _, c := range []struct {
		to   string
		over bool
		want error
	}{
		{taken, false, fs.ErrExist}, {path, false, ErrItself}, {path, true, ErrItself}, {link, true, ErrItself}, {link, false, ErrItself},
		{hard, true, ErrItself}, {filepath.Join(folder, "no", "such"), false, fs.ErrNotExist},
	} {
		if _, err := Backup(path, c.to, c.over, Options{Now: noon}); !errors.Is(err, c.want) {
			t.Errorf("to %s, over %t: got %v", c.to, c.over, err)
		}
	}
	if _, err := Backup(path, astray, true, Options{Now: noon}); err == nil {
		t.Error("it went behind a link that leads nowhere")
	}
	if string(readFile(t, taken)) != "x" || !bytes.Equal(readFile(t, path), before) {
		t.Error("something was written over")
	}
	// Asked to, it replaces a file, behind a link too.
	behind := filepath.Join(folder, "behind")
	must(t, os.Symlink("taken", behind))
	_, err := Backup(path, behind, true, Options{Now: noon})
	must(t, err)
	if got, err := os.Readlink(behind); got != "taken" || err != nil {
		t.Errorf("the link is now %q, %v", got, err)
	}
	if items, err := open(t, taken, Options{}).Items("b1"); err != nil || len(items) != 2 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	done, err := Backup(path, folder, false, Options{Now: noon})
	if err != nil || done.Path != filepath.Join(folder, "ash-2027-02-01.book") {
		t.Errorf("got %+v, %v", done, err)
	}
	if left, _ := filepath.Glob(filepath.Join(folder, ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// spoilEntry damages an entry of a book.
func spoilEntry(t *testing.T, path string, n int) {
	t.Helper()
	content := readFile(t, path)
	for at := range occurrences(content, string(pull(t, n).Doc)) {
		content[at+20] ^= 4
	}
	must(t, os.WriteFile(path, content, 0o600))
}

func TestADamagedBookIsNotBackedUp(t *testing.T) {
	t.Parallel()
	path := fileWith(t, readFile(t, begin(t, 5)))
	good := filepath.Join(t.TempDir(), "good.book")
	_, err := Backup(path, good, false, Options{Now: noon})
	must(t, err)
	before := readFile(t, good)
	spoilEntry(t, path, 3)
	if _, err := Backup(path, good, true, Options{Now: noon}); !errors.Is(err, ErrUnsound) {
		t.Errorf("got %v", err)
	}
	if !bytes.Equal(readFile(t, good), before) {
		t.Error("the good copy was replaced")
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(good), ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestRestoreLaysTheBookAside(t *testing.T) {
	t.Parallel()
	path := fileWith(t, readFile(t, begin(t, 5)))
	copy1, copy2 := filepath.Join(t.TempDir(), "1"), filepath.Join(t.TempDir(), "2")
	for _, to := range []string{copy1, copy2} {
		_, err := Backup(path, to, false, Options{Now: noon})
		must(t, err)
	}
	spoilEntry(t, path, 3)
	damaged := readFile(t, path)
	spoilEntry(t, copy2, 4)

	refusals := map[string]error{
		copy2: ErrUnsound, path: ErrItself, "2027-01-01": fs.ErrNotExist, filepath.Join(t.TempDir(), "none"): fs.ErrNotExist,
		fileWith(t, []byte("a letter")): ErrForeign,
	}
	for from, want := range refusals {
		if _, err := Restore(path, from, Options{Now: noon}); !errors.Is(err, want) {
			t.Errorf("from %s: got %v", from, err)
		}
		if !bytes.Equal(readFile(t, path), damaged) {
			t.Errorf("from %s: the book was changed", from)
		}
	}
	held := start(t, copy1, 0)
	if _, err := Restore(copy1, path, Options{Now: noon}); !errors.Is(err, ErrBusy) {
		t.Errorf("got %v", err)
	}
	held.end()

	for i, aside := range []string{path + ".aside-20270201", path + ".aside-20270201-2"} {
		before := readFile(t, path)
		done, err := Restore(path, copy1, Options{Now: noon})
		if err != nil || done.Aside != aside || done.Entries != 5 {
			t.Fatalf("%d: got %+v, %v", i, done, err)
		}
		if !bytes.Equal(readFile(t, aside), before) {
			t.Errorf("%d: the book that was there is not what lies aside", i)
		}
	}
	must(t, os.Remove(path))
	done, err := Restore(path, copy1, Options{Now: noon})
	if err != nil || done.Aside != "" {
		t.Errorf("where there was none: got %+v, %v", done, err)
	}
	if items, err := open(t, path, Options{}).Items("b1"); err != nil || len(items) != 5 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	found, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	must(t, err)
	hidden, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".*"))
	must(t, err)
	if want := []string{path, path + ".aside-20270201", path + ".aside-20270201-2", path + ".holder"}; !reflect.DeepEqual(found, want) || len(hidden) > 0 {
		t.Errorf("there is %v, %v", found, hidden)
	}
}
