package storage

import (
	"bytes"
	"fmt"
	"sync"
	"testing"

	"go.etcd.io/bbolt"
)

// What is read straight from the file is what bbolt reads of it, in a book of many bows and of one long one, and nothing where there is nothing.
func TestWhatIsReadStraightIsWhatBboltReads(t *testing.T) {
	t.Parallel()
	book := open(t, bookPath(t), Options{})
	addBows(t, book, 400)
	must(t, book.AddBow(bow(t, "long", 3000), ""))
	must(t, book.AddBow(bow(t, "new", 0), ""))
	seen := 0
	must(t, book.view("reading", func(tx *bbolt.Tx) error {
		return tx.Bucket([]byte(sortBows)).ForEach(func(id, value []byte) error {
			seen++
			return book.straight("reading", func(w *walker) error {
				stored, ok, err := w.storedBow(string(id))
				if err != nil || !ok || !bytes.Equal(stored.value, value) {
					t.Errorf("%s: got %q, %t, %v", id, stored.value, ok, err)
				}
				items, err := w.storedItems(string(id))
				must(t, err)
				n := 0
				must(t, tx.Bucket([]byte(sortEntries)).Bucket(id).ForEach(func(key, value []byte) error {
					if n >= len(items) || !bytes.Equal(items[n].key, key) || !bytes.Equal(items[n].value, value) {
						return fmt.Errorf("entry %x of %s is not the same", key, id)
					}
					n++
					return nil
				}))
				if len(items) != n {
					t.Errorf("%s: got %d entries, want %d", id, len(items), n)
				}
				return nil
			})
		})
	}))
	if seen != 402 {
		t.Errorf("looked at %d bows", seen)
	}
	for _, id := range []string{"a", "bow-00399x", "zz"} {
		if _, ok, err := book.Bow(id); ok || err != nil {
			t.Errorf("%s: got %t, %v", id, ok, err)
		}
		if items, err := book.Items(id); err == nil {
			t.Errorf("%s: got %d entries", id, len(items))
		}
	}
}

// Who reads while entries are added finds all that were there when he began.
func TestReadingStraightWhileEntriesAreAdded(t *testing.T) {
	t.Parallel()
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(bow(t, "b", 300), ""))
	var readers sync.WaitGroup
	done := make(chan struct{})
	for range 2 {
		readers.Go(func() {
			for before := 300; ; {
				items, err := book.Items("b")
				if err != nil || len(items) < before {
					t.Errorf("got %d entries after %d, %v", len(items), before, err)
					return
				}
				for i, item := range items {
					if item.Key != keyOf(i+1) {
						t.Errorf("entry %d has key %s", i, item.Key)
						return
					}
				}
				before = len(items)
				select {
				case <-done:
					return
				default:
				}
			}
		})
	}
	for n := range 60 {
		must(t, book.AddItems("b", pulls(t, 300+n, 1), ""))
	}
	close(done)
	readers.Wait()
}
