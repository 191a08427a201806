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
	last  *bowRead       // the bow that was read ahead or was at the bench last, as the book has it now; nil for none
	added map[string]int // how many times a bow was added to, by its id
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

// forget keeps what was read before the bow was added to, and what is still being read, from being taken for what the book has now.
func (r *entriesRead) forget(id string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.under, id)
	if r.added == nil {
		r.added = make(map[string]int)
	}
	r.added[id]++
	if r.last != nil && r.last.id() == id {
		r.last = nil
	}
}

// bowRead is a bow that was read.
type bowRead struct {
	first record.Description
	items []record.Item
	story Story
	added int // how many times it was added to before
}

func (b *bowRead) id() string { return b.first.Bow.ID }

// read is a bow as the book has it now, from what was read of it before where nothing was added since. Nobody else shares the room behind what is returned.
func (s *Shop) read(id string) (bowRead, error) {
	if last, ok := s.reading.kept(id); ok {
		return last, nil
	}
	added := s.reading.times(id)
	first, items, err := s.load(id)
	if err != nil {
		return bowRead{}, err
	}
	return bowRead{first, items, Fold(first, items), added}, nil
}

// kept is the bow that was read last, where it is that of the id.
func (r *entriesRead) kept(id string) (last bowRead, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.last == nil || r.last.id() != id {
		return bowRead{}, false
	}
	last = *r.last
	last.items, last.story.Lines = slices.Clip(last.items), slices.Clip(last.story.Lines)
	return last, true
}

// ReadAhead reads the bow that is likely to be taken to the bench next, so that Bench finds it read. It is for beside the keys' way, and writes nothing; what cannot be
// read is for Bench to say.
func (s *Shop) ReadAhead(id string) {
	if bow, err := s.read(id); err == nil {
		s.reading.keep(bow)
	}
}

// times is how many times a bow was added to.
func (r *entriesRead) times(id string) int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.added[id]
}

// keep keeps a bow as the one that was read last, unless it was added to by somebody else meanwhile.
func (r *entriesRead) keep(bow bowRead) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.added[bow.id()] == bow.added {
		r.last = &bow
	}
}
