package session

import (
	"fmt"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Row is one bow as the rack shows it.
type Row struct {
	// Bow is described but for its limbs, stations and aim: see Tag.
	Bow        model.Bow
	Stage      string // as Story.Stage says it
	Waits      string // what it waits for, as Story.Waits says it, or the shop's next stage and from when
	InHand     bool
	HandedOver bool
	Last       time.Time // its last entry
	Sessions   int
	Pass       int
	Pull       measure.Optional[model.Pull] // what it weighs so far
	HalfTyped  string                       // the form that is half typed, "pull", the newest of several; "" where none is
	Damage     error                        // why its entries cannot be read; nil where they can

	// Of a bow in hand:
	Next     string    // the shop's stage that comes next, "varnish, coat 2"; "" where none does
	From     time.Time // when that can be done, where the bow must lie until then; zero where it can be done at once
	Today    bool      // it can be done today
	Handover time.Time // the earliest that it can be handed over
	Coats    int       // still to come
}

// stageDamaged is the stage of a bow whose entries cannot be read.
const stageDamaged = "damaged"

// Rack lists all bows: those in hand first, by the day they are due and then by their last entry, newest first. What is
// wrong with one bow keeps no other from being listed: a bow whose entries cannot be read has the reason in its row,
// and the rows come with the error where a bow cannot be read at all.
func (s *Shop) Rack() ([]Row, error) {
	b, err := s.wholeBoard()
	if b == nil {
		return nil, err
	}
	rows := make([]Row, b.Len())
	for i := range rows {
		rows[i] = b.tell(i)
	}
	return rows, err
}

// Today are the bows in hand as Board.Today lists them. The rows come with the error where a bow cannot be read.
func (s *Shop) Today() ([]Row, error) {
	b, err := s.wholeBoard()
	if b == nil {
		return nil, err
	}
	return b.Today(), err
}

// wholeBoard is the rack with all that there is to find out of it.
func (s *Shop) wholeBoard() (*Board, error) {
	s.mu.Lock()
	s.rail.piecemeal = false
	s.mu.Unlock()
	b, err := s.board(s.tags)
	if b != nil {
		b.Look()()
	}
	return b, err
}

// allowedOn is what a bow may weigh at the ordered draw to be done on the tree: the ordered weight with what finishing and first use
// will still take, or with what the order allows, if that is more.
func allowedOn(bow model.Bow, takes finish.Allowances) finish.Allowed {
	weight, ordered := bow.Order.Weight.Get()
	if !ordered {
		return finish.Allowed{}
	}
	return measure.Some(weight + max(takes.Sum(), bow.Order.Allow.Or(0)))
}

// SayNext says what a bow waits for, and until when it dries where it does: "varnish, coat 2, dry tomorrow 10:00".
func SayNext(p finish.Progress, now time.Time, dates date.Order) string {
	next := p.Waits()
	if !p.Dry.After(now) || next == "" {
		return next
	}
	return fmt.Sprintf("%s, dry %s", next, SayWhen(p.Dry, now, dates))
}

// SayWhen is a time as one says it: the hour for today and tomorrow, else the day. Both are told where now is.
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

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late. ok is false where no
// day was promised, or the bow was handed over.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	return daysLeft(r.Bow.Order.Due, r.HandedOver, now)
}

func daysLeft(day model.Day, handedOver bool, now time.Time) (days int, ok bool) {
	if handedOver || day == "" {
		return 0, false
	}
	due, promised := day.Time()
	if !promised {
		return 0, false
	}
	return int(due.Sub(dayOf(now)).Hours() / 24), true
}

// Misses says by how many days the earliest handover comes after the day that was promised; 0 where it does not.
func (r Row) Misses(place *time.Location) int {
	if r.Handover.IsZero() || r.HandedOver {
		return 0
	}
	due, promised := r.Bow.Order.Due.Time()
	if !promised {
		return 0
	}
	return max(0, int(dayOf(r.Handover.In(place)).Sub(due).Hours()/24))
}

// dayOf is the first moment of a time's day, where the time is, as if it were in UTC: so days are counted.
func dayOf(at time.Time) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}
