package session_test

import (
	"sync/atomic"
	"testing"

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

// TestAReadingFromBeforeAnEntryIsNotTakenForTheBook adds an entry while the bow is read elsewhere: who asks for the bow then finds the entry.
func TestAReadingFromBeforeAnEntryIsNotTakenForTheBook(t *testing.T) {
	w := newWorkshop(1)
	id := w.bench(t, ash()).Story().Bow().ID
	book := &slow{Memory: w.book, read: make(chan struct{}), goOn: make(chan struct{})}
	shop := session.Open(book, session.Options{})
	bench, err := shop.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	book.hold.Store(true)
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
