package shop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
)

// Find is the bow that a number, an id or the unambiguous start of a name means, compared as they are shown,
// whatever the letter case. The error wraps ErrNoBow where there is none.
func (s *Shop) Find(asked string) (model.Bow, error) {
	var found [4][]model.Bow // by id, number, name and the start of a name
	want := strings.ToLower(plain.Line(asked))
	if want == "" {
		return model.Bow{}, fmt.Errorf("%w: name its number, its id or the start of its name", ErrNoBow)
	}
	rows, err := s.rows()
	for _, row := range rows {
		bow := row.Bow
		name := strings.ToLower(plain.Line(bow.Name))
		switch {
		case strings.ToLower(plain.Line(bow.ID)) == want:
			found[0] = append(found[0], bow)
		case strings.ToLower(plain.Line(bow.Number)) == want:
			found[1] = append(found[1], bow)
		case name == want:
			found[2] = append(found[2], bow)
		case strings.HasPrefix(name, want):
			found[3] = append(found[3], bow)
		}
	}
	for _, could := range found {
		if len(could) == 1 {
			return could[0], nil
		}
		if len(could) > 1 {
			return model.Bow{}, ambiguous(asked, could)
		}
	}
	if err != nil {
		return model.Bow{}, fmt.Errorf("looking for %q: %w", asked, err)
	}
	return model.Bow{}, fmt.Errorf("%w: nothing matches %q. Type its number, its id or the start of its name",
		ErrNoBow, asked)
}

// ambiguous says which bows a name could mean, as many as can be read.
func ambiguous(asked string, could []model.Bow) error {
	const most = 10
	var names []string
	for _, bow := range could[:min(len(could), most)] {
		called := cmp.Or(session.SayNumber(bow), "id "+plain.Line(bow.ID))
		names = append(names, fmt.Sprintf("%q (%s)", session.NameOf(bow), called))
	}
	if more := len(could) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return fmt.Errorf("%q could be %s; give its number, its id or more of its name",
		asked, strings.Join(names, ", "))
}

// Matches says whether each word of a text is in the bow's name, number, wood, customer, stage or notes.
// found is the newest note with a word that is nowhere else.
func (r Row) Matches(text string) (found Note, matches bool) {
	bow := r.Bow
	fields := strings.Join([]string{bow.Name, bow.Number, bow.Wood, bow.Order.For, r.Stage}, "\n")
	fields = strings.ToLower(fields)
	for _, word := range strings.Fields(strings.ToLower(text)) {
		if strings.Contains(fields, word) {
			continue
		}
		has := func(n Note) bool { return strings.Contains(strings.ToLower(n.Text), word) }
		if !slices.ContainsFunc(r.Notes, has) {
			return Note{}, false
		}
		for _, n := range r.Notes {
			if has(n) && !n.At.Before(found.At) {
				found = n
			}
		}
	}
	return found, true
}
