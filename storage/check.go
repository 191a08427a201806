package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Check reads all of a book and its journal and compares them entry by entry, also a book that Open
// refuses. What another process has open is checked as it stands at this moment. The error is for a file
// that is no book or can't be read, not for what is wrong with it.
func Check(path string, opts Options) (Report, error) {
	return onFile("checking", path, opts, func(r *Report, found string, _ Options) error {
		copied, _, err := privateCopy(found)
		if err != nil {
			return err
		}
		defer func() { _ = os.Remove(copied) }()
		var t tally
		err = read(copied, func(tx *bbolt.Tx, file *os.File) error {
			if err := t.verify(tx, file); err != nil {
				return err
			}
			return t.compare(tx, journalPath(found))
		})
		if err != nil && !errors.Is(err, ErrDamaged) {
			return err
		}
		if len(t.faults) == 0 {
			t.fault(err)
		}
		if r.bad = len(t.faults) > 0; !r.bad {
			r.say("%s and its journal are whole: %s", path, t.all())
			return nil
		}
		r.say("%s has %s:", path, counted(len(t.faults), "fault", "faults"))
		for _, fault := range t.faults {
			r.say("  %s", plain.Line(fault.Error()))
		}
		r.say("whole are: %s", t.all())
		return nil
	})
}

// compare compares a book, which is whole, with its journal. What came to that since is no fault.
func (t *tally) compare(tx *bbolt.Tx, path string) error {
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.fault(errors.New("the journal is missing; opening the book writes it anew"))
		return nil
	} else if err != nil {
		return err
	}
	defer file.Close()
	known := t.head.Journal.Size
	journal, err := readJournal(io.LimitReader(file, known), known)
	if err != nil {
		return err
	}
	if journal.damaged {
		t.fault(errors.New("the journal is damaged; opening the book writes it anew"))
	}
	if journal.book != "" && journal.book != t.head.ID {
		t.fault(errors.New("the journal belongs to another book"))
	}
	kept := make(map[place][]byte)
	for _, s := range journal.saves {
		for _, text := range s.Lines {
			var l line
			t.fault(unseal(text, &l))
			kept[l.place] = text
		}
	}
	err = eachLine(tx, func(at place, value []byte, _ error) error {
		if text, ok := kept[at]; !ok {
			t.fault(fmt.Errorf("%s: it is not in the journal", at))
		} else if !bytes.Equal(text, value) {
			t.fault(fmt.Errorf("%s: the journal says something else", at))
		}
		delete(kept, at)
		return nil
	})
	for at := range kept {
		t.fault(fmt.Errorf("%s: it is in the journal, but not in the book", at))
	}
	return err
}
