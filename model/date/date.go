// Package date prints and reads days in the order that a shop is used to. A month is always shown by its
// letters, or the day as 2027-02-01, so that nobody takes a day for a month.
package date

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Order is the order in which a day is written.
type Order string

// The orders. The zero value is ISO.
const (
	ISO        Order = "year-month-day" // 2027-02-01, ISO 8601
	DayFirst   Order = "day-month-year" // 1 Feb 2027
	MonthFirst Order = "month-day-year" // Feb 1 2027
)

// Print is the day of t, where t is.
func (o Order) Print(t time.Time) string {
	switch o {
	case DayFirst:
		return t.Format("2 Jan 2006")
	case MonthFirst:
		return t.Format("Jan 2 2006")
	}
	return t.Format(time.DateOnly)
}

// Short is Print in ten letters at most, as a column of days has them: 1 Feb '27.
func (o Order) Short(t time.Time) string {
	switch o {
	case DayFirst:
		return t.Format("2 Jan '06")
	case MonthFirst:
		return t.Format("Jan 2 '06")
	}
	return t.Format(time.DateOnly)
}

// Weekday is the day of the week, shortened.
func Weekday(t time.Time) string { return t.Format("Mon") }

// PrintTime is the day of t with hours and minutes.
func (o Order) PrintTime(t time.Time) string { return o.Print(t) + t.Format(" 15:04") }

// Reprint is a day that is given as 2027-02-01, in this order; what is no day stays as it is.
func (o Order) Reprint(day string) string { return reprint(day, o.Print) }

// ReprintShort is Reprint for a column of days.
func (o Order) ReprintShort(day string) string { return reprint(day, o.Short) }

func reprint(day string, print func(time.Time) string) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return print(t)
}

// errNoDay is wrapped by every failure to read a day.
var errNoDay = errors.New("no day")

// Parse reads a day: 2027-02-01 in any order, else day and month as the order has them, the month by its
// letters or its number, and the year, which may be left out for the day of that name nearest to now: 1 Feb
// 2027, 1 feb, 1.2.2027, 1/2/27. With ISO, numbers alone are read as 2027-02-01 only, for nobody could say
// which of the two is the month. It is the day's first moment in UTC.
func (o Order) Parse(text string, now time.Time) (time.Time, error) {
	text = strings.TrimSpace(text)
	if t, err := time.Parse(time.DateOnly, text); err == nil {
		return t, nil
	}
	fail := fmt.Errorf("%.40q is %w; expected a day like %s", text, errNoDay, o.likes(now))
	parts := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" .,/-'", r) })
	if len(parts) < 2 || len(parts) > 3 {
		return time.Time{}, fail
	}
	month, day, ok := o.monthAndDay(parts[0], parts[1])
	if !ok {
		return time.Time{}, fail
	}
	if len(parts) == 2 {
		return nearest(month, day, now, fail)
	}
	year, err := strconv.Atoi(parts[2])
	switch {
	case err != nil || year < 0:
		return time.Time{}, fail
	case len(parts[2]) == 2:
		year += 2000
	case len(parts[2]) != 4:
		return time.Time{}, fail
	}
	return exact(year, month, day, fail)
}

// monthAndDay reads a month by its letters or its number and a day of the month, in either place.
func (o Order) monthAndDay(first, second string) (month time.Month, day int, ok bool) {
	month, lettered := monthOf(first)
	dayText := second
	if !lettered {
		month, lettered = monthOf(second)
		dayText = first
	}
	if !lettered {
		monthText := second
		switch o {
		case DayFirst:
		case MonthFirst:
			monthText, dayText = first, second
		default:
			return 0, 0, false
		}
		n, err := strconv.Atoi(monthText)
		if err != nil || n < 1 || n > 12 {
			return 0, 0, false
		}
		month = time.Month(n)
	}
	day, err := strconv.Atoi(dayText)
	return month, day, err == nil && day >= 1 && len(dayText) <= 2
}

// nearest is the day of that name that is nearest to now.
func nearest(month time.Month, day int, now time.Time, fail error) (time.Time, error) {
	var best time.Time
	found := false
	for year := now.Year() - 1; year <= now.Year()+1; year++ {
		t, err := exact(year, month, day, fail)
		if err == nil && (!found || t.Sub(now).Abs() < best.Sub(now).Abs()) {
			best, found = t, true
		}
	}
	if !found {
		return best, fail
	}
	return best, nil
}

func exact(year int, month time.Month, day int, fail error) (time.Time, error) {
	t := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	if t.Month() != month || t.Day() != day {
		return time.Time{}, fail
	}
	return t, nil
}

// monthOf is the month that a word of three letters or more begins.
func monthOf(word string) (time.Month, bool) {
	word = strings.ToLower(word)
	if len(word) < 3 {
		return 0, false
	}
	for m := time.January; m <= time.December; m++ {
		if strings.HasPrefix(strings.ToLower(m.String()), word) {
			return m, true
		}
	}
	return 0, false
}

// likes are examples of what would be read.
func (o Order) likes(now time.Time) string {
	if now.IsZero() {
		now = time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)
	}
	if o == DayFirst || o == MonthFirst {
		return fmt.Sprintf("%s or %s", o.Print(now), now.Format(time.DateOnly))
	}
	return now.Format(time.DateOnly)
}

// OfLocale is the order of a locale such as en_GB.UTF-8 (POSIX names; the orders by region from memory of the
// Unicode CLDR): month first in the United States and where their forms are used, year first where that is
// usual, else day first. "", C and POSIX say nothing: ISO.
func OfLocale(locale string) Order {
	name, _, _ := strings.Cut(locale, ".")
	name, _, _ = strings.Cut(name, "@")
	language, region, _ := strings.Cut(strings.ReplaceAll(name, "-", "_"), "_")
	switch strings.ToUpper(region) {
	case "US", "PH", "FM", "MH", "PW", "GU", "AS", "VI", "MP", "UM":
		return MonthFirst
	case "SE", "CN", "JP", "KR", "KP", "TW", "HU", "LT", "MN", "CA", "IR", "ZA":
		return ISO
	}
	switch strings.ToLower(language) {
	case "", "c", "posix":
		return ISO
	case "sv", "zh", "ja", "ko", "hu", "lt", "mn", "fa":
		return ISO
	}
	return DayFirst
}
