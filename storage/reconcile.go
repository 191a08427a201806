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

// reconcile compares a book that was just opened with its journal. Lines that the book lacks are added:
// entries are only ever added, so both together are always right. A journal that is damaged, or lacks what
// the book has, is laid aside and written anew.
func (b *Book) reconcile() error {
	var h head
	err := b.db.View(func(tx *bbolt.Tx) (err error) {
		h, err = readHead(tx)
		return err
	})
	if err != nil {
		return err
	}
	b.id, b.journal.at = h.ID, h.Journal
	file, err := os.OpenFile(b.journal.path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrNotExist) {
		if h.Journal.Size > 0 {
			b.notice = "The journal was missing. It was written anew from the book."
		}
		return b.renewJournal("")
	} else if err != nil {
		return fmt.Errorf("its journal: %w", err)
	}
	b.journal.file = file
	if ok, err := h.endsIn(file); ok || err != nil {
		return err
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return err
	}
	return b.addFrom(file, h)
}

// addFrom adds to the book what it lacks of its journal, and mends the journal.
func (b *Book) addFrom(file *os.File, h head) error {
	book, placed, damaged, err := readJournal(file, h.Journal)
	if err != nil {
		return err
	}
	why := ""
	if damaged {
		why = "The journal was damaged."
	}
	if book != "" && book != b.id {
		why, placed = "The journal belonged to another book.", nil
	}
	var all []line
	for _, l := range placed {
		all = append(all, l.line)
	}
	if why == "" {
		err = b.journal.cutTo(placed[len(placed)-1].end)
	}
	lacking := 0
	var came tally
	if err == nil {
		err = b.commit(nil, func(tx *bbolt.Tx) (err error) {
			came, lacking, err = addMissing(tx, all)
			return err
		})
	}
	if back := came.back(); err == nil && back != "" {
		b.notice = back + " came back from the journal. "
	}
	if why == "" && lacking > 0 {
		why = "The journal lacked part of the book."
	}
	if err == nil && why != "" {
		var aside string
		if aside, err = freeName(b.journal.path + ".damaged-" + b.opts.Now().Format(time.DateOnly)); err == nil {
			err = b.renewJournal(aside)
		}
		b.notice += why + " It was written anew from the book; the old one is " + aside + "."
	}
	b.notice = plain.Line(b.notice)
	return err
}

// addMissing puts into the book the lines that it lacks, and drops the drafts that their saves dropped. An
// entry whose bow nobody describes is left out. lacking counts what the book has and the lines have not.
func addMissing(tx *bbolt.Tx, lines []line) (came tally, lacking int, err error) {
	known := make(map[place]bool)
	add := func(l line) error {
		fresh, err := put(tx, l)
		if errors.Is(err, ErrNoBow) {
			return nil
		}
		known[l.place()] = true
		if err != nil || !fresh {
			return err
		}
		switch {
		case l.Settings != nil:
			came.settings++
		case l.Entry != nil:
			came.entries++
		default:
			came.bows++
		}
		return bucket(tx, draftsBucket).Delete([]byte(l.Draft))
	}
	for _, entries := range []bool{false, true} { // descriptions first
		for _, l := range lines {
			if err == nil && l.place() != (place{}) && (l.Entry != nil) == entries {
				err = add(l)
			}
		}
	}
	if err != nil {
		return came, 0, err
	}
	err = eachLine(tx, func(at place, _ []byte) error {
		if !known[at] {
			lacking++
		}
		return nil
	})
	return came, lacking, err
}

// back is what came back, as in "1 bow, 2 entries"; "" for nothing.
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
