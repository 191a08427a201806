package form

import (
	"slices"
	"strings"

	"bendbook/session"
	"bendbook/session/shop"
)

// Opening is how a half-typed form of a bow is opened again, by what it makes. Forms are opened on a screen or line by line: T is what comes of it.
type Opening[T any] struct {
	Entry   func(*Sheet) T       // a new entry
	Edit    func() T             // the bow's description
	Like    func() T             // a new bow like this one
	Correct func(session.Line) T // an entry that is put right
}

// TakeUp opens the form of a draft again. ok is false for one that the bow has no more, or that this version does not know.
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
	var known Opening[bool]
	known.Entry, known.Edit, known.Like = func(*Sheet) bool { return true }, func() bool { return true }, func() bool { return true }
	known.Correct = func(line session.Line) bool {
		_, ok := Correct(story, line.Entry)
		return ok
	}
	return slices.DeleteFunc(slices.Clone(drafts), func(d shop.Draft) bool {
		is, ok := known.TakeUp(story, d.Form)
		return !is || !ok
	}), err
}
