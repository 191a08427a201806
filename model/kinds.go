package model

import "slices"

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
