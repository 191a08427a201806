package shop

import (
	"slices"

	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// learner gathers from the rows what the shop's bows teach of ranges and errors.
type learner struct {
	repeats verdict.Repeats
	by      verdict.Errors
	last    []*Row // that were drawn, the last worked on first
}

func learnerOf(rows []*Row) (l learner) {
	for _, row := range rows {
		if row.Damage == nil && row.Drawn {
			l.repeats, l.last = l.repeats.With(row.Repeats), append(l.last, row)
		}
	}
	l.by = l.repeats.Errors()
	slices.SortStableFunc(l.last, func(a, b *Row) int { return b.Last.Compare(a.Last) })
	return l
}

// others are the last bows beside one.
func (l learner) others(id string) (rows []*Row) {
	for _, row := range l.last {
		if len(rows) < teaching && row.Bow.ID != id {
			rows = append(rows, row)
		}
	}
	return rows
}

// ledger is that of a row; ok is false where it isn't worked out by the errors learnt since.
func (l learner) ledger(row *Row) (off []float64, ok bool) {
	ledger, known := row.Ledger.Get()
	return ledger.Off, known && ledger.By == l.by
}

// kept is how many ranges held on a bow and the last others, as far as that is worked out; ok is false where
// some of it is not.
func (l learner) kept(row *Row) (k verdict.Kept, ok bool) {
	var all []float64
	ok = true
	for _, one := range append(l.others(row.Bow.ID), row) {
		off, known := l.ledger(one)
		all, ok = append(all, off...), ok && known
	}
	return verdict.KeptOf(all), ok
}

// learner is cached as long as no row changes.
func (s *Shop) learner(rows []*Row) learner {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rack.learner == nil {
		l := learnerOf(rows)
		s.rack.learner = &l
	}
	return *s.rack.learner
}

// Taught are, in sentences, what the shop's last bows teach, as far as it was worked out.
func (s *Shop) Taught() []string {
	rows, _ := s.rows()
	settings, _ := s.Settings()
	l := s.learner(rows)
	var kept verdict.Kept
	if len(l.last) > 0 {
		kept, _ = l.kept(l.last[0])
	}
	return verdict.Taught(kept, l.repeats, settings.Units, 0, 0)
}

// promises fills in what the shop's other bows teach of ranges and errors. A ledger that isn't known is
// worked out, and kept.
func (e *Experience) promises(s *Shop, id string, settings *verdict.Settings) {
	rows, _ := s.rows()
	l := s.learner(rows)
	settings.Repeats = l.repeats
	for _, row := range l.others(id) {
		off, known := l.ledger(row)
		if !known {
			story, err := s.Story(row.Bow.ID)
			if err != nil {
				continue
			}
			other := *settings
			other.Strokes = e.strokesOn(s, row.Bow.Wood)
			ledger := verdict.LedgerOf(story, other)
			s.amend(story, func(row *Row) { row.Ledger = measure.Some(ledger) })
			off = ledger.Off
		}
		settings.Off = append(settings.Off, off...)
	}
}
