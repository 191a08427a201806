package shop

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// rowCache holds the rows of all bows once they were read; a new entry then makes only one of them anew.
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

// put adds a new row, or replaces the bow's row.
func (c *rowCache) put(row Row) {
	at, known := c.at(row.Bow.ID)
	if known {
		c.rows[at] = &row
	} else {
		c.rows = slices.Insert(c.rows, at, &row)
	}
	c.learnt, c.unkept[row.Bow.ID] = nil, true
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
	entries, docs, err := s.book.Rows()
	if err != nil {
		return err
	}
	var anew []string
	for _, id := range slices.Sorted(maps.Keys(entries)) {
		if at, has := known.at(id); has && known.rows[at].Entries == entries[id] && known.rows[at].Damage == nil {
			s.rack.rows = append(s.rack.rows, known.rows[at])
		} else if row, ok := rowIn(docs[id], id, entries[id]); ok {
			s.rack.rows = append(s.rack.rows, &row)
		} else {
			anew = append(anew, id)
		}
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
	rec, _, err := s.book.Bow(id)
	if rec.Bow.ID == "" && err != nil {
		s.rack.faults = append(s.rack.faults, err)
		return
	}
	row := rowOf(session.Fold(rec.Description, rec.Items))
	if err != nil {
		row.Damage = unreadable(rec.Bow, err)
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
	s.rack.rows[at] = &row
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

// rowLayout is the version of cached rows. Raise it whenever a row says other things than before.
const rowLayout = 8

// Row is what the shop's lists need of one bow, worked out once from its entries. What follows from the
// shop's settings or from the time isn't cached in the book; it is filled in when the rack is read.
type Row struct {
	Layout  int `json:"layout"`
	Entries int `json:"entries"` // of which it was made
	// Bow is described without what only the bench needs: limbs, stations, aim and the order's notes.
	Bow        model.Bow                        `json:"bow"`
	Stage      string                           `json:"stage"`
	Standing   verdict.Standing                 `json:"standing"`
	Judged     measure.Optional[Judged]         `json:"judged,omitzero"` // at the tree; unread until worked out
	InHand     bool                             `json:"in_hand"`
	HandedOver bool                             `json:"handed_over"`
	Drawn      bool                             `json:"drawn"` // it was pulled at least once
	Last       time.Time                        `json:"last,omitzero"`
	Sessions   int                              `json:"sessions"`
	Pass       int                              `json:"pass"`
	Strokes    int                              `json:"strokes"` // all that were counted
	Set        measure.Optional[measure.Length] `json:"set,omitzero"`
	Pull       measure.Optional[model.Pull]     `json:"pull,omitzero"` // what it weighs so far: draw and peak
	Numbers    []string                         `json:"numbers"`       // every number that it ever had
	Facts      []finish.Fact                    `json:"facts"`         // what its stages follow from
	Repeats    verdict.Repeats                  `json:"repeats"`
	Ledger     measure.Optional[verdict.Ledger] `json:"ledger,omitzero"` // unread until worked out
	Notes      []Note                           `json:"notes,omitempty"`

	HalfTyped string `json:"-"` // the half-typed form, "pull", the newest of several; "" for none
	Damage    error  `json:"-"` // why its entries cannot be read; nil where they can

	Verdict verdict.Verdict `json:"-"` // its Do is "" where it wasn't worked out yet

	// Of a bow in hand:
	From     time.Time `json:"-"` // when it can be followed, while the bow dries; else zero
	Today    bool      `json:"-"` // it can be followed today
	Handover time.Time `json:"-"` // the earliest that the bow can be handed over
}

// Judged is the verdict on a bow at the tree, and what it depends on beside the bow's entries.
type Judged struct {
	Verdict verdict.Verdict                 `json:"verdict"`
	Units   measure.Units                   `json:"units"`
	Wanted  measure.Optional[finish.Wanted] `json:"wanted,omitzero"`
	Scale   float64                         `json:"scale"` // by which ranges were widened
	// NoPattern says why the bow is no pattern for another one; "" where it is one.
	NoPattern string `json:"no_pattern,omitempty"`
}

// Note is a note with its time; what was agreed with the order has none.
type Note struct {
	At   time.Time `json:"at,omitzero"`
	Text string    `json:"text"`
}

// rowOf is the row of a story.
func rowOf(s session.Story) Row {
	bow := s.Desc.Bow
	bow.Handle, bow.Limbs, bow.Aim, bow.Cradle, bow.Order.Notes = 0, [2]model.Limb{}, model.Aim{}, "", ""
	row := Row{
		Layout: rowLayout, Entries: len(s.Lines), Bow: bow, Stage: s.Stage(),
		Standing: verdict.StandingOf(s), InHand: s.InHand,
		HandedOver: s.HandedOver(), Drawn: s.LongestDraw() > 0, Last: s.LastAt().UTC(), Sessions: len(s.Sessions),
		Pass: s.Pass().Number, Strokes: s.Strokes(), Set: s.SetTaken(), Numbers: s.Numbers(), Facts: s.Facts(),
		Repeats: verdict.RepeatsIn(s),
	}
	if pull, _, ok := s.Weight(); ok {
		row.Pull = measure.Some(model.Pull{Draw: pull.Draw, Peak: pull.Peak, String: pull.String})
	}
	if agreed := s.Desc.Bow.Order.Notes; agreed != "" {
		row.Notes = []Note{{Text: agreed}}
	}
	for line := range session.Counting(s.Lines) {
		if note, ok := line.Entry.What.(model.Note); ok {
			row.Notes = append(row.Notes, Note{line.Entry.At.UTC(), note.Text})
		}
	}
	return row
}

// rowIn is the row in a cached document; ok is false for another layout or bow, or other entries.
func rowIn(doc []byte, id string, entries int) (row Row, ok bool) {
	err := json.Unmarshal(doc, &row)
	return row, err == nil && row.Layout == rowLayout && row.Entries == entries && row.Bow.ID == id
}

// Lesson is the last lesson that was noted on the bow, and when; "" where none was.
func (r Row) Lesson() (lesson string, at time.Time) {
	for _, note := range slices.Backward(r.Notes) {
		if lesson = (model.Note{Text: note.Text}).Lesson(); lesson != "" {
			return lesson, note.At
		}
	}
	return "", time.Time{}
}

// order is the order of the rack: bows in hand first, by the day they are due, then by their newest entry.
func (r Row) order(other Row) int {
	const never = model.Day("9999-99-99")
	if r.InHand != other.InHand {
		if r.InHand {
			return -1
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(cmp.Or(r.Bow.Order.Due, never), cmp.Or(other.Bow.Order.Due, never)),
		other.Last.Compare(r.Last), cmp.Compare(r.Bow.Name, other.Bow.Name), cmp.Compare(r.Bow.ID, other.Bow.ID),
	)
}

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if r.HandedOver || !promised {
		return 0, false
	}
	return verdict.DaysTo(due, now), true
}

// Misses says by how many days the earliest handover comes after the day that was promised.
func (r Row) Misses(place *time.Location) int {
	due, promised := r.Bow.Order.Due.Time()
	if r.Handover.IsZero() || r.HandedOver || !promised {
		return 0
	}
	return max(0, -verdict.DaysTo(due, r.Handover.In(place)))
}
