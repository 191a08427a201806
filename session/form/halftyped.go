package form

import (
	"slices"
	"strings"

	"bendbook/session"
	"bendbook/session/shop"
)

// Opening is how a half-typed form of a bow is opened again, by what it makes; T is what comes of it.
type Opening[T any] struct {
	Entry   func(*Sheet) T       // a new entry
	Edit    func() T             // the bow's description
	Like    func() T             // a new bow like this one
	Correct func(session.Line) T // an entry that is put right
}

// TakeUp opens the form of a draft again. ok is false for one that the bow has no more, or that this
// version does not know.
func (o Opening[T]) TakeUp(story session.Story, form string) (opened T, ok bool) {
	if id, isCorrection := strings.CutPrefix(form, correctPrefix); isCorrection {
		line, found := story.Line(id)
		if !found {
			return opened, false
		}
		return o.Correct(line), true
	}
	switch form {
	case editForm:
		return o.Edit(), true
	case likeForm:
		return o.Like(), true
	case asideForm:
		return o.Entry(Aside()), true
	}
	for _, kind := range Kinds() {
		if sh := kind.Of(story); sh.Form == form {
			return o.Entry(sh), true
		}
	}
	return opened, false
}

// HalfTyped are the half-typed forms of a bow that can be taken up again, the newest first.
func HalfTyped(s *shop.Shop, story session.Story) ([]shop.Draft, error) {
	drafts, err := s.Drafts(story.Bow().ID)
	yes := func() bool { return true }
	known := Opening[bool]{Entry: func(*Sheet) bool { return true }, Edit: yes, Like: yes,
		Correct: func(line session.Line) bool {
			_, ok := Correct(story, line.Entry)
			return ok
		}}
	return slices.DeleteFunc(slices.Clone(drafts), func(d shop.Draft) bool {
		is, ok := known.TakeUp(story, d.Form)
		return !is || !ok
	}), err
}

// formWord is what is said of a form that is no kind of entry.
type formWord struct{ form, word, about string }

// Names of forms in drafts, of those that are no kind of entry; a correction's is followed by the entry's id.
const (
	editForm      = "edit"
	likeForm      = "like"
	asideForm     = "aside"
	correctPrefix = "correct "
)

// formWords are those of all forms: of the kinds of entry, and of the others.
func formWords() []formWord {
	all := []formWord{
		{correctPrefix, "correction", "An entry that was read or typed wrong, filled in with what it says. " +
			"What you save takes its place; the old one stays in the story, struck out."},
		{"step", "step", "A step of finishing that was done, and its day."},
		{"void", "void", "Why an entry counts no more. It stays in the story, struck out, with this reason."},
		{asideForm, "setting aside", "Why the bow is set aside. It leaves the bows in hand until it is " +
			"taken up again."},
		{"setting", "setting", "One of the shop's settings, filled in as it stands. What cannot be is " +
			"refused with the reason."},
		{"bow", "new bow", "A new bow. Its name and the upper limb's length are all that is needed: ctrl+s " +
			"saves it as soon as both are there, and the rest can be told later."},
		{editForm, "description", "What is known of the bow and its order, filled in with what it says now."},
		{likeForm, "bow like this one", "A new bow, filled in with the order, size and aim of another. " +
			"Change what differs."},
	}
	for _, kind := range Kinds() {
		all = append(all, formWord{kind.Form, kind.Word, kind.About})
	}
	return all
}

// wordOf is what is said of a form; ok is false for one that this version does not know.
func wordOf(form string) (w formWord, ok bool) {
	if strings.HasPrefix(form, correctPrefix) {
		form = correctPrefix
	}
	for _, w := range formWords() {
		if w.form == form {
			return w, true
		}
	}
	return w, false
}

// About says in a sentence or two what the sheet is for.
func (s *Sheet) About() string {
	if w, ok := wordOf(s.Form); ok {
		return w.about
	}
	return s.Title + "."
}

// FormName is a form in words, by its name in drafts; one that this version does not know keeps that.
func FormName(form string) string {
	if w, ok := wordOf(form); ok {
		return w.word
	}
	return form
}
