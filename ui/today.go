package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model/date"
	"bendbook/session"
	"bendbook/session/shop"
)

// todayScreen lists the bows in hand by what can be done with each: today first, then what dries.
type todayScreen struct {
	base
	list
	desk *Desk
	rows []shop.Row
}

func todayPage() page {
	return page{name: toToday,
		about: "What can be done today on all bows in hand, what dries until when, and which bow cannot be " +
			"ready on the day promised.",
		open: func(desk *Desk, _ route) (screen, error) {
			d := &todayScreen{desk: desk}
			if err := d.returned(); err != nil && len(d.rows) == 0 {
				return nil, err
			}
			return d, nil
		}}
}

// returned reads the bows in hand anew. What is wrong with some of them the rack says.
func (d *todayScreen) returned() error {
	rows, err := d.desk.Shop.Today()
	if len(rows) == 0 && err != nil {
		return err
	}
	d.rows, d.count = rows, len(rows)
	d.step(0)
	return nil
}

func (d *todayScreen) title() (name, what, right string) {
	now := d.desk.Shop.Now().In(d.desk.Place)
	open := 0
	for _, row := range d.rows {
		if row.Today {
			open++
		}
	}
	return "Bendbook", "what can be done", fmt.Sprintf("%s %s, %d of %d today", date.Weekday(now),
		d.desk.dates().Print(now), open, len(d.rows))
}

func (d *todayScreen) actions() []action {
	needsBow := func() string { return unless(len(d.rows) > 0, "no bow is in hand") }
	open := func(page string) func() move {
		return func() move { return goToBow(page, d.rows[d.at].Bow.ID) }
	}
	all := []action{
		{keys: "enter f", name: "finish", main: true, off: needsBow,
			long: "Open the bow's finishing.", do: open(toFinish)},
		{keys: "x", name: "done", main: true, off: func() string { return cmp.Or(needsBow(), d.desk.mayWrite()) },
			do:   d.done,
			long: "Log what the bow waits for as done now. What is weighed is asked for, what is marked is stamped."},
		{keys: "b", name: "to the bench", main: true, off: needsBow,
			long: "Take the bow to the bench.", do: open(toBench)},
	}
	return append(append(all, d.choosing("bow")...), back("Go back to the rack."))
}

// done logs what the chosen bow waits for. What would be asked about is seen on its own screen.
func (d *todayScreen) done() move {
	id := d.rows[d.at].Bow.ID
	atWork, err := d.desk.Shop.Bench(id)
	if err != nil {
		return failed(err)
	}
	f, err := atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	at := f.Progress.At
	if at < 0 || f.Doubt(f.Progress.Stages[at]) != "" || f.Progress.AtTheTree() {
		return goTo(toFinish, atWork)
	}
	next := d.desk.logStage(atWork, at)
	if next.opens() {
		return next
	}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	if i := slices.IndexFunc(d.rows, func(row shop.Row) bool { return row.Bow.ID == id }); i >= 0 {
		d.at = i
	}
	if next.say.kind == saying {
		next.say.text = session.NameOf(f.Bow) + ": " + next.say.text
	}
	return next
}

func (d *todayScreen) view(width, height int) string {
	s := d.desk.Styles
	if len(d.rows) == 0 {
		return "\n  No bow is in hand."
	}
	now := d.desk.Shop.Now().In(d.desk.Place)
	const narrow = 74 // under which there is no room for the time from which something can be done
	free := width - 2 - 2*(10+2)
	if width >= narrow {
		free -= 14 + 2
	}
	name := min(30, free*2/5)
	widths := []int{name, free - name - 2, 10, 10}
	cells := func(bow, waits, from, earliest, due string) string {
		if width < narrow {
			return row(widths, bow, waits, earliest, due)
		}
		return row(append(slices.Clone(widths[:2]), 14, 10, 10), bow, waits, from, earliest, due)
	}
	head := []string{s.Quiet.Render("  " + cells("bow", "waits for", "from", "earliest", "due"))}
	return d.list.view(s, height, head, nil, func(i int) (sign, text, section string) {
		r := d.rows[i]
		if !r.Today {
			section = "not today"
		}
		since := "now"
		if r.From.After(now) {
			since = shop.SayUntil(r.From, now, d.desk.dates())
		}
		if r.Next == "" {
			since = ""
		}
		due := d.desk.dates().ReprintShort(string(r.Bow.Order.Due))
		if days := r.Misses(d.desk.Place); days > 0 {
			due = fmt.Sprintf("%d d LATE", days)
		}
		earliest := shop.SayEarliest(r.Handover, now, d.desk.dates())
		waits := r.Waits
		if r.Next != "" && strings.HasPrefix(waits, r.Next) {
			waits = r.Next // until when it dries has a column of its own
		}
		return "  ", cells(session.NameOf(r.Bow), waits, since, earliest, due), section
	})
}
