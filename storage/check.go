package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Check reads all of a book and its journal and compares them entry by entry, also a book that Open
// refuses. What another process has open is checked as it stands at this moment. The error is for a file
// that is no book or can't be read, not for what is wrong with it.
func Check(path string, opts Options) (Report, error) {
	return onFile("checking", path, opts, func(r *Report, found string, opts Options) error {
		if err := inspect(found, opts); err != nil {
			return err
		}
		copied, _, err := privateCopy(found, opts)
		if err != nil {
			return err
		}
		defer func() { _ = os.Remove(copied) }()
		return r.check(path, copied, journalPath(found))
	})
}

// check checks a copy that nobody else has, and a journal. name is what the user calls the book.
func (r *Report) check(name, copied, journal string) error {
	_, t, err := look(copied, Options{}.withDefaults())
	if err == nil {
		t.faults, err = compareJournal(copied, journal)
	}
	if err != nil && !errors.Is(err, ErrDamaged) {
		return err
	}
	if err != nil && len(t.faults) == 0 {
		t.faults = append(t.faults, err)
	}
	if len(t.faults) == 0 {
		r.say("%s and its journal are whole: %s", name, t.all())
		return nil
	}
	r.bad = true
	r.say("%s has %s:", name, counted(len(t.faults), "fault", "faults"))
	for _, fault := range t.faults {
		r.say("  %s", plain.Line(fault.Error()))
	}
	r.say("whole are: %s", t.all())
	return nil
}

// compareJournal compares a book, which is whole, with a journal.
func compareJournal(book, path string) (faults []error, err error) {
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return []error{errors.New("the journal is missing; opening the book writes it anew")}, nil
	} else if err != nil {
		return nil, err
	}
	defer file.Close()
	db, bolt, err := openBolt(book, bbolt.Options{ReadOnly: true}, Options{}.withDefaults())
	if err != nil {
		return nil, err
	}
	fault := func(what string) { faults = append(faults, errors.New(what)) }
	err = guarded(func() error {
		return db.View(func(tx *bbolt.Tx) error {
			h, err := readHead(tx)
			if err != nil {
				return err
			}
			id, lines, damaged, err := readJournal(file, h.Journal)
			if err != nil {
				return err
			}
			if damaged {
				fault("the journal is damaged; opening the book writes it anew")
			}
			if id != "" && id != h.ID {
				fault("the journal belongs to another book")
			}
			kept := make(map[place]line)
			for _, l := range lines {
				if l.place() != (place{}) && l.end.Size <= h.Journal.Size { // what came since is no fault
					kept[l.place()] = l.line
				}
			}
			err = eachLine(tx, func(at place, value []byte) error {
				l, ok := kept[at]
				delete(kept, at)
				if !ok {
					fault(fmt.Sprintf("%s: it is not in the journal", at))
				} else if text, err := l.value(); err != nil || !bytes.Equal(text, value) {
					fault(fmt.Sprintf("%s: the journal says something else", at))
				}
				return nil
			})
			for at := range kept {
				fault(fmt.Sprintf("%s: it is in the journal, but not in the book", at))
			}
			return err
		})
	})
	return faults, also(err, closeAfter(err, db, bolt))
}
