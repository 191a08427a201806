package shop

import (
	"fmt"
	"time"

	"bendbook/model/date"
	"bendbook/model/finish"
)

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if r.HandedOver || !promised {
		return 0, false
	}
	return daysTo(due, now), true
}

// Misses says by how many days the earliest handover comes after the day that was promised.
func (r Row) Misses(place *time.Location) int {
	due, promised := r.Bow.Order.Due.Time()
	if r.Handover.IsZero() || r.HandedOver || !promised {
		return 0
	}
	return max(0, -daysTo(due, r.Handover.In(place)))
}

// daysTo is how many days later than now, in the calendar where now is, the day of a time in UTC is.
func daysTo(day, now time.Time) int { return int(dayOf(day).Sub(dayOf(now)) / (24 * time.Hour)) }

// dayOf is the first moment of a time's day, where the time is, as if it were in UTC: so days are counted.
func dayOf(at time.Time) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// sayNext says what a bow waits for, and until when it dries: "varnish, coat 2, dry tomorrow 10:00".
func sayNext(p finish.Progress, now time.Time, dates date.Order) string {
	next := p.Waits()
	if !p.Dry.After(now) || next == "" {
		return next
	}
	dry := SayUntil(p.Dry, now, dates)
	if daysTo(p.Dry.In(now.Location()), now) == 0 {
		dry = "at " + dry
	}
	return fmt.Sprintf("%s, dry %s", next, dry)
}

// SayUntil is a time as one says it after until, from or by: the hour alone for today.
func SayUntil(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch daysTo(at, now) {
	case 0:
		return at.Format("15:04")
	case 1:
		return fmt.Sprintf("tomorrow %s", at.Format("15:04"))
	}
	return dates.Print(at)
}

// SayEarliest is a day as one says it.
func SayEarliest(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch daysTo(at, now) {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return dates.Short(at)
}
