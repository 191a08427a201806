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

// Rack lists all bows: those in hand first, by the day they are due and then by their newest entry. A bow
// whose entries cannot be read has the reason in its row; the rows come with the error for one that is all
// lost.
func (s *Shop) Rack() ([]Row, error) {
	rows, err := s.rows()
	if rows == nil && err != nil {
		return nil, fmt.Errorf("reading the rack: %w", err)
	}
	halfTyped, undrafted := s.halfTyped()
	settings, unset := s.Settings()
	learnt, now, dates := s.losses(settings, rows), s.Here(), s.DatesOf(settings)
	told := make([]Row, len(rows))
	for i, row := range rows {
		told[i] = row.told(settings, learnt.allowances(row.Bow.Wood), now, dates)
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

// Today are the bows in hand: those with which something can be done today first, then by when they are dry.
func (s *Shop) Today() ([]Row, error) {
	rows, err := s.Rack()
	rows = slices.DeleteFunc(rows, func(row Row) bool { return !row.InHand || row.Damage != nil })
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(behind(!a.Today), behind(!b.Today)), a.From.Compare(b.From))
	})
	return rows, err
}

// told is the row with what follows from the shop's settings, what its wood loses in finishing, and the time.
func (r Row) told(settings finish.Settings, takes finish.Allowances, now time.Time, dates date.Order) Row {
	if r.Damage != nil {
		r.Stage = "damaged"
		return r
	}
	f := verdict.Finishing{Bow: r.Bow, Now: now, Dates: dates}
	f.Progress = settings.Progress(verdict.LogOf(r.Facts, now.Location()), takes.Wanted(r.Bow.Order), now)
	v, early := verdict.Early(r.Standing, f)
	if judged, known := r.Judged.Get(); !early && known && judged.Units == r.Bow.ShownIn(settings.ShownUnits()).Units {
		v = judged.Verdict
	}
	r.Verdict = v
	if r.InHand {
		r.From, r.Handover = f.Progress.Dry, f.Progress.Handover
		r.Today = !early || f.Progress.Today(now) || v.Do != verdict.Finish
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
	a, err := PracticeFor(s, story.Bow()).Of(story)
	if err != nil {
		return verdict.Verdict{}, err
	}
	v := a.Judge(f)
	s.Judged(story, v)
	return v, nil
}

// Judged keeps a verdict on a story in its row, unless the bow was added to since.
func (s *Shop) Judged(story session.Story, v verdict.Verdict) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, known := s.rack.at(story.Bow().ID)
	if !known || s.rack.rows[at].Entries != len(story.Lines) {
		return
	}
	row := *s.rack.rows[at]
	row.Judged = measure.Some(Judged{v, story.Bow().Units})
	s.rack.rows[at] = &row
	s.rack.unkept[row.Bow.ID] = true
}
