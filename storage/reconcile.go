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

// reconcile compares a book that was just opened with its journal. Lines that the book lacks are added: entries are only
// ever added, so both together are always right. A journal that is damaged, or lacks what the book has, is laid aside
// and written anew.
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
	c, err := readJournal(file, h.Journal)
	if err != nil {
		return err
	}
	return b.addFrom(c)
}

// addFrom adds to the book what it lacks of a journal, and mends the journal.
func (b *Book) addFrom(c content) error {
	why := ""
	end := c.first
	var all []line
	switch {
	case c.book != "" && c.book != b.id:
		why = "The journal belonged to another book."
	default:
		if c.damaged {
			why = "The journal was damaged."
		}
		for _, l := range c.lines {
			all, end = append(all, l.line), l.end
		}
	}
	if why == "" {
		if err := b.journal.cutTo(end); err != nil {
			return err
		}
	}
	var homeless, lacking int
	err := b.commit(nil, func(tx *bbolt.Tx) (err error) {
		b.came, homeless, lacking, err = addMissing(tx, all)
		return err
	})
	if err != nil {
		return err
	}
	var notice []string
	if back := b.came.back(); back != "" {
		notice = append(notice, back+" came back from the journal.")
	}
	if why == "" && lacking > 0 {
		why = "The journal lacked part of the book."
	}
	if why != "" {
		aside, err := freeName(b.journal.path + ".damaged-" + b.opts.Now().Format(time.DateOnly))
		if err == nil {
			err = b.renewJournal(aside)
		}
		if err != nil {
			return err
		}
		notice = append(notice, why+" It was written anew from the book; the old one is "+aside+".")
	}
	if homeless > 0 {
		notice = append(notice, plain.Plural(homeless, "%d entry there belongs", "%d entries there belong", homeless)+
			" to a bow whose description is lost: bendbook rescue brings back all that is there.")
	}
	b.notice = plain.Line(strings.Join(notice, " "))
	return nil
}

// addMissing puts into the book the lines that it lacks, and drops the drafts that their saves dropped. homeless counts
// entries whose bow nobody describes; lacking, what the book has and the lines have not.
func addMissing(tx *bbolt.Tx, lines []line) (came tally, homeless, lacking int, err error) {
	known := make(map[place]bool)
	for _, entries := range []bool{false, true} { // descriptions first
		for _, l := range lines {
			if (l.Entry != nil) != entries || known[l.place()] {
				continue
			}
			fresh, err := put(tx, l)
			if errors.Is(err, ErrNoBow) {
				homeless++
				continue
			} else if err != nil {
				return came, homeless, lacking, err
			}
			known[l.place()] = true
			switch {
			case !fresh:
				continue
			case l.Settings != nil:
				came.settings++
			case l.Entry != nil:
				came.entries++
			default:
				came.bows++
			}
			if err := bucket(tx, draftsBucket).Delete([]byte(l.Draft)); err != nil {
				return came, homeless, lacking, err
			}
		}
	}
	err = eachLine(tx, func(at place, _ []byte) error {
		if !known[at] {
			lacking++
		}
		return nil
	})
	return came, homeless, lacking, err
}

// back is what came back, as in "1 bow, 2 entries"; "" for nothing.
func (t tally) back() string {
	var parts []string
	if t.bows > 0 {
		parts = append(parts, plain.Plural(t.bows, "%d bow", "%d bows", t.bows))
	}
	if t.entries > 0 {
		parts = append(parts, plain.Plural(t.entries, "%d entry", "%d entries", t.entries))
	}
	if t.settings > 0 {
		parts = append(parts, plain.Plural(t.settings, "%d change of settings", "%d changes of settings", t.settings))
	}
	return strings.Join(parts, ", ")
}
