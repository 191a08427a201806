package session

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/record"
)

// AmbiguousError says which bows a name could mean.
type AmbiguousError struct {
	Asked string
	Could []model.Bow
}

// Error implements error.
func (e *AmbiguousError) Error() string {
	names := make([]string, len(e.Could))
	for i, bow := range e.Could {
		names[i] = fmt.Sprintf("%q", NameOf(bow))
		if bow.Number != "" {
			names[i] += " (number " + bow.Number + ")"
		}
	}
	return fmt.Sprintf("%q could be %s; give its number, its id or more of its name", e.Asked, strings.Join(names, ", "))
}

// Find is the bow that a number, an id or the unambiguous start of a name means. Letter case does not matter.
// The error wraps ErrNoBow, or is an *AmbiguousError.
func (s *Shop) Find(asked string) (model.Bow, error) {
	var byNumber, byName, byStart []model.Bow
	var byID *model.Bow
	want := strings.ToLower(strings.TrimSpace(asked))
	err := s.book.Bows(func(first record.Description) error {
		bow, err := s.described(first)
		if err != nil {
			return err
		}
		name := strings.ToLower(bow.Name)
		switch {
		case strings.EqualFold(bow.ID, want):
			byID = &bow
		case bow.Number != "" && strings.EqualFold(bow.Number, want):
			byNumber = append(byNumber, bow)
		case name == want:
			byName = append(byName, bow)
		case want != "" && strings.HasPrefix(name, want):
			byStart = append(byStart, bow)
		}
		return nil
	})
	if err != nil {
		return model.Bow{}, fmt.Errorf("looking for %q: %w", asked, err)
	}
	if byID != nil {
		return *byID, nil
	}
	for _, found := range [][]model.Bow{byNumber, byName, byStart} {
		switch len(found) {
		case 0:
			continue
		case 1:
			return found[0], nil
		}
		return model.Bow{}, &AmbiguousError{Asked: asked, Could: found}
	}
	return model.Bow{}, fmt.Errorf("%w: %q is neither number, id nor the start of a name in this book", ErrNoBow, asked)
}

// described is a bow with its edits.
func (s *Shop) described(first record.Description) (model.Bow, error) {
	items, err := s.book.Items(first.Bow.ID)
	if err != nil {
		return model.Bow{}, err
	}
	return Fold(first, items).Bow(), nil
}

// NameOf is the bow's name, or its number or the start of its id where it has none.
func NameOf(bow model.Bow) string {
	switch {
	case strings.TrimSpace(bow.Name) != "":
		return bow.Name
	case bow.Number != "":
		return "number " + bow.Number
	}
	return "bow " + bow.ID[:min(len(bow.ID), 10)]
}
