package verdict

import (
	"fmt"
	"time"

	"bendbook/model/date"
)

// DaysTo is how many days later than now, in the calendar where now is, the day of a time in UTC is.
func DaysTo(day, now time.Time) int { return int(dayOf(day).Sub(dayOf(now)) / (24 * time.Hour)) }

// dayOf is the first moment of a time's day, where the time is, as if it were in UTC: so days are counted.
func dayOf(at time.Time) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// sayUntil is a time as one says it after until, from or by: the hour alone for today.
func sayUntil(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch DaysTo(at, now) {
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
	switch DaysTo(at, now) {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return dates.Short(at)
}
