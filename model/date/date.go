// Package date prints and reads days in a shop's usual order. Months are shown by name, or the day as
// 2027-02-01, so that nobody takes a day for a month.
package date

import (
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
	monthFirst Order = "month-day-year" // Feb 1 2027
)

// Print prints the day of t, in the time zone of t.
func (o Order) Print(t time.Time) string {
	switch o {
	case DayFirst:
		return t.Format("2 Jan 2006")
	case monthFirst:
		return t.Format("Jan 2 2006")
	}
	return t.Format(time.DateOnly)
}

// Short prints a day in ten letters at most, for a column of days: 1 Feb '27.
func (o Order) Short(t time.Time) string {
	switch o {
	case DayFirst:
		return t.Format("2 Jan '06")
	case monthFirst:
		return t.Format("Jan 2 '06")
	}
	return t.Format(time.DateOnly)
}

// Day prints a day without its year: 1 Feb.
func (o Order) Day(t time.Time) string {
	if o == DayFirst {
		return t.Format("2 Jan")
	}
	return t.Format("Jan 2")
}

// PrintTime is the day of t with hours and minutes.
func (o Order) PrintTime(t time.Time) string { return o.Print(t) + t.Format(" 15:04") }

// Reprint prints a day like 2027-02-01 in this order; a text that isn't one stays as it is.
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

// Parse reads a day: 2027-02-01 in any order, else day and month as the order has them, the month by its
// letters or its number, and the year: 1 Feb 2027, 1.2.2027, 1/2/27. Without a year, as in 1 feb, it is the
// day of that name nearest to now. With ISO, numbers alone are read as 2027-02-01, or with dots as 1.2.2027,
// the day first: between strokes nobody could tell which of the two is the month. The result is the day's
// first moment in UTC.
func (o Order) Parse(text string, now time.Time) (time.Time, error) {
	text = strings.TrimSpace(text)
	if t, err := time.Parse(time.DateOnly, text); err == nil {
		return t, nil
	}
	if t, ok := o.parse(text, now); ok {
		return t, nil
	}
	return time.Time{}, fmt.Errorf("%.40q isn't a date; write it like %s", text, o.likes(now))
}

func (o Order) parse(text string, now time.Time) (t time.Time, ok bool) {
	if strings.Count(text, ".") == 2 && o != monthFirst {
		o = DayFirst // nobody writes the month first with dots
	}
	parts := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" .,/-'", r) })
	if len(parts) < 2 || len(parts) > 3 {
		return t, false
	}
	month, day, ok := o.monthAndDay(parts[0], parts[1])
	switch {
	case !ok:
		return t, false
	case len(parts) == 2:
		return nearest(month, day, now)
	}
	year, err := strconv.Atoi(parts[2])
	if len(parts[2]) == 2 {
		year += 2000
	}
	if err != nil || len(parts[2]) != 2 && len(parts[2]) != 4 {
		return t, false
	}
	return exact(year, month, day)
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
		case monthFirst:
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
func nearest(month time.Month, day int, now time.Time) (best time.Time, found bool) {
	for year := now.Year() - 1; year <= now.Year()+1; year++ {
		t, ok := exact(year, month, day)
		if ok && (!found || t.Sub(now).Abs() < best.Sub(now).Abs()) {
			best, found = t, true
		}
	}
	return best, found
}

func exact(year int, month time.Month, day int) (t time.Time, ok bool) {
	t = time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	return t, t.Month() == month && t.Day() == day
}

// monthOf is the month whose name starts with a word of three letters or more.
func monthOf(word string) (time.Month, bool) {
	word = strings.ToLower(word)
	for m := time.January; m <= time.December; m++ {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), word) {
			return m, true
		}
	}
	return 0, false
}

// likes are examples of what Parse reads.
func (o Order) likes(now time.Time) string {
	if now.IsZero() {
		now = time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)
	}
	if o == DayFirst || o == monthFirst {
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
		return monthFirst
	case "SE", "CN", "JP", "KR", "KP", "TW", "HU", "LT", "MN", "CA", "IR", "ZA":
		return ISO
	}
	switch strings.ToLower(language) {
	case "", "c", "posix", "sv", "zh", "ja", "ko", "hu", "lt", "mn", "fa":
		return ISO
	}
	return DayFirst
}
