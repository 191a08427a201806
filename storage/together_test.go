package storage

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"bendbook/model/record"
)

func TestABookServesSeveralAtOnceUntilItIsClosed(t *testing.T) {
	path := begin(t, 0)
	book := open(t, path, Options{})
	const writers, each = 3, 20
	var working sync.WaitGroup
	for w := range writers {
		working.Go(func() {
			for n := range each {
				if err := book.AddItems("b1", []record.Item{pull(t, 1+n*writers+w)}, fmt.Sprint(w)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for range 2 {
		working.Go(func() {
			for range each {
				if _, err := book.Items("b1"); err != nil {
					t.Error(err)
				}
				if err := book.Bows(func(record.Description) error { return nil }); err != nil {
					t.Error(err)
				}
			}
		})
	}
	working.Wait()
	if items, err := book.Items("b1"); err != nil || len(items) != writers*each {
		t.Errorf("got %d entries, %v", len(items), err)
	}

	// Closing while others are at it ends their work with an error and nothing worse.
	for range 3 {
		working.Go(func() {
			for {
				if err := book.SaveDraft("d", []byte("21")); err != nil {
					if !errors.Is(err, ErrClosed) {
						t.Error(err)
					}
					return
				}
			}
		})
	}
	must(t, book.Close())
	working.Wait()
}
