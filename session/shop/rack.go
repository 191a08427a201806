package shop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Rack lists all bows: those in hand first, by the day they are due and then by their newest entry. The row
// of a bow whose entries can't be read says why. If a bow can't be read at all, an error comes with the rows.
func (s *Shop) Rack() ([]Row, error) {
	rows, err := s.rows()
	if rows == nil && err != nil {
		return nil, fmt.Errorf("reading the rack: %w", err)
	}
	halfTyped, undrafted := s.halfTyped()
	settings, unset := s.Settings()
	learnt, taught := s.losses(settings, rows), s.learner(rows)
	now, dates := s.Here(), s.DatesOf(settings)
	told := make([]Row, len(rows))
	for i, row := range rows {
		told[i] = row.trusted(taught).told(settings, learnt.allowances(row.Bow.Wood), now, dates)
		if half := halfTyped[row.Bow.ID]; len(half) > 0 {
			told[i].HalfTyped = half[0].Form
		}
		told[i].Bow = row.Bow.ShownIn(settings.ShownUnits())
	}
	slices.SortFunc(told, Row.order)
	if err = cmp.Or(err, undrafted, unset); err != nil {
		return told, fmt.Errorf("reading the rack: %w", err)
	}
	return told, nil
}

// trusted is the row without a verdict that other ranges were the grounds of.
func (r Row) trusted(by learner) Row {
	if judged, known := r.Judged.Get(); known && r.InHand {
		if kept, ok := by.kept(&r); ok && kept.Scale != judged.Scale {
			r.Judged = measure.Optional[Judged]{}
		}
	}
	return r
}

// told is the row with what follows from the shop's settings, what its wood loses in finishing, and the time.
func (r Row) told(settings finish.Settings, takes finish.Allowances, now time.Time, dates date.Order) Row {
	if r.Damage != nil {
		r.Stage = "damaged"
		return r
	}
	f := verdict.Finishing{Bow: r.Bow, Now: now, Dates: dates}
	wanted, units := takes.Wanted(r.Bow.Order), r.Bow.ShownIn(settings.ShownUnits()).Units
	f.Progress = settings.Progress(verdict.LogOf(r.Facts, now.Location()), wanted, now)
	v, early := verdict.Early(r.Standing, f)
	if judged, known := r.Judged.Get(); !early && known && judged.Units == units && judged.Wanted == wanted {
		v = judged.Verdict
	}
	r.Verdict = v
	if r.InHand {
		r.From, r.Handover = f.Progress.Dry, f.Progress.Handover
		dries := early && v.Do == verdict.Finish && !r.Standing.Back && !f.Progress.Today(now)
		r.Today = !dries && v.Do != verdict.None
	}
	return r
}

// Judge works out the verdict on a bow and keeps that in its row.
func (s *Shop) Judge(id string) (verdict.Verdict, error) {
	story, err := s.Story(id)
	if err != nil {
		return verdict.Verdict{}, err
	}
	f, err := s.Finishing(story)
	if err != nil {
		return verdict.Verdict{}, err
	}
	a, err := s.PracticeFor(story.Bow()).Of(story)
	if err != nil {
		return verdict.Verdict{}, err
	}
	v := a.Judge(f)
	s.Judged(a, v)
	return v, nil
}

// Judged keeps the verdict on an advice in its bow's row, and the bow's ledger, unless the bow was added to
// since.
func (s *Shop) Judged(a verdict.Advice, v verdict.Verdict) {
	bow := a.Story().Bow()
	takes, err := s.Allowances(bow.Wood)
	if err != nil {
		return
	}
	s.amend(a.Story(), func(row *Row) {
		row.Judged = measure.Some(Judged{v, bow.Units, takes.Wanted(row.Bow.Order), a.Kept.Scale, a.NoPattern()})
		row.Ledger = measure.Some(a.Ledger())
	})
}

// amend adds to a story's row what was worked out of it, unless the bow was added to since.
func (s *Shop) amend(story session.Story, add func(*Row)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, known := s.rack.at(story.Bow().ID)
	if !known || s.rack.rows[at].Entries != len(story.Lines) {
		return
	}
	row := *s.rack.rows[at]
	add(&row)
	s.rack.rows[at], s.rack.learner = &row, nil
	s.rack.unkept[row.Bow.ID] = true
}

// MayCopy says why no other bow is to be made like this one, which must have been at full draw and be even;
// nil where one may. A bow that wasn't judged since its last entry is judged now.
func (s *Shop) MayCopy(story session.Story) error {
	why, known := s.noPattern(story)
	if !known {
		if _, err := s.Judge(story.Bow().ID); err != nil {
			return err
		}
		why, _ = s.noPattern(story)
	}
	if why != "" {
		return fmt.Errorf("%s isn't one to copy yet. %s", session.NameOf(story.Bow()), why)
	}
	return nil
}

// noPattern is why a bow is no pattern, as last judged.
func (s *Shop) noPattern(story session.Story) (why string, known bool) {
	rows, _ := s.rows()
	for _, row := range rows {
		if judged, known := row.Judged.Get(); known && row.Bow.ID == story.Bow().ID {
			return judged.NoPattern, judged.Units == story.Bow().Units
		}
	}
	return "", false
}

// Find is the bow that a number, an id or the unambiguous start of a name means, compared as they are shown,
// whatever the letter case. The error wraps ErrNoBow where there is none.
func (s *Shop) Find(asked string) (model.Bow, error) {
	var found [4][]model.Bow // by id, number, name and the start of a name
	want := strings.ToLower(plain.Line(asked))
	if want == "" {
		return model.Bow{}, fmt.Errorf("%w: expected a number, an id or the start of a name", ErrNoBow)
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
	return model.Bow{}, fmt.Errorf("%w: %q is neither number, id nor the start of a name in this book",
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
