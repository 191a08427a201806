package storage

import (
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
	if ok, err := j.endsAt(known); ok || err != nil {
		return err
	}
	text, err := readJournal(io.NewSectionReader(file, 0, 1<<62), known.Size)
	if err != nil {
		return err
	}
	why := ""
	switch {
	case text.book != "" && text.book != b.id:
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
		if aside, err = freeName(j.path + ".damaged-" + b.opts.Now().Format(time.DateOnly)); err == nil {
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
