package model

import (
	"fmt"
	"time"

	"bendbook/model/plain"
)

// Entry is one line of a bow's record. Entries are only ever added; a mistake is voided by a further entry.
type Entry struct {
	ID   string
	At   time.Time // zero where the record does not say
	What Event
}

// Event is what an entry says. Each kind of event has a file of its own and a line in kinds.
type Event interface {
	// Kind is the event's name in a record.
	Kind() Kind
	// Say tells the event in one line of plain words, in the units of the bow.
	Say(of Bow) string
	// check says whether the event can have happened to the bow. The error is a *FieldError.
	check(of Bow) error
}

// CheckEvent says whether an event can have happened to this bow. The error is a *FieldError.
func (b Bow) CheckEvent(event Event) error {
	if event == nil {
		return nil
	}
	return event.check(b)
}

// Unknown is an event of a kind that this version does not know. It is kept and takes no part in any figure.
type Unknown struct{ Name Kind }

func (u Unknown) Kind() Kind { return u.Name }

func (u Unknown) Say(Bow) string {
	return fmt.Sprintf("%s (a kind of entry that this Bendbook does not know)", plain.Line(string(u.Name)))
}

func (Unknown) check(Bow) error { return nil }
