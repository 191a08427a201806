package session

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Row is one bow as the rack shows it.
type Row struct {
	// Bow is described but for its limbs, stations and aim: see Tag.
	Bow        model.Bow
	Stage      string
	Waits      string // what it waits for, as Story.Waits says it, or the shop's next stage and from when
	InHand     bool
	HandedOver bool
	Last       time.Time // its last entry
	Sessions   int
	Pass       int
	Pull       measure.Optional[model.Pull] // what it weighs so far
	HalfTyped  string                       // the form that is half typed, "pull"; "" where none is
	Damage     error                        // why its entries cannot be read; nil where they can

	// Of a bow in hand:
	Next     string    // the shop's stage that comes next, "varnish, coat 2"; "" where none does
	From     time.Time // when that can be done, where the bow must lie until then; zero where it can be done at once
	Today    bool      // it can be done today
	Handover time.Time // the earliest that it can be handed over
	Coats    int       // still to come
}

// readWhole is how many of the bows that stand first on the rack are read entry by entry each time, so that damage shows there
// before the bow is taken to the bench.
const readWhole = 40

// Rack lists all bows: those in hand first, by the day they are due and then by their last entry, newest first. What is
// wrong with one bow keeps no other from being listed: a bow whose entries cannot be read has the reason in its row,
// and the rows come with the error where a bow cannot be read at all.
func (s *Shop) Rack() ([]Row, error) {
	halfTyped, err := s.halfTyped()
	if err != nil {
		return nil, err
	}
	settings, unset := s.Settings()
	tags, err := s.tags()
	losses := lossesOf(settings, tags)
	slices.SortStableFunc(tags, (*hung).order)
	rows := make([]Row, len(tags))
	now := s.Here()
	for i, tag := range tags {
		if i < readWhole && !tag.read {
			if _, err := s.book.Items(tag.Bow.ID); err != nil {
				tag.damage = fmt.Errorf("reading the entries of %s: %w", NameOf(tag.Bow), err)
			}
		}
		rows[i] = rowOf(tag, settings, losses, now)
		rows[i].HalfTyped = halfTyped[tag.Bow.ID]
	}
	if err = cmp.Or(err, unset); err != nil {
		return rows, fmt.Errorf("reading the rack: %w", err)
	}
	return rows, nil
}

// rowOf is a bow's row on the rack.
func rowOf(t *hung, settings finish.Settings, losses losses, now time.Time) Row {
	row := Row{
		Bow: t.Bow, Stage: t.Stage, Waits: t.Waits, InHand: t.InHand, HandedOver: t.HandedOver,
		Last: t.Last, Sessions: t.Sessions, Pass: t.Pass, Pull: t.Pull,
	}
	if t.damage != nil {
		row.damaged(t.damage)
		return row
	}
	if !t.InHand {
		return row
	}
	p := settings.Progress(t.Log(now.Location()), allowedOn(t.Bow, losses.allowances(t.Bow.Wood)), now)
	row.Next, row.From, row.Today, row.Handover, row.Coats = p.Waits(), p.Dry, p.Today(now), p.Handover, p.CoatsLeft
	switch next := SayNext(p, now); {
	case next == "":
	case t.Waits == waitsFinishing, t.Waits == waitsLonger && p.Tillered():
		row.Waits = waitsFinishing + ": " + next
	case t.Waits == waitsNextStep:
		row.Waits = next
	}
	return row
}

func (r *Row) damaged(why error) { r.Damage, r.Stage, r.Waits = why, "damaged", "" }

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
func SayNext(p finish.Progress, now time.Time) string {
	next := p.Waits()
	if !p.Dry.After(now) || next == "" {
		return next
	}
	return next + ", dry " + SayWhen(p.Dry, now)
}

// SayWhen is a time as one says it: the hour for today and tomorrow, else the day. Both are told where now is.
func SayWhen(at, now time.Time) string {
	at = at.In(now.Location())
	switch at.Format(time.DateOnly) {
	case now.Format(time.DateOnly):
		return "at " + at.Format("15:04")
	case now.AddDate(0, 0, 1).Format(time.DateOnly):
		return "tomorrow " + at.Format("15:04")
	}
	return at.Format(time.DateOnly)
}

// order is that of the rack: those in hand first, by the day they are due, then by their last entry.
func (h *hung) order(other *hung) int {
	if h.InHand != other.InHand {
		if h.InHand {
			return -1
		}
		return 1
	}
	const never = model.Day("9999-99-99")
	due, otherDue := cmp.Or(h.Bow.Order.Due, never), cmp.Or(other.Bow.Order.Due, never)
	return cmp.Or(cmp.Compare(due, otherDue), other.Last.Compare(h.Last), cmp.Compare(h.Bow.Name, other.Bow.Name))
}

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late. ok is false where no
// day was promised, or the bow was handed over.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	if r.HandedOver || r.Bow.Order.Due == "" {
		return 0, false
	}
	due, promised := r.Bow.Order.Due.Time()
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
