package model

import "slices"

// kinds are the kinds of event that this version knows.
var kinds = []descriptor{
	kindOf[Relaxed](),
	kindOf[StringLength](),
	kindOf[Braced](),
	kindOf[Pull](),
	kindOf[Scrape](),
	kindOf[Shorten](),
	kindOf[Exercise](),
	kindOf[Shot](),
	kindOf[Finish](),
	kindOf[Moisture](),
	kindOf[Note](),
	kindOf[Track](),
	kindOf[Heat](),
	kindOf[Patch](),
	kindOf[Crack](),
	kindOf[Mended](),
	kindOf[Void](),
	kindOf[Edit](),
	kindOf[Rack](),
}

// Kinds names all known kinds of event.
func Kinds() []Kind {
	names := make([]Kind, len(kinds))
	for i, k := range kinds {
		names[i] = k.name
	}
	return names
}

// Exchange reads or writes the fields of an event of a kind, as c does, and returns the event. When reading,
// was is nil. A kind that this version doesn't know becomes Unknown, without fields.
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

// fielded is a pointer to an event, which its fields are read into.
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
