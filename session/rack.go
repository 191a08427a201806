package session

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// Row is one bow as the rack shows it.
type Row struct {
	Bow        model.Bow
	Stage      string
	Waits      string // what it waits for, as Story.Waits says it
	InHand     bool
	HandedOver bool
	Last       time.Time // its last entry
	Sessions   int
	Pass       int
	Pull       measure.Optional[model.Pull] // what it weighs so far
	HalfTyped  string                       // the form that is half typed, "pull"; "" where none is
	Damage     error                        // why its entries cannot be read; nil where they can
}

// Rack lists all bows: those in hand first, by the day they are due and then by their last entry, newest first. What is
// wrong with one bow keeps no other from being listed: a bow whose entries cannot be read has the reason in its row,
// and the rows come with the error where a bow cannot be read at all.
func (s *Shop) Rack() ([]Row, error) {
	halfTyped, err := s.halfTyped()
	if err != nil {
		return nil, err
	}
	var rows []Row
	err = s.stories(func(story Story, damage error) error {
		row := RowOf(story)
		if damage != nil {
			row.Damage, row.Stage, row.Waits = damage, "damaged", ""
		}
		row.HalfTyped = halfTyped[story.Bow().ID]
		rows = append(rows, row)
		return nil
	})
	slices.SortStableFunc(rows, Row.order)
	if err != nil {
		return rows, fmt.Errorf("reading the rack: %w", err)
	}
	return rows, nil
}

// RowOf is a bow's row on the rack.
func RowOf(s Story) Row {
	row := Row{
		Bow: s.Bow(), Stage: s.Stage(), Waits: s.Waits(), InHand: s.InHand, HandedOver: s.doing == away,
		Last: s.LastAt(), Sessions: len(s.Sessions), Pass: s.Pass().Number,
	}
	if pull, _, ok := s.Weight(); ok {
		row.Pull = measure.Some(pull)
	}
	return row
}

func (r Row) order(other Row) int {
	if r.InHand != other.InHand {
		if r.InHand {
			return -1
		}
		return 1
	}
	const never = model.Day("9999-99-99")
	due, otherDue := cmp.Or(r.Bow.Order.Due, never), cmp.Or(other.Bow.Order.Due, never)
	return cmp.Or(cmp.Compare(due, otherDue), other.Last.Compare(r.Last), cmp.Compare(r.Bow.Name, other.Bow.Name))
}

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late. ok is false where no
// day was promised, or the bow was handed over.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if !promised || r.HandedOver {
		return 0, false
	}
	today := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	return int(due.Sub(today).Hours() / 24), true
}
