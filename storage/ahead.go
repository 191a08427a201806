package storage

import (
	"bytes"
	"errors"
	"os"
	"sync"
	"time"

	"go.etcd.io/bbolt"
)

// walk is the walk over the pages of a book that was handed out ahead of it.
type walk struct {
	walker *walker
	asked  string // the book's path as Open was given it
	begin  sync.Once
	over   chan struct{} // closed when it has ended
	err    error         // what is wrong with the book; set before over is closed
}

// seen is what a look at a book found that goes on after it.
type seen struct {
	metas    metas
	walker   *walker
	gathered *gathered // by the walker
}

// lookAhead is look for a book that is handed out before its entries are walked; of an older version, all of it is walked all the same.
func lookAhead(path string, opts Options, wait time.Duration) (found seen, err error) {
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: wait}, opts.openFile)
	if err != nil {
		return seen{}, err
	}
	var h head
	if found.metas, err = metasOf(file); err == nil {
		found.walker, found.gathered, err = begun(file, found.metas)
	}
	if err == nil {
		h, err = readHead(db, opts.schema.version)
	}
	old := h.Version < opts.schema.version
	if err == nil && old {
		err = found.walker.rest()
	}
	if err == nil {
		err = found.walker.flaw
	}
	if old {
		found.walker = nil
	}
	return found, closeAfter(err, db, file)
}

// begun is a walk that left the entries.
func begun(file *os.File, m metas) (*walker, *gathered, error) {
	w, g := newWalker(file, m), new(gathered)
	w.met = g.take
	if err := w.first(); err != nil {
		return nil, nil, err
	}
	if w.tagged != m.current.tx {
		g.tags = nil // see dropStaleTags
	}
	return w, g, nil
}

// goOn is the walk that look began, for a file that is held by now. Where another process wrote to it meanwhile, it begins anew; nil
// where all was walked.
func goOn(before seen, file *os.File) (*walk, *gathered, error) {
	if before.walker == nil {
		return nil, nil, nil
	}
	m, err := metasOf(file)
	if err != nil {
		return nil, nil, err
	}
	if bytes.Equal(m.raw[0], before.metas.raw[0]) && bytes.Equal(m.raw[1], before.metas.raw[1]) {
		before.walker.file, before.walker.ahead = file, nil
	} else {
		if before.walker, before.gathered, err = begun(file, m); err != nil {
			return nil, nil, err
		}
		if err := before.walker.flaw; err != nil {
			return nil, nil, err
		}
	}
	return &walk{walker: before.walker, over: make(chan struct{})}, before.gathered, nil
}

// Whole walks what Open left to be walked, beside whatever is done with the book, waits for the end of it, and says what is wrong with the book; nil where
// nothing is. Before that the book hands out no entries, and nothing is written to it.
func (b *Book) Whole() error {
	if b.walk == nil {
		return nil
	}
	b.walkRest()
	<-b.walk.over
	return b.walk.err
}

// walkRest begins the walk over the rest, where there is one and it was not begun.
func (b *Book) walkRest() {
	if b.walk != nil {
		b.walk.begin.Do(func() { go b.walkOn() })
	}
}

func (b *Book) walkOn() {
	w := b.walk
	defer close(w.over)
	err := w.walker.rest()
	if err == nil {
		err = w.walker.flaw
	}
	switch {
	case errors.Is(err, errStopped):
		w.err = explain(opening, w.asked, ErrClosed)
	case err != nil:
		w.err = explain(opening, w.asked, err)
		b.broken.Store(&w.err)
	}
	w.walker.used, w.walker.blank, w.walker.void, w.walker.ahead = nil, nil, nil, nil
}

// stop breaks the walk off and waits until it has ended.
func (w *walk) stop() {
	if w == nil {
		return
	}
	w.walker.stop.Store(true)
	w.begin.Do(func() { close(w.over) })
	<-w.over
}

// gathered is what a walk met on its way that is wanted first: the ids of the bows, and their tags, both in order. It saves reading all
// of that a second time through the mapped file, whose pages would then stay in memory.
type gathered struct {
	bows []string
	tags []storedTag
}

func (g *gathered) take(in shelf, key, value []byte, whole bool) {
	switch in.sort {
	case sortBows:
		g.bows = append(g.bows, string(key))
	case sortTags:
		if g.tags == nil { // the bows came before
			g.tags = make([]storedTag, 0, len(g.bows))
		}
		if whole {
			g.tags = append(g.tags, storedTag{string(key), tagIn(value)})
		}
	}
}

// each calls visit for each bow with its tag, as Book.Tags does.
func (g *gathered) each(visit func(bow, tag string) error) error {
	at := 0
	for _, id := range g.bows {
		for at < len(g.tags) && g.tags[at].id < id {
			at++
		}
		doc := ""
		if at < len(g.tags) && g.tags[at].id == id {
			doc = g.tags[at].doc
		}
		if err := visit(id, doc); err != nil {
			return err
		}
	}
	return nil
}
