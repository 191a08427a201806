package ui

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model/plain"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/shop"
)

// What the rack says and shows; its keys are in rack.go.

// greeting says what is to be known before anything else: what cannot be read, and what is half typed.
func (r *rack) greeting() notice {
	if r.trouble != nil {
		return notice{failing, r.trouble.Error()}
	}
	if half, err := r.desk.Shop.HalfTyped(""); err == nil && half {
		return notice{warning, "A new bow is half typed: n takes it up again."}
	}
	for _, row := range r.rows {
		if row.HalfTyped == "" {
			continue
		}
		return notice{warning, fmt.Sprintf("%s: a form is half typed (%s). On the bench c takes it up again.", session.NameOf(row.Bow), sheet.FormName(row.HalfTyped))}
	}
	return notice{}
}

func (r *rack) about() string {
	return "The rack holds the bows: those in hand first, what each is for and what it waits for. Choose one and press Enter to work on it; n describes a new one."
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
		return fmt.Sprintf("\n  The book is empty. %s describes the first bow: a name and a limb's length do.", s.Accent.Render("Enter"))
	}
	var lines []string
	if r.seeking || r.seek.Value() != "" {
		lines = append(lines, s.Accent.Render("find:"+" ")+plain.Line(r.seek.Value())+cursor(s, r.seeking), "")
	}
	columns := rackColumns(width)
	lines = append(lines, s.Quiet.Render("  "+columns.row(func(c rackColumn) string { return c.head })))
	room := height - len(lines)
	foot := room > 6
	if foot {
		room -= 4
	}
	if n := len(r.shown); n > 0 && !r.rows[r.shown[n-1]].InHand {
		room-- // for the heading of those not in hand, which come last
	}
	from, to := around(r.at, len(r.shown), room)
	headed := false
	for i := from; i < to; i++ {
		rowOf := r.row(r.shown[i])
		if !rowOf.InHand && !headed {
			headed = true
			lines = append(lines, s.Quiet.Render("  "+"not in hand"))
		}
		if i != r.at && slices.Contains(r.picked, rowOf.Bow.ID) {
			lines = append(lines, s.Accent.Render("* ")+columns.row(func(c rackColumn) string { return c.cell(r, rowOf) }))
			continue
		}
		lines = append(lines, mark(s, i == r.at, columns.row(func(c rackColumn) string { return c.cell(r, rowOf) })))
	}
	if chosen, ok := r.chosen(); ok && foot {
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
		waits = fmt.Sprintf("NOT IN TIME, ready %s%s%s", shop.SayEarliest(chosen.Handover, now, r.desk.dates()), r.desk.Styles.Dot(), waits)
	}
	if chosen.HalfTyped != "" {
		waits = strings.TrimPrefix(fmt.Sprintf("%s%shalf typed: %s", waits, r.desk.Styles.Dot(), sheet.FormName(chosen.HalfTyped)), r.desk.Styles.Dot())
	}
	if chosen.Damage != nil {
		waits = plain.Line(chosen.Damage.Error())
	}
	return []string{what, waits}
}
