package session

import (
	"cmp"
	"slices"
)

// Today are the bows in hand: those with which something can be done today first, then those that must wait, by when they are dry. The rows
// come with the error where a bow cannot be read.
func (s *Shop) Today() ([]Row, error) {
	rows, err := s.Rack()
	rows = slices.DeleteFunc(rows, func(row Row) bool { return !row.InHand || row.Damage != nil })
	waits := func(row Row) int {
		if row.Today {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Or(cmp.Compare(waits(a), waits(b)), a.From.Compare(b.From)) })
	return rows, err
}
