package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func (r *rack) view(width, height int) string {
	s := r.desk.Styles
	if r.empty() {
		return fmt.Sprintf("\n  The book is empty. %s describes the first bow.\n"+
			"  A name and a length are enough.", s.Accent.Render("Enter"))
	}
	var lines []string
	if r.seeking || r.seek.Value() != "" {
		find := s.Accent.Render("find: ") + plain.Line(r.seek.Value())
		if r.seeking {
			find += s.Cursor()
		}
		lines = append(lines, find, "")
	}
	columns := r.columns(width)
	lines = append(lines, s.Quiet.Render("  "+r.line(columns, nil)))
	if r.today && len(r.shown) == 0 {
		lines = append(lines, "  Nothing to do today. T shows all bows.")
	}
	var foot []string
	if chosen, ok := r.chosen(); ok {
		foot = append([]string{"", s.Rule(width)}, r.footing(chosen, width)...)
	}
	return r.list.view(s, height, lines, foot, func(i int) (sign, text, section string) {
		row := r.row(r.shown[i])
		sign = "  "
		if slices.Contains(r.picked, row.Bow.ID) {
			sign = s.Accent.Render("* ")
		}
		if !row.InHand {
			section = "not in hand"
		}
		return sign, r.line(columns, &row), section
	})
}

// footingRows are the rows for what to do and why, so that the list stays where it is.
const footingRows = 4

// footing says in full what the chosen bow is, what to do with it and why.
func (r *rack) footing(chosen shop.Row, width int) []string {
	what := session.NameOf(chosen.Bow)
	if order := session.SayOrder(chosen.Bow, r.desk.dates()); order != "" {
		what += r.desk.Styles.Dot() + order
	}
	why := chosen.Verdict.Why
	if days := chosen.Misses(r.desk.Place); days > 0 {
		now := r.desk.Shop.Now().In(r.desk.Place)
		why = fmt.Sprintf("NOT IN TIME, ready %s%s%s", verdict.SayEarliest(chosen.Handover, now, r.desk.dates()),
			r.desk.Styles.Dot(), why)
	}
	if chosen.HalfTyped != "" {
		why = fmt.Sprintf("Half typed: %s. %s", form.FormName(chosen.HalfTyped), why)
	}
	if chosen.Damage != nil {
		why = plain.Line(chosen.Damage.Error())
	}
	lesson, _ := chosen.Lesson()
	more := session.SayLesson(chosen.Bow, lesson)
	if more == "" {
		more = r.desk.Shop.Lesson(chosen.Bow)
	}
	if note := r.found[chosen.Bow.ID]; note.Text != "" {
		more = "Found: " + r.sayFound(note)
	}
	last := fitted(more, width, 2)
	say := fitted(chosen.Verdict.Say, width, min(footingRows-1, footingRows-len(last)))
	lines := rendered(r.desk.Styles.Strong, say)
	if room := footingRows - len(say) - len(last); room > 0 {
		lines = append(lines, fitted(why, width, room)...)
	}
	lines = append(lines, last...)
	return append([]string{ansi.Truncate(what, width, "~")}, lengthen(lines, footingRows)...)
}

// line is a bow's line in the rack; the heads of the columns where there is none.
func (r *rack) line(columns []column[shop.Row], of *shop.Row) string {
	var widths []int
	var cells []string
	for _, c := range columns {
		cell := c.head
		if of != nil {
			cell = c.cell(*of)
		}
		widths, cells = append(widths, c.width), append(cells, cell)
	}
	return row(widths, cells...)
}

// columns are the columns for which there is room; what to do next takes what is left.
func (r *rack) columns(width int) []column[shop.Row] {
	const name, leastNext = 18, 24
	units := r.desk.practice.Units
	all := []column[shop.Row]{
		{head: "bow", width: name, cell: func(row shop.Row) string { return session.NameOf(row.Bow) }},
		{head: "next", width: leastNext},
		{head: "due", width: 10, cell: r.sayDue},
		{head: units.Force.Symbol() + " so far", width: 14, cell: soFar},
		{head: "order", width: orderWidth, cell: ordered},
		{head: "stage", width: 17, cell: func(row shop.Row) string { return row.Stage }},
		{head: "last", width: 10, cell: func(row shop.Row) string { return r.sayDay(row.Last) }},
	}
	free := width - 2 - name - 2 - leastNext
	shown := all[:2]
	for _, column := range all[2:] {
		if free -= column.width + 2; free < 0 {
			free += column.width + 2
			break
		}
		shown = append(shown, column)
	}
	shown[1].width = leastNext + max(free, 0)
	shown[1].cell = func(row shop.Row) string {
		if note := r.found[row.Bow.ID]; note.Text != "" {
			return r.sayFound(note)
		}
		return sayNext(row, shown[1].width)
	}
	return shown
}

func (r *rack) sayFound(note shop.Note) string {
	if day := r.sayDay(note.At); day != "" {
		return day + ": " + plain.Line(note.Text)
	}
	return plain.Line(note.Text)
}

// sayNext is the verdict on the bow, or its word where that is all there's room for; dots stand for one that
// is still being worked out.
func sayNext(row shop.Row, width int) string {
	switch {
	case row.Damage != nil:
		return "damaged"
	case row.InHand && row.Verdict.Do == "":
		return "..."
	}
	if says := strings.TrimSuffix(row.Verdict.Say, "."); ansi.StringWidth(says) <= width {
		return says
	}
	return session.Capital(strings.ToLower(row.Verdict.Word))
}

// soFar is what the bow weighs at its longest pull of the last pass that has a peak.
func soFar(row shop.Row) string {
	pull, ok := row.Pull.Get()
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s at %s", row.Bow.Weigher().Print(pull.Peak.Or(0)), row.Bow.Ruler().Short(pull.Draw))
}

func ordered(row shop.Row) string {
	bow := row.Bow
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
