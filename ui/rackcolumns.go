package ui

import (
	"fmt"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/session"
	"bendbook/session/shop"
)

// rackColumn is a column of the rack.
type rackColumn struct {
	head  string
	width int
	cell  func(*rack, shop.Row) string
}

type rackTable []rackColumn

func (t rackTable) row(text func(rackColumn) string) string {
	widths, cells := make([]int, len(t)), make([]string, len(t))
	for i, c := range t {
		widths[i], cells[i] = c.width, text(c)
	}
	return row(widths, cells...)
}

// rackColumns are the columns for which there is room; the bow's name takes what is left.
func rackColumns(width int) rackTable {
	const leastName = 18
	all := rackTable{
		{"bow", leastName, func(_ *rack, row shop.Row) string { return session.NameOf(row.Bow) }},
		{"due", 10, (*rack).sayDue},
		{"stage", 17, func(_ *rack, row shop.Row) string { return row.Stage }},
		{"so far", 14, func(_ *rack, row shop.Row) string { return soFar(row) }},
		{"order", orderWidth, func(_ *rack, row shop.Row) string { return ordered(row.Bow) }},
		{"last", 10, func(r *rack, row shop.Row) string { return r.sayDay(row.Last) }},
		{"waits for", 24, func(_ *rack, row shop.Row) string { return row.Waits }},
	}
	free := width - 2 - leastName
	shown := all[:1]
	for _, column := range all[1:] {
		if free -= column.width + 2; free < 0 {
			break
		}
		shown = append(shown, column)
		shown[0].width = leastName + free
	}
	return shown
}

// soFar is what the bow weighs at its longest pull of the last pass that has a peak.
func soFar(row shop.Row) string {
	pull, ok := row.Pull.Get()
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s at %s", row.Bow.Weigher().WithUnit(pull.Peak.Or(0)), row.Bow.Ruler().Short(pull.Draw))
}

// ordered is the ordered weight and draw.
func ordered(bow model.Bow) string {
	weight, known := bow.Order.Weight.Get()
	if !known {
		return ""
	}
	text := session.SayOrdered(bow, weight)
	if draw, known := bow.Order.Draw.Get(); known {
		if at := " " + fmt.Sprintf("at %s", bow.Ruler().Short(draw)); len(text)+len(at) <= orderWidth {
			text += at
		}
	}
	return text
}

// orderWidth is the width of the column of orders. Where a draw does not fit beside its weight, the foot of
// the rack has it.
const orderWidth = 11

// sayDue is the day the bow is promised for, or how late it is.
func (r *rack) sayDue(row shop.Row) string {
	days, ok := row.DaysLeft(r.desk.Shop.Now().In(r.desk.Place))
	switch {
	case !ok:
		return ""
	case days < 0:
		return fmt.Sprintf("LATE %d d", -days)
	}
	text := r.desk.dates().ReprintShort(string(row.Bow.Order.Due))
	switch {
	case days == 0:
		text = "today"
	case days <= 14:
		text = fmt.Sprintf("in %d d", days)
	}
	if row.Misses(r.desk.Place) > 0 {
		// Of the year its end will do, or nothing where the day stands in words.
		text, _, _ = strings.Cut(strings.TrimPrefix(text, "20"), " '")
		text += " !"
	}
	return text
}

// sayDay is a day as one says it: today, yesterday, or the date.
func (r *rack) sayDay(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	day := func(t time.Time) string { return r.desk.dates().Short(t.In(r.desk.Place)) }
	now := r.desk.Shop.Now()
	switch day(at) {
	case day(now):
		return "today"
	case day(now.AddDate(0, 0, -1)):
		return "yesterday"
	}
	return day(at)
}
