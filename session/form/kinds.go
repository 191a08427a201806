package form

import (
	"cmp"
	"fmt"

	"bendbook/model"
	"bendbook/session"
)

// Kind is a kind of entry with its form, as the bench and the finishing offer it.
type Kind struct {
	Key  string // the letter that begins it at the bench; "" for one that only the finishing begins
	Name string // a word or two
	Main bool   // it is entered on most days
	Long string // what it asks for, in a sentence

	Form    string // the form's name in drafts; "" is Name
	Word    string // the form in words, where it is half typed; "" is Name
	Title   string // "" is Name with a capital
	Caution string // one line at the moment of risk; "" for none
	About   string // what the form is for, in a sentence or two; "" is Long

	Of func(session.Story) *Sheet
	// correct is the sheet of an event, filled in with what it says; nil, or ok false, where it has none
	// here.
	correct func(story session.Story, what model.Event) (s *Sheet, ok bool)
}

// Kinds are all of them, in the order in which they are offered.
func Kinds() []Kind {
	return []Kind{
		pullKind(),
		bracedKind(),
		blockKind(),
		relaxedKind(),
		scrapeKind(),
		measureKind(),
		exerciseKind(),
		noteKind(),
		stringKind(),
		weighKind(),
		moistureKind(),
	}
}

// asksFor lets the kind ask for its events by fields that are always the same.
func asksFor[E model.Event](k Kind, fields ...field[E]) Kind {
	return asks(k, func(session.Story, E) table[E] { return table[E]{fields: fields} })
}

// asks lets the kind ask for its events by a table. The table is made for a new event, where was is none, and
// for one that is corrected.
func asks[E model.Event](k Kind, fields func(story session.Story, was E) table[E]) Kind {
	k.Form, k.Word = cmp.Or(k.Form, k.Name), cmp.Or(k.Word, k.Name)
	k.Title, k.About = cmp.Or(k.Title, session.Capital(k.Name)), cmp.Or(k.About, k.Long)
	sheet := func(story session.Story, was E, corrected bool) *Sheet {
		t := fields(story, was)
		if t.of = story.Bow(); !corrected {
			return entrySheet(k, t)
		}
		t.was = was
		s := entrySheet(k, t)
		t.fill(s)
		return s
	}
	k.Of = func(story session.Story) *Sheet {
		var none E
		return sheet(story, none, false)
	}
	k.correct = func(story session.Story, what model.Event) (*Sheet, bool) {
		if was, ok := what.(E); ok {
			return sheet(story, was, true), true
		}
		return nil, false
	}
	return k
}

// Correct is the sheet of an entry that was read or typed wrong, filled in with what it says. The story is
// the one without that entry, so that what it says is held against what came before. ok is false for an
// entry that has no such sheet.
func Correct(story session.Story, entry model.Entry) (s *Sheet, ok bool) {
	for _, kind := range Kinds() {
		if kind.correct == nil {
			continue
		}
		if s, ok := kind.correct(story, entry.What); ok {
			s.Form, s.Title = correctPrefix+entry.ID, fmt.Sprintf("Correct: %s", s.Title)
			return s, true
		}
	}
	return nil, false
}
