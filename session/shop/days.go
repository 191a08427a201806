package shop

import (
	"time"

	"bendbook/session/verdict"
)

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if r.HandedOver || !promised {
		return 0, false
	}
	return verdict.DaysTo(due, now), true
}

// Misses says by how many days the earliest handover comes after the day that was promised.
func (r Row) Misses(place *time.Location) int {
	due, promised := r.Bow.Order.Due.Time()
	if r.Handover.IsZero() || r.HandedOver || !promised {
		return 0
	}
	return max(0, -verdict.DaysTo(due, r.Handover.In(place)))
}
