package shop

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
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
	learnt, taught := s.losses(settings, rows), learnerOf(rows)
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
	f := verdict.FinishingBy(r.Bow.ShownIn(settings.ShownUnits()), r.Facts, settings, takes, now, dates)
	wanted, units := takes.Wanted(r.Bow.Order), f.Bow.Units
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

// Judged keeps the verdict on an advice, and the ledger, in the row of a bow that wasn't added to since.
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

// MayCopy says why you can't make another bow like this one, which must be even and have been at full draw;
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
