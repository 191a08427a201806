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
	"strings"

	"go.etcd.io/bbolt"

	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/record"
)

// Rescue makes a new book at the path to, where there must be nothing, of all that is whole in the book
// from, which may be in any state or gone, in its journal and in its copies.
func Rescue(from, to string, opts Options) (Report, error) {
	return onFile("rescuing", from, func(r *Report, path string) error {
		for _, path := range []string{to, journalPath(to)} {
			if _, err := os.Lstat(path); err == nil {
				return explain("rescuing a book into", path, fs.ErrExist)
			}
		}
		if err := notHeld(path); err != nil {
			return err
		}
		t, flaw := look(path)
		if errors.Is(flaw, errVersion) {
			return flaw
		}
		sources := []string{journalPath(path), path}
		days, _ := copyDays(copiesOf(path)) // none where they can't be read
		for _, day := range days {
			sources = append(sources, copyPath(copiesOf(path), day))
		}
		all := make(map[place]json.RawMessage)
		for _, source := range sources {
			r.gather(source, all)
		}
		if len(all) == 0 && flaw != nil {
			return flaw
		}
		s, err := r.inOrder(all)
		if err == nil {
			err = fill(to, s, t.drafts, opts)
		}
		if err != nil {
			_, _ = os.Remove(to), os.Remove(journalPath(to)) // what is there of them
			return err
		}
		if t, err = look(to); err != nil {
			return err
		}
		r.lines = append([]string{fmt.Sprintf("%s: %s; read back whole", to, t)}, r.lines...)
		return nil
	})
}

// gather adds what is whole in a file, if that is there, as far as it can be read.
func (r *Report) gather(source string, all map[place]json.RawMessage) {
	text, err := os.ReadFile(source)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		r.say("%s", plain.Line(err.Error()))
	}
	before := len(all)
	eachSealed(text, func(at place, text []byte) {
		if all[at] == nil {
			all[at] = text
		}
	})
	if n := len(all) - before; n > 0 {
		r.say("from %s: %d of the lines", source, n)
	}
}

// eachSealed looks for whole lines in a journal or a book in any state: a value lies there in one piece.
func eachSealed(text []byte, found func(at place, text []byte)) {
	for at := bytes.Index(text, []byte(sealStart)); at >= 0; at = bytes.Index(text, []byte(sealStart)) {
		text = text[at:]
		var one json.RawMessage
		var l line
		err := json.NewDecoder(bytes.NewReader(text)).Decode(&one)
		if err == nil && unseal(one, &l) == nil && l.place != (place{}) {
			found(l.place, one)
			text = text[len(one):]
		} else {
			text = text[len(sealStart):] // a line of a journal has others in it
		}
	}
}

// inOrder are the lines of a book, a bow before its entries, with a made-up description of each bow that has
// lost its own.
func (r *Report) inOrder(all map[place]json.RawMessage) (s save, err error) {
	byName := func(a, b place) int { return strings.Compare(a.String(), b.String()) }
	for _, at := range slices.SortedFunc(maps.Keys(all), byName) {
		if bow := (place{Bow: at.Bow}); at.Bow != "" && all[bow] == nil {
			id, _ := record.Marshal(at.Bow) // no string fails
			doc := fmt.Appendf(nil, `{"id":%s,"limbs":{"upper":{"length":34},"lower":{"length":34}}}`, id)
			err = errors.Join(err, s.add(line{place: bow, Units: measure.Imperial(), Describe: doc}))
			all[bow] = doc
			r.say("bow %s has lost its description: its lengths and units are made up", plain.Line(at.Bow))
			r.bad = true
		}
		s.Lines = append(s.Lines, all[at])
	}
	return s, err
}

func fill(path string, s save, drafts map[string][]byte, opts Options) error {
	b, err := Open(path, opts)
	if err != nil {
		return err
	}
	err = b.update("filling", s, func(tx *bbolt.Tx) error {
		err := new(tally).addMissing(tx, []save{s}, make(map[place]bool))
		for key, doc := range drafts {
			err = errors.Join(err, putText(tx, draftsBucket, key, doc))
		}
		return err
	})
	return errors.Join(err, b.Close())
}
