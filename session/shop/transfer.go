package shop

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
)

// Imported is what one record brought into the book.
type Imported struct {
	Name    string
	New     bool // the bow was not in the book
	Entries int  // entries that were added
	// DescribedElse: the record describes the bow otherwise and no entry says why. The book's own stayed.
	DescribedElse bool
	Differ        []string // ids of entries that the book has with other text; the book's own stayed
	// SameNumber are the bows of the book that have its number, or had it.
	SameNumber []string
}

// String describes it in a line.
func (i Imported) String() string {
	parts := []string{plain.Plural(i.Entries, "%d new entry", "%d new entries", i.Entries)}
	if i.New {
		parts[0] = plain.Plural(i.Entries, "new bow, %d entry", "new bow, %d entries", i.Entries)
	}
	if i.DescribedElse {
		parts = append(parts, "the book describes it differently, and keeps its own")
	}
	if n := len(i.Differ); n > 0 {
		parts = append(parts, plain.Plural(n, "%d entry is", "%d entries are", n)+
			" in the book with other text, and the book keeps its own")
	}
	if len(i.SameNumber) > 0 {
		parts = append(parts, fmt.Sprintf("it has the number of %s: both stay; look at the stamps and change "+
			"one", strings.Join(i.SameNumber, " and of ")))
	}
	return i.Name + ": " + strings.Join(parts, "; ")
}

// Import brings the records of r into the book, each all or nothing, and calls told for each. A bow that the
// book has gets the entries that it lacks. The error names the record at fault; those before it stay.
func (s *Shop) Import(r io.Reader, told func(Imported)) error {
	defer s.KeepRows()
	records := record.NewReader(r)
	for {
		rec, err := records.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		done, err := s.importRecord(rec)
		if err != nil {
			return err
		}
		told(done)
	}
}

func (s *Shop) importRecord(rec record.Record) (Imported, error) {
	done := Imported{Name: session.NameOf(rec.Bow)}
	if rec.Bow.ID == "" {
		return done, errors.New("bow.id: missing: write the bow's own id")
	}
	mine, known, err := s.book.Bow(rec.Bow.ID)
	if err != nil {
		return done, unreadable(rec.Bow, err)
	}
	if !known {
		rec = session.AsFirst(rec)
		rec.Items, _ = record.Merge(nil, rec.Items)
		done.New, done.Entries = true, len(rec.Items)
		if err := s.book.AddBow(rec, ""); err != nil {
			return done, fmt.Errorf("keeping %s: %w", done.Name, err)
		}
		s.arrived(session.Fold(rec.Description, rec.Items), &done)
		return done, nil
	}
	if mine.Bow.Units != rec.Bow.Units {
		return done, fmt.Errorf("units: the book keeps %s in %s and %s: give a record in these",
			done.Name, mine.Bow.Units.Length, mine.Bow.Units.Force)
	}
	add, differ := record.Merge(mine.Items, rec.Items)
	done.Entries, done.Differ = len(add), differ
	story := session.Fold(mine.Description, mine.Items).With(add...)
	done.DescribedElse = describedElse(story, rec)
	if len(add) == 0 {
		return done, nil
	}
	if err := s.book.AddItems(rec.Bow.ID, add, ""); err != nil {
		return done, fmt.Errorf("keeping the new entries of %s: %w", done.Name, err)
	}
	s.arrived(story, &done)
	return done, nil
}

// arrived notes the story of an imported bow, and the other bows that have its number or had it.
func (s *Shop) arrived(story session.Story, done *Imported) {
	s.retold(story)
	for _, bow := range s.numbered(story.Numbers(), story.Desc.Bow.ID) {
		done.SameNumber = append(done.SameNumber, session.NameOf(bow))
	}
}

// describedElse says whether a record describes a bow otherwise than the book and no entry explains it.
func describedElse(story session.Story, rec record.Record) bool {
	for _, line := range story.Lines {
		same := func(item record.Item) bool { return item.Entry.ID == line.Entry.ID }
		switch line.Entry.What.(type) {
		case model.Edit, model.Void:
			if !slices.ContainsFunc(rec.Items, same) {
				return false
			}
		}
	}
	_, changes, err := story.Desc.EditTo(rec.Bow)
	return changes || err != nil
}

// ExportAll calls visit with the record of each bow until it fails; the error names bows that can't be read.
func (s *Shop) ExportAll(visit func(record.Record) error) error {
	rows, err := s.rows()
	unread := []error{err}
	for _, row := range rows {
		rec, _, err := s.book.Bow(row.Bow.ID)
		if err != nil {
			unread = append(unread, unreadable(rec.Bow, err))
		} else if err := visit(session.Fold(rec.Description, rec.Items).Record()); err != nil {
			unread = append(unread, err)
			break
		}
	}
	return errors.Join(unread...)
}
