package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/sheet"
)

// finishScreen shows a bow on its way to the customer: what is done, what dries until when, what gets stamped.
type finishScreen struct {
	keysOnly
	desk   *Desk
	atWork *session.Bench
	f      session.Finishing
	at     int // the chosen stage
	asked  int // the stage that was asked about, and one; 0 for none
	lines  int // entries of the story when it was looked at
}

func openFinish(desk *Desk, atWork *session.Bench) move {
	d := &finishScreen{desk: desk, atWork: atWork, lines: -1}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	return move{open: d}
}

// returned looks anew at how far the bow is, and chooses what it waits for where something was done.
func (d *finishScreen) returned() error {
	if err := d.atWork.Refresh(); err != nil {
		return err
	}
	f, err := d.atWork.Finishing()
	if err != nil {
		return err
	}
	d.f = f
	if n := len(d.atWork.Story().Lines); n != d.lines {
		d.lines, d.asked = n, 0
		if f.Progress.At >= 0 {
			d.at = f.Progress.At
		}
	}
	d.at = max(0, min(d.at, len(f.Progress.Stages)-1))
	return nil
}

func (d *finishScreen) about() string {
	return "The bow's way from the nocks to the handing over: what is done, what dries until when, and what gets stamped. Enter logs the chosen stage as done."
}

func (d *finishScreen) title() (name, what, right string) {
	name = session.NameOf(d.f.Bow)
	if number := session.SayNumber(d.f.Bow); number != "" {
		what = number
	} else {
		what = "finishing"
	}
	switch days := d.f.Misses(); {
	case d.f.Progress.Away:
		right = "handed over"
	case days > 0:
		right = plain.Plural(days, "CANNOT BE READY: %d day late", "CANNOT BE READY: %d days late", days)
	case d.f.Bow.Order.Due != "":
		right = fmt.Sprintf("due %s", d.f.Dates.Reprint(string(d.f.Bow.Order.Due)))
	}
	return name, what, right
}

// idle is the caution of the chosen stage.
func (d *finishScreen) idle() string { return sheet.StageCaution(d.f.Progress.Stages[d.at]) }

