package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"

	"go.etcd.io/bbolt"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Rescue makes a new book at the path to, where there must be nothing, of all that is whole in the book
// from, in its journal and in its fullest copy. from may be in any state, or gone; nothing is written to
// it.
func Rescue(from, to string, opts Options) (Report, error) {
	return onFile("rescuing", from, opts, func(r *Report, found string, opts Options) error {
		for _, path := range []string{to, journalPath(to)} {
			if _, err := os.Lstat(path); err == nil {
				return explain("rescuing a book into", path, fs.ErrExist)
			}
		}
		if err := notHeld(found, opts); err != nil {
			return err
		}
		return r.rescue(found, from, to, opts)
	})
}

func (r *Report) rescue(path, from, to string, opts Options) error {
	_, _, flaw := look(path, opts)
	if errors.Is(flaw, ErrOld) || errors.Is(flaw, ErrNewer) {
		return flaw
	}
	sources := []string{journalPath(path), path}
	if best := fullestCopy(path); best != "" {
		sources = append(sources, best)
	}
	all := make(map[place]line)
	for _, source := range sources {
		text, err := os.ReadFile(source)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		n := len(all)
		eachSealed(text, func(l line) {
			if _, ok := all[l.place()]; !ok {
				l.Draft, l.Of, l.Left = "", 0, 0
				all[l.place()] = l
			}
		})
		r.say("from %s: %d of the lines", source, len(all)-n)
	}
	if len(all) == 0 && flaw != nil {
		return flaw
	}
	undescribed := standIns(all)
	drafts := draftsOf(path, opts)
	if err := fill(to, slices.Collect(maps.Values(all)), drafts, opts); err != nil {
		_, _ = os.Remove(to), os.Remove(journalPath(to)) // what is there of them
		return err
	}
	t, err := readBack(to)
	if err != nil {
		return err
	}
	r.lines = append([]string{fmt.Sprintf("%s: %s; read back whole", to, t.all())}, r.lines...)
	if r.bad = len(undescribed) > 0; r.bad {
		r.say("these bows have lost their description; their lengths and units are made up:")
	}
	for _, bow := range undescribed {
		r.say("  %s", bow)
	}
	return nil
}

// eachSealed looks for whole lines in bytes of any kind: a journal, or a book whose pages lead nowhere any
// more. A value lies in a book in one piece.
func eachSealed(text []byte, found func(line)) {
	for {
		at := bytes.Index(text, []byte(sealStart))
		if at < 0 {
			return
		}
		text = text[at:]
		var one json.RawMessage
		var l line
		err := json.NewDecoder(bytes.NewReader(text)).Decode(&one)
		if err == nil && unseal(one, "", &l) == nil && l.place() != (place{}) {
			found(l)
		}
		text = text[max(len(sealStart), len(one)):]
	}
}

// fullestCopy is the copy of a book with the most entries, of those that are whole; "" where there is none.
func fullestCopy(path string) (best string) {
	days, _ := copyDays(copiesOf(path)) // none where they can't be read
	most := -1
	for _, day := range days {
		name := copyPath(copiesOf(path), day)
		if t, err := readBack(name); err == nil && t.entries > most {
			best, most = name, t.entries
		}
	}
	return best
}

// draftsOf reads the drafts that can be reached in a book, however damaged the rest is.
func draftsOf(path string, opts Options) map[string][]byte {
	drafts := make(map[string][]byte)
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, PreLoadFreelist: true}, opts)
	if err != nil {
		return nil
	}
	err = guarded(func() error {
		return db.View(func(tx *bbolt.Tx) error {
			below, err := referred(tx, file)
			if err != nil {
				return err
			}
			b := bucket(tx, draftsBucket)
			if below[uint64(b.RootPage())] {
				return nil
			}
			return b.ForEach(func(key, value []byte) error {
				if doc, err := unsealText(draftsBucket, string(key), value); err == nil {
					drafts[string(key)] = doc
				}
				return nil
			})
		})
	})
	_ = closeAfter(err, db, file) // it was only read
	return drafts
}

// fill makes a book of lines and drafts.
func fill(path string, lines []line, drafts map[string][]byte, opts Options) error {
	b, err := Open(path, opts)
	if err != nil {
		return err
	}
	err = b.update("filling", lines, func(tx *bbolt.Tx) error {
		_, _, err := addMissing(tx, lines)
		for key, doc := range drafts {
			err = also(err, putText(tx, draftsBucket, key, doc))
		}
		return err
	})
	return also(err, b.Close())
}

// standIns adds a made-up description for each bow that has lost its own, and returns their ids.
func standIns(all map[place]line) (undescribed []string) {
	for at := range all {
		bow := place{at.bow, ""}
		if _, ok := all[bow]; ok || at.bow == "" {
			continue
		}
		id, _ := encode(at.bow) // no string fails
		doc := fmt.Appendf(nil, `{"id":%s,"name":%s,"limbs":{"upper":{"length":34},"lower":{"length":34}}}`, id, id)
		units := measure.Units{Length: measure.Inch, Force: measure.PoundForce}
		all[bow] = line{Bow: at.bow, Units: units, Describe: doc}
		undescribed = append(undescribed, plain.Line(at.bow))
	}
	slices.Sort(undescribed)
	return undescribed
}
