package table

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"bendbook/model/plain"
)

// decimal formats a number exactly. Adding 0 turns -0 into 0.
func decimal(v float64) string { return strconv.FormatFloat(v+0, 'f', -1, 64) }

// parseIn reads a number of a unit in the bow's own, a plain one exactly.
func parseIn[T any, U comparable](
	cell string, unit, own U, parse func(string, U) (T, error), in func(T, U) float64,
) (float64, error) {
	if v, ok := plainNumber(cell); ok && unit == own {
		return v, nil
	}
	measured, err := parse(cell, unit)
	return in(measured, own), err
}

// plainNumber reads a number as Write and spreadsheets write it, maybe with a power of ten.
func plainNumber(cell string) (v float64, ok bool) {
	cell = strings.TrimSpace(cell)
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && strings.Trim(cell, "0123456789.+-eE") == ""
}

// parseTime reads a time as Write writes it, or a local one or a day as it is typed.
func parseTime(cell string, place *time.Location) (at time.Time, local bool, err error) {
	for _, layout := range []string{time.RFC3339Nano, time.DateTime, "2006-01-02 15:04", time.DateOnly} {
		if at, err := time.ParseInLocation(layout, cell, place); err == nil {
			return at.UTC(), layout != time.RFC3339Nano, nil
		}
	}
	const want = "2027-01-10T09:30:00+01:00, or a day like 2027-01-10"
	return at, false, fmt.Errorf("%q isn't a time: write one like %s", short(cell), want)
}

// short makes a stranger's text safe to show, and keeps it from filling a message.
func short(text string) string {
	const most = 40
	text = plain.Line(text)
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}
