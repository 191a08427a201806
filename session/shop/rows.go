package shop

import (
	"cmp"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/session"
)

// rowCache holds the rows of all bows once they were read; a new entry then makes only one of them anew.
type rowCache struct {
	read   bool
	rows   []*Row          // in order of ids; a row never changes, it is replaced
	unkept map[string]bool // ids of the rows that the book does not have yet
	faults []error         // why bows cannot be read at all
	learnt *losses         // nil where the losses must be learnt anew
	// learner is nil where ranges and errors must be.
	learner *learner
}

func (c *rowCache) at(id string) (at int, known bool) {
	return slices.BinarySearchFunc(c.rows, id, func(row *Row, id string) int {
		return cmp.Compare(row.Bow.ID, id)
	})
}

// put adds a new row, or replaces the bow's row.
func (c *rowCache) put(row Row) {
	at, known := c.at(row.Bow.ID)
	if known {
		c.rows[at] = &row
	} else {
		c.rows = slices.Insert(c.rows, at, &row)
	}
	c.learnt, c.learner, c.unkept[row.Bow.ID] = nil, nil, true
}

// rows are those of all bows in order of ids, with an error if any bow can't be read at all.
func (s *Shop) rows() ([]*Row, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.rack.read {
		if err := s.readRows(); err != nil {
			return nil, err
		}
	}
	var err error
	if n := len(s.rack.faults); n > 0 {
		err = s.rack.faults[0]
		if n > 1 {
			err = fmt.Errorf("%w, and %d more bows", err, n-1)
		}
	}
	return slices.Clone(s.rack.rows), err
}

// readRows reads the rows that the book has cached, and makes those that are missing or out of date.
func (s *Shop) readRows() error {
	known := s.rack
	s.rack = rowCache{unkept: make(map[string]bool)}
	var anew []string
	err := s.book.Rows(func(id string, entries int, doc []byte) error {
		if at, has := known.at(id); has && known.rows[at].Entries == entries && known.rows[at].Damage == nil {
			s.rack.rows = append(s.rack.rows, known.rows[at])
		} else if row, ok := rowIn(doc, id, entries); ok {
			s.rack.rows = append(s.rack.rows, &row)
		} else {
			anew = append(anew, id)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, id := range anew {
		s.makeRow(id)
	}
	s.keepRows()
	s.rack.read = true
	return nil
}

// makeRow makes a bow's row from its entries.
func (s *Shop) makeRow(id string) {
	first, _, err := s.book.Bow(id)
	if err != nil {
		s.rack.faults = append(s.rack.faults, err)
		return
	}
	items, damage := s.book.Items(id)
	row := rowOf(session.Fold(first, items))
	if damage != nil {
		row.Damage = unreadable(first.Bow, damage)
	}
	s.rack.put(row)
}

// unreadable says that a bow's entries cannot be read.
func unreadable(bow model.Bow, err error) error {
	return fmt.Errorf("reading the entries of %s: %w", session.NameOf(bow), err)
}

// retold notes that a bow was added to, and what its story is now.
func (s *Shop) retold(story session.Story) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rack.read {
		s.rack.put(rowOf(story))
	}
}

// noteDamage notes that a bow whose row was cached turned out to be unreadable; nil notes that it was read.
func (s *Shop) noteDamage(id string, damage error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, known := s.rack.at(id)
	switch {
	case !known:
	case damage != nil:
		row := *s.rack.rows[at]
		row.Damage = damage
		s.rack.put(row)
	case s.rack.rows[at].Damage != nil:
		s.makeRow(id)
	}
}

// KeepRows has the book cache the rows that changed, so that it opens sooner the next time.
func (s *Shop) KeepRows() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.keepRows()
}

func (s *Shop) keepRows() {
	docs := make(map[string][]byte, len(s.rack.unkept))
	for id := range s.rack.unkept {
		if at, known := s.rack.at(id); known && s.rack.rows[at].Damage == nil {
			if doc, err := json.Marshal(s.rack.rows[at]); err == nil {
				docs[id] = doc
			}
		}
	}
	clear(s.rack.unkept)
	if len(docs) > 0 && s.book.ReadOnly() == "" {
		// Nothing is lost where that fails: they are made again the next time.
		_ = s.book.KeepRows(docs)
	}
}

// amend adds to a story's row what was worked out of it, unless the bow was added to since.
func (s *Shop) amend(story session.Story, add func(*Row)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, known := s.rack.at(story.Bow().ID)
	if !known || s.rack.rows[at].Entries != len(story.Lines) {
		return
	}
	row := *s.rack.rows[at]
	add(&row)
	s.rack.rows[at], s.rack.learner = &row, nil
	s.rack.unkept[row.Bow.ID] = true
}

// losses are what the bows lost, learnt once as long as neither the rows nor the settings change.
func (s *Shop) losses(settings finish.Settings, rows []*Row) *losses {
	s.mu.Lock()
	defer s.mu.Unlock()
	if l := s.rack.learnt; l == nil || !reflect.DeepEqual(l.settings, settings) {
		s.rack.learnt = lossesOf(settings, rows)
	}
	return s.rack.learnt
}

// learner is cached as long as no row changes.
func (s *Shop) learner(rows []*Row) learner {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rack.learner == nil {
		l := learnerOf(rows)
		s.rack.learner = &l
	}
	return *s.rack.learner
}
