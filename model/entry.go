package model

import (
	"fmt"
	"time"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Entry is one line of a bow's record. Entries are only ever added; a later entry voids a mistake.
type Entry struct {
	ID   string
	At   time.Time // zero where the record does not say
	What Event
}

// Kind names a sort of event, as a record spells it.
type Kind string

// Event is what an entry says. Each kind of event has a file of its own and a line in kinds.
type Event interface {
	// Kind is the event's name in a record.
	Kind() Kind
	// Say describes the event in one line, in the units of the bow.
	Say(of Bow) string
	// check reports why the event can't have happened to the bow. The error is a *FieldError.
	check(of Bow) error
}

// Work is what an event does to the bow. The zero value leaves it as it was.
type Work struct {
	Begins bool   // a pass: what was read before is of the one before it
	Tiller bool   // the bow is back on the tree, however far it was finished
	Moves  bool   // the string, which may run elsewhere since
	Since  string // what was done, until the bow is read again: it was shot; "" where it needn't be
	Gently bool   // it is drawn little by little after that
	Off    string // what its strip says of it: shot 30; "" for nothing
}

// WorkOf is what an event does to a bow, if its kind says so by a method Work.
func WorkOf(event Event, of Bow) Work {
	if works, ok := event.(interface{ Work(of Bow) Work }); ok {
		return works.Work(of)
	}
	return Work{}
}

// CheckEvent reports why an event can't have happened to this bow. The error is a *FieldError.
func (b Bow) CheckEvent(event Event) error {
	if event == nil {
		return nil
	}
	return event.check(b)
}

// A Codec reads or writes the fields of an event, each by the method of its type. Names are those of a
// record.
type Codec interface {
	Text(name string, v *string)     // left out where it is empty
	FullText(name string, v *string) // written also where it is empty
	Word(name string, v *string)     // one of few
	Day(name string, v *Day)
	Side(name string, v *Side)
	Flag(name string, v *bool)         // must be there
	Name(name, want string, v *string) // must be there; want says what it is

	Length(name string, v *measure.Length) // must be there
	MaybeLength(name string, v *measure.Optional[measure.Length])
	MaybeForce(name string, v *measure.Optional[measure.Force])
	MaybeSeconds(name string, v *measure.Optional[time.Duration])
	Number(name string, v *float64) // must be there
	MaybeNumber(name string, v *measure.Optional[float64])
	Count(name string, v *int)
	MaybeCount(name string, v *measure.Optional[int])

	Datum(v *Datum, usual Datum) // the field from
	Readings(v *Readings)        // the fields upper and lower
	Block(v **Block)
	Patch(name string, v *[]byte) // an object that is kept as it is written
}

// Unknown is an event of a kind that this version doesn't know. It is kept, and no figure depends on it.
type Unknown struct{ Name Kind }

func (u Unknown) Kind() Kind { return u.Name }

func (u Unknown) Say(Bow) string {
	return fmt.Sprintf("%s (a kind of entry that this Bendbook does not know)", plain.Line(string(u.Name)))
}

func (Unknown) check(Bow) error { return nil }
