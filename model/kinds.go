package model

import (
	"slices"
	"time"

	"bendbook/model/measure"
)

// Kind names a sort of event, as a record spells it.
type Kind string

// kinds are the kinds of event that this version knows.
var kinds = []descriptor{
	kindOf[Relaxed](),
	kindOf[StringLength](),
	kindOf[Braced](),
	kindOf[Pull](),
	kindOf[Scrape](),
	kindOf[Exercise](),
	kindOf[Finish](),
	kindOf[Moisture](),
	kindOf[Note](),
	kindOf[Void](),
	kindOf[Edit](),
	kindOf[Rack](),
}

// Kinds are the kinds of event that this version knows.
func Kinds() []Kind {
	names := make([]Kind, len(kinds))
	for i, k := range kinds {
		names[i] = k.name
	}
	return names
}

// Exchange goes over the fields of an event of a kind and returns the event as they are then. To read one,
// was is nil. A kind that this version does not know is Unknown and has no fields.
func Exchange(kind Kind, was Event, c Codec) Event {
	i := slices.IndexFunc(kinds, func(k descriptor) bool { return k.name == kind })
	if i < 0 {
		return Unknown{Name: kind}
	}
	return kinds[i].exchange(was, c)
}

// A Codec reads the fields of an event or writes them, each by the method of its type. Names are those of a
// record. A field that must be there is a fault where it is missing.
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

// descriptor is how events of a kind are read and written.
type descriptor struct {
	name     Kind
	exchange func(was Event, c Codec) Event
}

// fielded is a pointer to an event whose fields can be gone over.
type fielded[E Event] interface {
	*E
	Fields(c Codec)
}

func kindOf[E Event, P fielded[E]]() descriptor {
	var zero E
	return descriptor{zero.Kind(), func(was Event, c Codec) Event {
		e, _ := was.(E)
		P(&e).Fields(c)
		return e
	}}
}
