package shop

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
)

// rowCache holds the rows of all bows once they were read, so that a new entry makes one of them anew.
type rowCache struct {
	read   bool
	rows   []*Row          // in order of ids; a row never changes, it is replaced
	unkept map[string]bool // ids of the rows that the book does not have yet
	faults []error         // why bows cannot be read at all
	learnt *losses         // nil where the losses must be learnt anew
}

func (c *rowCache) at(id string) (at int, known bool) {
	return slices.BinarySearchFunc(c.rows, id, func(row *Row, id string) int {
		return cmp.Compare(row.Bow.ID, id)
	})
}

// put takes a row in, in place of the bow's row before.
func (c *rowCache) put(row Row) {
	at, known := c.at(row.Bow.ID)
	if known {
		c.rows[at] = &row
	} else {
		c.rows = slices.Insert(c.rows, at, &row)
	}
	c.learnt = nil
}

// rows are those of all bows in order of ids; they come with the error where a bow cannot be read at all.
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

// readRows reads the cached rows, and makes anew those that the book has not or that are of fewer entries.
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
	first, known, err := s.book.Bow(id)
	if err == nil && !known {
		err = fmt.Errorf("%w: %s", ErrNoBow, id)
	}
	if err != nil {
		s.rack.faults = append(s.rack.faults, err)
		return
	}
	items, err := s.book.Items(id)
	if err != nil {
		row := rowOf(session.Fold(first, nil))
		row.Damage = unreadable(first.Bow, err)
		s.rack.put(row)
		return
	}
	s.rack.put(rowOf(session.Fold(first, items)))
	s.rack.unkept[id] = true
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
		s.rack.unkept[story.Desc.Bow.ID] = true
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

// Rack lists all bows: those in hand first, by the day they are due and then by their newest entry. A bow
// whose entries cannot be read has the reason in its row; the rows come with the error for one that is all
// lost.
func (s *Shop) Rack() ([]Row, error) {
	rows, err := s.rows()
	if rows == nil && err != nil {
		return nil, fmt.Errorf("reading the rack: %w", err)
	}
	halfTyped, undrafted := s.halfTyped()
	settings, unset := s.Settings()
	learnt, now, dates := s.losses(settings, rows), s.Here(), s.DatesOf(settings)
	told := make([]Row, len(rows))
	for i, row := range rows {
		told[i] = row.told(settings, learnt.allowances(row.Bow.Wood), now, dates)
		if half := halfTyped[row.Bow.ID]; len(half) > 0 {
			told[i].HalfTyped = half[0].Form
		}
		told[i].Bow = row.Bow.ShownIn(settings.ShownUnits())
	}
	slices.SortFunc(told, Row.order)
	if err = cmp.Or(err, undrafted, unset); err != nil {
		return told, fmt.Errorf("reading the rack: %w", err)
	}
	return told, nil
}

// Today are the bows in hand: those with which something can be done today first, then by when they are dry.
func (s *Shop) Today() ([]Row, error) {
	rows, err := s.Rack()
	rows = slices.DeleteFunc(rows, func(row Row) bool { return !row.InHand || row.Damage != nil })
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(firstWhere(a.Today, b.Today), a.From.Compare(b.From))
	})
	return rows, err
}

// told is the row with what follows from the shop's settings, what its wood loses in finishing, and the time.
func (r Row) told(settings finish.Settings, takes finish.Allowances, now time.Time, dates date.Order) Row {
	switch {
	case r.Damage != nil:
		r.Stage, r.Waits = "damaged", ""
		return r
	case !r.InHand:
		return r
	}
	p := settings.Progress(logOf(r.Facts, now.Location()), allowedOn(r.Bow, takes), now)
	r.Next, r.From, r.Today, r.Handover = p.Waits(), p.Dry, p.Today(now), p.Handover
	switch next := SayNext(p, now, dates); {
	case next == "":
	case r.Waits == session.WaitsFinishing, r.Waits == session.WaitsLonger && p.Tillered():
		r.Waits = fmt.Sprintf("%s: %s", session.WaitsFinishing, next)
	case r.Waits == session.WaitsNextStep:
		r.Waits = next
	}
	return r
}

// allowedOn is what a bow may weigh at the ordered draw to be done on the tree: the ordered weight with what
// finishing and first use will still take, or with what the order allows, if that is more.
func allowedOn(bow model.Bow, takes finish.Allowances) finish.Allowed {
	weight, ordered := bow.Order.Weight.Get()
	if !ordered {
		return finish.Allowed{}
	}
	return measure.Some(weight + max(takes.Sum(), bow.Order.Allow.Or(0)))
}

// SayNext says what a bow waits for, and until when it dries: "varnish, coat 2, dry tomorrow 10:00".
func SayNext(p finish.Progress, now time.Time, dates date.Order) string {
	next := p.Waits()
	if !p.Dry.After(now) || next == "" {
		return next
	}
	return fmt.Sprintf("%s, dry %s", next, SayWhen(p.Dry, now, dates))
}

// SayWhen is a time as one says it where now is: the hour for today and tomorrow, else the day.
func SayWhen(at, now time.Time, dates date.Order) string {
	if at = at.In(now.Location()); at.Format(time.DateOnly) == now.Format(time.DateOnly) {
		return fmt.Sprintf("at %s", at.Format("15:04"))
	}
	return SayUntil(at, now, dates)
}

// SayUntil is that time as it is said behind until, from or by: the hour alone for today.
func SayUntil(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch at.Format(time.DateOnly) {
	case now.Format(time.DateOnly):
		return at.Format("15:04")
	case now.AddDate(0, 0, 1).Format(time.DateOnly):
		return fmt.Sprintf("tomorrow %s", at.Format("15:04"))
	}
	return dates.Print(at)
}
