package shop

import (
	"slices"

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

// teaching is how many bows of a wood teach what a stroke takes off, and how many of any wood how far to
// trust the ranges: only the last ones, since edges and hands change.
const teaching = 8
