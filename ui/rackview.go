package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/shop"
)

// What the rack says and shows; its keys are in rack.go.

// opened says what is to be known before anything else: what cannot be read, and what is half typed.
func (r *rack) opened() move {
	if r.trouble != nil {
		return failed(r.trouble)
	}
	if half, err := r.desk.Shop.Drafts(""); err == nil && len(half) > 0 {
		return warned("A new bow is half typed: n takes it up again.")
	}
	if i := slices.IndexFunc(r.rows, func(row shop.Row) bool { return row.HalfTyped != "" }); i >= 0 {
		return warned("%s: a form is half typed (%s). On the bench c takes it up again.",
			session.NameOf(r.rows[i].Bow), sheet.FormName(r.rows[i].HalfTyped))
	}
	return move{}
}

func (r *rack) title() (name, what, right string) {
	var parts []string
	if r.late > 0 {
		parts = append(parts, fmt.Sprintf("%d late", r.late))
	}
	if r.missing > 0 {
		parts = append(parts, fmt.Sprintf("%d not in time", r.missing))
	}
	parts = append(parts, fmt.Sprintf("%d in hand, %d in the book", r.inHand, len(r.rows)))
	return "Bendbook", "the rack", strings.Join(parts, ", ")
}

func (r *rack) view(width, height int) string {
	s := r.desk.Styles
	if r.empty() {
		return fmt.Sprintf("\n  The book is empty. %s describes the first bow: a name and a limb's length do.",
			s.Accent.Render("Enter"))
	}
	var lines []string
	if r.seeking || r.seek.Value() != "" {
		find := s.Accent.Render("find: ") + plain.Line(r.seek.Value())
		if r.seeking {
			find += s.Cursor()
		}
		lines = append(lines, find, "")
	}
	columns := rackColumns(width)
	lines = append(lines, s.Quiet.Render("  "+r.line(columns, nil)))
	room := height - len(lines)
	room -= 4 // for the foot
	if n := len(r.shown); n > 0 && !r.rows[r.shown[n-1]].InHand {
		room-- // for the heading of those not in hand, which come last
	}
	from, to := around(r.at, len(r.shown), room)
	headed := false
	for i := from; i < to; i++ {
		rowOf := r.row(r.shown[i])
		if !rowOf.InHand && !headed {
			headed = true
			lines = append(lines, s.Quiet.Render("  not in hand"))
		}
		line := mark(s, i == r.at, r.line(columns, &rowOf))
		if i != r.at && slices.Contains(r.picked, rowOf.Bow.ID) {
			line = s.Accent.Render("* ") + r.line(columns, &rowOf)
		}
		lines = append(lines, line)
	}
	if chosen, ok := r.chosen(); ok {
		lines = append(lengthen(lines, height-3), s.Rule(width))
		lines = append(lines, r.footing(chosen)...)
	}
	return strings.Join(lines, "\n")
}

// footing says in full what the chosen bow is and what it waits for, in two lines.
func (r *rack) footing(chosen shop.Row) []string {
	what := session.NameOf(chosen.Bow)
	if order := session.SayOrder(chosen.Bow, r.desk.dates()); order != "" {
		what += r.desk.Styles.Dot() + order
	}
	waits := ""
	if chosen.Waits != "" {
		waits = fmt.Sprintf("waits for: %s", chosen.Waits)
	}
	if days := chosen.Misses(r.desk.Place); days > 0 {
		now := r.desk.Shop.Now().In(r.desk.Place)
		waits = fmt.Sprintf("NOT IN TIME, ready %s%s%s", shop.SayEarliest(chosen.Handover, now, r.desk.dates()),
			r.desk.Styles.Dot(), waits)
	}
	if chosen.HalfTyped != "" {
		waits = strings.TrimPrefix(fmt.Sprintf("%s%shalf typed: %s", waits, r.desk.Styles.Dot(),
			sheet.FormName(chosen.HalfTyped)), r.desk.Styles.Dot())
	}
	if chosen.Damage != nil {
		waits = plain.Line(chosen.Damage.Error())
	}
	return []string{what, waits}
}

// rackColumn is a column of the rack.
type rackColumn struct {
	head  string
	width int
	cell  func(*rack, shop.Row) string
}

// line is a bow's line in the rack; the heads of the columns where there is none.
func (r *rack) line(columns []rackColumn, of *shop.Row) string {
	var widths []int
	var cells []string
	for _, c := range columns {
		cell := c.head
		if of != nil {
			cell = c.cell(r, *of)
		}
		widths, cells = append(widths, c.width), append(cells, cell)
	}
	return row(widths, cells...)
}

// rackColumns are the columns for which there is room; the bow's name takes what is left.
func rackColumns(width int) []rackColumn {
	const leastName = 18
	all := []rackColumn{
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
		if at := " at " + bow.Ruler().Short(draw); len(text)+len(at) <= orderWidth {
			text += at
		}
	}
	return text
}

// orderWidth is the width of the column of orders; a draw that does not fit stands at the foot of the rack.
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
