package storage

import "encoding/binary"

// Whether every page of the book is either in use or free.

// spare checks that each page that the tree does not use is free, and the other way round: a branch that leads to an
// older page shows by nothing else.
func (w *walker) spare() error {
	if err := w.freelist(); err != nil {
		return err
	}
	return w.complete()
}

// complete finds pages that were met neither in the tree nor among the free ones.
func (w *walker) complete() error {
	for id := uint64(2); id < w.meta.high; id++ {
		if !w.used[id] {
			return damage(id, "it is neither in use nor free")
		}
	}
	return nil
}

// freelist checks the list of free pages: one that is in use as well would be written over.
func (w *walker) freelist() error {
	p, err := w.read(w.meta.freelist)
	if err != nil {
		return err
	}
	count, rest := uint64(p.count), p.bytes[pageHeader:]
	if p.flags != freelistFlag {
		return damage(p.id, "it has flags %#x where the free pages should be", p.flags)
	}
	if count == longCount {
		count, rest = binary.LittleEndian.Uint64(rest), rest[8:]
	}
	if count > uint64(len(rest)/8) {
		return damage(p.id, "it lists %d free pages, more than it holds", count)
	}
	for i := range count {
		free := binary.LittleEndian.Uint64(rest[8*i:])
		if free < 2 || free >= w.meta.high || w.used[free] {
			return damage(p.id, "it lists page %d as free", free)
		}
		w.used[free] = true
	}
	return nil
}