func (d *finishScreen) actions() []action {
	step := func(by int) func() move {
		return func() move {
			d.at, d.asked = max(0, min(d.at+by, len(d.f.Progress.Stages)-1)), 0
			return move{}
		}
	}
	return []action{
		{keys: []string{"enter"}, name: "done now", main: true, off: d.desk.mayWrite,
			long: "Log the chosen stage as done now: its next coat or grit. What is weighed is asked for, what is marked is stamped.", do: d.done},
		{keys: []string{"d"}, name: "on a day", main: true, off: d.desk.mayWrite, long: "Log the chosen stage as done on an earlier day.",
			do: func() move {
				return d.form(sheet.OnDay(d.f.StepOf(d.at), d.f.Progress.Stages[d.at].Name, d.f.Now, d.f.Dates), false)
			}},
		{keys: []string{"w"}, name: "weigh", main: true, off: d.desk.mayWrite, long: "Weigh the bow at the ordered draw.",
			do: func() move { return d.form(sheet.Weigh(d.atWork.Story()), true) }},
		{keys: []string{"m"}, name: "mark", main: true, off: func() string {
			if why := d.desk.mayWrite(); why != "" {
				return why
			}
			return d.f.MayStamp()
		}, long: "Mark the bow: give it a number, if it has none, and log what is stamped.", do: d.stamp},
		{keys: []string{"o"}, name: "order", main: true, long: "Check the order: draw in each way of measuring, string, longbow rule, strain, moisture.",
			do: func() move { return openChecks(d.desk, d.atWork) }},
		{keys: []string{"h"}, name: "card", main: true, long: "Read the card that goes with the bow, and write it to a file.",
			do: func() move { return openCard(d.desk, d.atWork) }},
		{keys: []string{"a"}, name: "air", off: d.desk.mayWrite, long: "Enter how damp the wood is, by a meter, or the air of the shop or of where the bow goes.",
			do: func() move { return d.form(sheet.Moisture(d.atWork.Story()), true) }},
		{keys: []string{"u"}, name: "undo", main: true, off: d.desk.mayWrite, long: "Undo the last entry. It stays in the story, struck out.", do: d.undo},
		{keys: []string{"up", "k"}, name: "up", long: "Choose the stage above.", do: step(-1)},
		{keys: []string{"down", "j"}, name: "down", long: "Choose the stage below.", do: step(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: step(-8)},
		{keys: []string{"pgdown"}, name: "page down", long: "Go down by a page.", do: step(8)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

// form opens a sheet whose entry is added to the bow; a short one keeps no draft.
func (d *finishScreen) form(sh *sheet.Sheet, drafted bool) move {
	if drafted {
		return openForm(entryForm(d.desk, d.atWork, sh))
	}
	bow := d.f.Bow
	filling, err := sheet.ShortForm(d.desk.Shop, d.atWork, sh)
	return openForm(showForm(d.desk, filling, err, func(kept sheet.Kept) move {
		return move{back: true, say: notice{saying, fmt.Sprintf("Saved: %s.", session.Say(bow, kept.Event))}}
	}))
}

// done logs the chosen stage now.
func (d *finishScreen) done() move {
	// The screen may have stood open overnight.
	if err := d.returned(); err != nil {
		return failed(err)
	}
	stage := d.f.Progress.Stages[d.at]
	if doubt := d.f.Doubt(stage); doubt != "" && d.asked != d.at+1 {
		d.asked = d.at + 1
		return move{say: notice{warning, fmt.Sprintf("%s Enter again logs it all the same.", doubt)}}
	}
	d.asked = 0
	switch {
	case stage.Seen == finish.SignWeighed || stage.Seen == finish.SignReweigh:
		return d.form(sheet.Weigh(d.atWork.Story()), true)
	case stage.Seen == finish.SignMarked:
		return d.stamp()
	case stage.Seen == finish.SignBack:
		return d.add(model.Rack{InHand: true, Why: stage.Name})
	}
	return d.add(d.f.StepOf(d.at))
}

// add logs an event at once and tells so.
func (d *finishScreen) add(event model.Event) move {
	if err := d.atWork.Add(event, ""); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	if step, isStep := event.(model.Finish); isStep && step.Step == model.HandedOver {
		return said("Handed over. h is the card that goes with it.")
	}
	return said("Saved %s: %s.", d.f.Now.Format("15:04"), session.Say(d.f.Bow, event))
}

func (d *finishScreen) stamp() move {
	if why := d.f.MayStamp(); why != "" {
		return move{say: notice{warning, fmt.Sprintf("Not marked: %s.", why)}}
	}
	text, err := d.atWork.Stamp()
	if err != nil {
		return failed(err)
	}
	if err := d.returned(); err != nil {
		return failed(err)
	}
	return said("Stamp: %s", text)
}

func (d *finishScreen) undo() move {
	line, err := d.atWork.Undo()
	if err != nil {
		return failed(err)
	}
	what := session.Say(d.f.Bow, line.Entry.What)
	if err := d.returned(); err != nil {
		return failed(err)
	}
	return said("Undone: %s.", what)
}

func (d *finishScreen) view(width, height int) string {
	s := d.desk.Styles
	foot := append([]string{s.Rule(width)}, d.foot(width)...)
	room := max(3, height-len(foot)-1)
	widths := []int{22, 9, max(10, width-2-22-9-4)}
	lines := []string{s.Quiet.Render("  " + row(widths, "stage", "", "done on"))}
	first := max(0, min(d.at-room/2, len(d.f.Progress.Stages)-room))
	for i := first; i < min(first+room, len(d.f.Progress.Stages)); i++ {
		stage := d.f.Progress.Stages[i]
		lines = append(lines, mark(s, i == d.at, row(widths, stage.Name, session.SayState(d.f.Progress, i), d.f.SayDone(stage))))
	}
	return strings.Join(append(lengthen(lines, height-len(foot)), foot...), "\n")
}

// foot says what dries, when the bow can go, and what is stamped.
func (d *finishScreen) foot(width int) []string {
	s := d.desk.Styles
	when := strings.Join(d.f.SayWhen(), s.Dot())
	first := s.Plain.Render(when)
	if d.f.Misses() > 0 {
		first = s.Bad.Render(when)
	}
	stamp, from := d.f.SayMark()
	if from == "" {
		stamp = s.Quiet.Render(stamp)
	} else {
		stamp = s.Strong.Render(stamp) + "  " + from
	}
	return []string{ansi.Truncate(first, width, "~"), ansi.Truncate(stamp, width, "~"), ansi.Truncate(s.Quiet.Render(d.f.SayTakes()), width, "~")}
}
