package session

import (
	"slices"
	"sync"

	"bendbook/model/record"
)

// entriesRead are the bows whose entries are being read. Who takes a bow to the bench while the board looks at it waits for the one reading: two of
// thousands of entries at once take twice the memory, and hold each other up.
type entriesRead struct {
	mu    sync.Mutex
	under map[string]*underWay
}

// underWay is a reading; items and err are set before it is over.
type underWay struct {
	over  chan struct{}
	items []record.Item
	err   error
}

// items are a bow's entries as the book has them now.
func (s *Shop) items(id string) ([]record.Item, error) {
	r := &s.reading
	r.mu.Lock()
	if w := r.under[id]; w != nil {
		r.mu.Unlock()
		<-w.over
		return slices.Clone(w.items), w.err
	}
	w := &underWay{over: make(chan struct{})}
	if r.under == nil {
		r.under = make(map[string]*underWay)
	}
	r.under[id] = w
	r.mu.Unlock()
	w.items, w.err = s.book.Items(id)
	close(w.over)
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.under[id] == w {
		delete(r.under, id)
	}
	return slices.Clip(w.items), w.err
}

// forget keeps a reading that began before the bow was added to from being taken for what the book has now.
func (r *entriesRead) forget(id string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.under, id)
}
