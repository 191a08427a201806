package storage

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"bendbook/model/record"
)

func TestWhatWasPutInComesBackAfterReopening(t *testing.T) {
	path := bookPath(t)
	rec := bow(t, "b1", 3)
	book := open(t, path, Options{})
	id := book.ID()
	must(t, book.AddBow(rec, ""))
	must(t, book.AddItems("b1", pulls(t, 3, 2), ""))
	must(t, book.SaveDraft("pull/b1", []byte("21 3/8\x00")))
	must(t, book.Close())

	book = open(t, path, Options{})
	if book.ID() != id || len(id) != 26 {
		t.Errorf("the book's id was %q and is %q", id, book.ID())
	}
	desc, ok, err := book.Bow("b1")
	if err != nil || !ok || !reflect.DeepEqual(desc, rec.Description) {
		t.Errorf("got %v, %v, %+v; want %+v", ok, err, desc, rec.Description)
	}
	items, err := book.Items("b1")
	if want := append(rec.Items, pulls(t, 3, 2)...); err != nil || !reflect.DeepEqual(items, want) {
		t.Errorf("got %v, %+v; want %+v", err, items, want)
	}
	if doc, ok, err := book.Draft("pull/b1"); err != nil || !ok || string(doc) != "21 3/8\x00" {
		t.Errorf("got draft %q, %v, %v", doc, ok, err)
	}
}

func TestAWrittenRecordIsTheSameAfterTheBook(t *testing.T) {
	rec := bow(t, "b1", 4)
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(rec, ""))
	desc, _, err := book.Bow("b1")
	must(t, err)
	items, err := book.Items("b1")
	must(t, err)
	var before, after bytes.Buffer
	must(t, record.Write(&before, rec))
	must(t, record.Write(&after, record.Record{Description: desc, Items: items}))
	if before.String() != after.String() {
		t.Errorf("before:\n%s\nafter:\n%s", &before, &after)
	}
}

func TestItemsComeInOrderOfTheirKeys(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(bow(t, "b1", 0), ""))
	for _, n := range []int{500, 3, 70_000, 20} {
		must(t, book.AddItems("b1", []record.Item{pull(t, n)}, ""))
	}
	items, err := book.Items("b1")
	must(t, err)
	if want := []record.Item{pull(t, 3), pull(t, 20), pull(t, 500), pull(t, 70_000)}; !reflect.DeepEqual(items, want) {
		t.Errorf("got %+v", items)
	}
}

func TestWhatIsRefusedLeavesNoTrace(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(bow(t, "b1", 2), ""))
	must(t, book.SaveDraft("d", []byte("typed")))
	noKey := pull(t, 9)
	noKey.Key = record.Key{}
	broken := bow(t, "b3", 0)
	broken.Doc = []byte(`{"id":"b3"}`)
	twice := bow(t, "b2", 0)
	twice.Items = []record.Item{pull(t, 1), pull(t, 1)}
	for _, c := range []struct {
		name string
		err  error
		want error
	}{
		{"taken key", book.AddItems("b1", []record.Item{pull(t, 7), pull(t, 2)}, "d"), ErrTaken},
		{"same key twice", book.AddItems("b1", []record.Item{pull(t, 7), pull(t, 7)}, "d"), ErrTaken},
		{"zero key", book.AddItems("b1", []record.Item{pull(t, 7), noKey}, "d"), ErrNoKey},
		{"unknown bow", book.AddItems("b2", []record.Item{pull(t, 7)}, "d"), ErrNoBow},
		{"items of an unknown bow", second(book.Items("b2")), ErrNoBow},
		{"known bow", book.AddBow(bow(t, "b1", 0), "d"), ErrTaken},
		{"bow without id", book.AddBow(record.Record{}, ""), ErrNoKey},
		{"bow with one key twice", book.AddBow(twice, "d"), ErrTaken},
		{"draft without key", book.SaveDraft("", nil), ErrNoKey},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: got %v; want %v", c.name, c.err, c.want)
		}
	}
	if err := book.AddBow(broken, ""); err == nil {
		t.Error("a bow that cannot be read back was taken")
	}
	if items, err := book.Items("b1"); err != nil || len(items) != 2 {
		t.Errorf("got %d entries, %v; want the first two", len(items), err)
	}
	if doc, ok, err := book.Draft("d"); !ok || err != nil || string(doc) != "typed" {
		t.Errorf("got draft %q, %v, %v; want it kept", doc, ok, err)
	}
	if _, ok, err := book.Bow("b2"); ok || err != nil {
		t.Errorf("got %v, %v for a bow that was refused", ok, err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestAnEntryTakesItsDraftAway(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(bow(t, "b1", 0), ""))
	must(t, book.SaveDraft("d", []byte("1")))
	must(t, book.SaveDraft("d", []byte("12")))
	must(t, book.SaveDraft("other", nil))
	must(t, book.AddItems("b1", pulls(t, 0, 1), "d"))
	if _, ok, err := book.Draft("d"); ok || err != nil {
		t.Errorf("got %v, %v; want no draft", ok, err)
	}
	if _, ok, err := book.Draft("other"); !ok || err != nil {
		t.Errorf("got %v, %v; want the other draft kept", ok, err)
	}
	must(t, book.DropDraft("other"))
	must(t, book.DropDraft("other"))
}

func TestBowsVisitsEachAndMayBeStopped(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	addBows(t, book, 2*bowsAtOnce)
	seen := make(map[string]int)
	must(t, book.Bows(func(desc record.Description) error {
		seen[desc.Bow.ID]++
		if len(seen) > bowsAtOnce {
			return nil
		}
		// Even a write is possible from here.
		return book.SaveDraft("seen", []byte(desc.Bow.ID))
	}))
	if len(seen) != 2*bowsAtOnce {
		t.Errorf("got %d bows, want %d", len(seen), 2*bowsAtOnce)
	}
	stop, visits := errors.New("stop"), 0
	err := book.Bows(func(record.Description) error { visits++; return stop })
	if !errors.Is(err, stop) || visits != 1 {
		t.Errorf("got %v after %d visits", err, visits)
	}
}

func TestABookIsItsOwnersAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "folder", "ash.book")
	book := open(t, path, Options{})
	if runtime.GOOS == "windows" {
		return // Windows keeps rights in other ways, inherited from the user's own folder.
	}
	for name, want := range map[string]os.FileMode{
		path: 0o600, holderPath(path): 0o600,
		filepath.Dir(path): 0o700 | os.ModeDir, filepath.Dir(filepath.Dir(path)): 0o700 | os.ModeDir,
	} {
		info, err := os.Stat(name)
		must(t, err)
		if info.Mode() != want {
			t.Errorf("%s has mode %v, want %v", name, info.Mode(), want)
		}
	}
	must(t, book.Close())
	left, err := os.ReadDir(filepath.Dir(path))
	must(t, err)
	if len(left) != 1 {
		t.Errorf("beside the book there is left %v", left)
	}
}

func TestAClosedBookSaysSo(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	must(t, book.Close())
	must(t, book.Close())
	if err := book.SaveDraft("d", nil); !errors.Is(err, ErrClosed) {
		t.Errorf("got %v", err)
	}
	if err := book.Bows(nil); !errors.Is(err, ErrClosed) {
		t.Errorf("got %v", err)
	}
}

func TestNamesCannotCommandTheTerminal(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	_, err := book.Items("\x1b[2J\u202eb\n")
	if err == nil || strings.ContainsAny(err.Error(), "\x1b\u202e\n") || !strings.Contains(err.Error(), `\x1b[2J\u202eb\n`) {
		t.Errorf("got %q", err)
	}
}
