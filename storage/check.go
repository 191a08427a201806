package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Check reads all of a book and its journal and compares them entry by entry, also a book that Open
// refuses. What another process has open is checked as it stands at this moment. The error is for a file
// that is no book or can't be read, not for what is wrong with it.
func Check(path string, _ Options) (Report, error) {
	return onFile("checking", path, func(r *Report, found string) error {
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
		t.fault(errors.New("the journal is missing; it is made again when you open the book"))
		return nil
	} else if err != nil {
		return err
	}
	defer file.Close()
	known := t.head.Journal.Size
	journal, err := readJournal(io.LimitReader(file, known), known, true)
	if err != nil {
		return err
	}
	if journal.damaged {
		t.fault(errors.New("the journal is damaged; it is made again when you open the book"))
	}
	if journal.foreign(t.head.ID) {
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

// reconcile compares a book that was just opened, and has so much in it, with its journal. Lines that the
// book lacks are added: entries are only ever added, so both together are always right. A journal that is
// damaged, or lacks what the book has, is laid aside and written anew.
func (b *Book) reconcile(has tally) error {
	j, known := b.journal, has.head.Journal
	file, err := os.OpenFile(j.path, os.O_RDWR, 0)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if known.Size > 0 {
			b.notice = "The journal was missing. It was written anew from the book."
		}
		return b.renewJournal("")
	case err != nil:
		return fmt.Errorf("its journal: %w", err)
	}
	j.file, j.at = file, known
	text, same, err := sinceKnown(file, known)
	if err != nil || same {
		return err
	}
	why := ""
	switch {
	case text.foreign(b.id):
		why, text.saves = "The journal belonged to another book.", nil
	case text.damaged:
		why = "The journal was damaged."
	default:
		err = j.cutTo(text.end)
	}
	var came tally
	seen := make(map[place]bool)
	if err == nil {
		err = b.commit(save{}, func(tx *bbolt.Tx) error { return came.addMissing(tx, text.saves, seen) })
	}
	if err != nil {
		return err
	}
	if came.lines() > 0 {
		b.notice = came.back() + " came back from the journal. "
	}
	if why == "" && len(seen) < has.lines()+came.lines() {
		why = "The journal lacked part of the book."
	}
	if why != "" {
		var aside string
		if aside, err = freeName(j.path + ".damaged-" + b.opts.now().Format(time.DateOnly)); err == nil {
			err = b.renewJournal(aside)
		}
		b.notice += why + " It was written anew from the book; the old one is " + aside + "."
	}
	b.notice = plain.Line(b.notice)
	return err
}

// addMissing puts into the book the lines that it lacks, counts them, and drops the drafts that their saves
// dropped. An entry whose bow nobody describes is left out. seen are the places of all that are there then.
func (t *tally) addMissing(tx *bbolt.Tx, saves []save, seen map[place]bool) error {
	for _, s := range saves {
		for _, text := range s.Lines {
			at, fresh, err := put(tx, text)
			if errors.Is(err, ErrNoBow) {
				continue
			}
			if err == nil && fresh {
				t.count(at)
				err = bucket(tx, draftsBucket).Delete([]byte(s.Draft))
			}
			if err != nil {
				return err
			}
			seen[at] = true
		}
	}
	return nil
}

// back is what came back, as in "1 bow, 2 entries".
func (t tally) back() string {
	var parts []string
	if t.bows > 0 {
		parts = append(parts, counted(t.bows, "bow", "bows"))
	}
	if t.entries > 0 {
		parts = append(parts, counted(t.entries, "entry", "entries"))
	}
	if t.settings > 0 {
		parts = append(parts, counted(t.settings, "change of settings", "changes of settings"))
	}
	return strings.Join(parts, ", ")
}
