package session_test

import (
	"reflect"
	"sync/atomic"
	"testing"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
)

// slow is a book of which a reading of entries is held up when it has read them, while hold says so.
type slow struct {
	*booktest.Memory
	hold       atomic.Bool
	read, goOn chan struct{}
}

func (b *slow) Items(bow string) ([]record.Item, error) {
	items, err := b.Memory.Items(bow)
	if b.hold.Load() {
		close(b.read)
		<-b.goOn
	}
	return items, err
}

// onSlowBook takes a bow to the bench, of which the next reading is held up.
func onSlowBook(t *testing.T) (*slow, *session.Shop, *session.Bench) {
	t.Helper()
	w := newWorkshop(1)
	id := w.bench(t, ash()).Story().Bow().ID
	book := &slow{Memory: w.book, read: make(chan struct{}), goOn: make(chan struct{})}
	shop := session.Open(book, session.Options{})
	bench, err := shop.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	book.hold.Store(true)
	return book, shop, bench
}

// TestAReadingFromBeforeAnEntryIsNotTakenForTheBook adds an entry while the bow is read elsewhere: who asks for the bow then finds the entry.
func TestAReadingFromBeforeAnEntryIsNotTakenForTheBook(t *testing.T) {
	book, shop, bench := onSlowBook(t)
	id := bench.Story().Bow().ID
	before := make(chan error)
	go func() {
		_, err := shop.Story(id)
		before <- err
	}()
	<-book.read
	book.hold.Store(false)
	if err := bench.Add(pull(20, 30), ""); err != nil {
		t.Fatal(err)
	}
	if story, err := shop.Story(id); err != nil || len(story.Lines) != 1 {
		t.Errorf("got %d entries, want the one that was added (%v)", len(story.Lines), err)
	}
	close(book.goOn)
	if err := <-before; err != nil {
		t.Error(err)
	}
}

// TestABowReadAheadIsTheBowAsItIsNow reads a bow ahead and adds to it in every way: whoever takes it to the bench then finds what the book has.
func TestABowReadAheadIsTheBowAsItIsNow(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	id := bench.Story().Bow().ID
	asIsNow := func(when string) {
		t.Helper()
		got, err := w.Shop.Bench(id)
		if err != nil {
			t.Fatal(err)
		}
		want, err := session.Open(w.book, session.Options{}).Story(id)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Story(), want) {
			t.Errorf("%s: the bench has %d entries, the book %d", when, len(got.Story().Lines), len(want.Lines))
		}
	}
	steps := []struct {
		what string
		do   func() error
	}{
		{"a pull", func() error { return bench.Add(pull(20, 30), "") }},
		{"two at once", func() error { return bench.AddAll(pull(22, 32), pull(24, 35)) }},
		{"a void", func() error { _, err := bench.Undo(); return err }},
		{"brought back", func() error { _, err := bench.Redo(); return err }},
		{"set aside", func() error { return bench.SetAside(true, "") }},
	}
	for _, step := range steps {
		w.Shop.ReadAhead(id)
		asIsNow("read ahead before " + step.what)
		if err := step.do(); err != nil {
			t.Fatalf("%s: %v", step.what, err)
		}
		asIsNow(step.what)
	}
	// Two benches of one bow share nothing that either adds.
	w.Shop.ReadAhead(id)
	one, err := w.Shop.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	before := one.Story()
	other, err := w.Shop.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Add(pull(25, 36), ""); err != nil {
		t.Fatal(err)
	}
	asIsNow("added at another bench")
	if len(one.Story().Lines) != len(before.Lines) || !reflect.DeepEqual(one.Story(), before) {
		t.Error("the story of one bench changed by what was added at another")
	}
	if err := one.Add(pull(26, 37), ""); err != nil {
		t.Fatal(err)
	}
	if lines := other.Story().Lines; len(lines) != len(before.Lines)+1 || lines[len(before.Lines)].Entry.What.(model.Pull).Draw != 25 {
		t.Error("an entry of one bench came into the story of another")
	}
	asIsNow("added at a bench that knew nothing of what was added at another")
}

// TestAReadingAheadFromBeforeAnEntryIsDropped adds an entry while the bow is read ahead.
func TestAReadingAheadFromBeforeAnEntryIsDropped(t *testing.T) {
	book, shop, bench := onSlowBook(t)
	id := bench.Story().Bow().ID
	over := make(chan struct{})
	go func() {
		defer close(over)
		shop.ReadAhead(id)
	}()
	<-book.read
	book.hold.Store(false)
	if err := bench.Add(pull(20, 30), ""); err != nil {
		t.Fatal(err)
	}
	close(book.goOn)
	<-over
	if story, err := shop.Story(id); err != nil || len(story.Lines) != 1 {
		t.Errorf("got %d entries, want the one that was added (%v)", len(story.Lines), err)
	}
}
