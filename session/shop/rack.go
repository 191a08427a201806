package shop

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
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
	switch {
	case r.Damage != nil:
		r.Stage, r.Waits = "damaged", ""
		return r
	case !r.InHand:
		return r
	}
	p := settings.Progress(logOf(r.Facts, now.Location()), allowedOn(r.Bow, takes), now)
	r.Next, r.From, r.Today, r.Handover = p.Waits(), p.Dry, p.Today(now), p.Handover
	switch next := sayNext(p, now, dates); {
	case next == "":
	case r.Waits == session.WaitsFinishing, r.Waits == session.WaitsLonger && p.Tillered():
		r.Waits = fmt.Sprintf("%s: %s", session.WaitsFinishing, next)
	case r.Waits == session.WaitsNextStep:
		r.Waits = next
	}
	return r
}

// allowedOn is what a bow may weigh at the ordered draw to be done on the tree: the ordered weight with what
// finishing and first use will still take, or with what the order allows, if that is more.
func allowedOn(bow model.Bow, takes finish.Allowances) finish.Allowed {
	weight, ordered := bow.Order.Weight.Get()
	if !ordered {
		return finish.Allowed{}
	}
	return measure.Some(weight + max(takes.Sum(), bow.Order.Allow.Or(0)))
}
