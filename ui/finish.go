package ui

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/verdict"
)

// finishScreen shows a bow on its way to the customer: what is done, what dries, what gets stamped.
type finishScreen struct {
	base
	list  // the stages
	on    *work
	f     verdict.Finishing
	lines int // entries of the story when it was looked at
}

func finishPage() page {
	return page{name: toFinish,
		about: "The bow's way from the nocks to handing over. See what's done, what's drying and what to stamp. " +
			"Enter logs the chosen stage as done.",
		open: func(_ *Desk, to route) (screen, error) {
			d := &finishScreen{on: to.work, lines: -1}
			return d, d.returned()
		},
		key: action{keys: "f", name: "finish", main: true,
			long: "Finish the bow: its stages from the nocks to handing over. Then its mark, number and card."}}
}

// returned looks anew at how far the bow is, and chooses what it waits for where something was done.
func (d *finishScreen) returned() error {
	if err := d.on.atWork.Refresh(); err != nil {
		return err
	}
	f, err := d.on.atWork.Finishing()
	if err != nil {
		return err
	}
	d.f = f
	if n := len(d.on.story().Lines); n != d.lines {
		d.lines = n
		if f.Progress.At >= 0 {
			d.at = f.Progress.At
		}
	}
	d.count = len(f.Progress.Stages)
	d.step(0)
	return nil
}

func (d *finishScreen) title() (name, what, right string) {
	name = session.NameOf(d.f.Bow)
	what = cmp.Or(session.SayNumber(d.f.Bow), "finishing")
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

func (d *finishScreen) idle() string { return form.StageCaution(d.f.Progress.Stages[d.at]) }

func (d *finishScreen) actions() []action {
	write := d.on.desk.mayWrite
	enter := func(of func(session.Story) *form.Sheet) func() move {
		return func() move { return d.on.enter(of(d.on.story())) }
	}
	all := []action{
		{keys: "enter", name: "done now", main: true, in: writes, off: write, do: d.done,
			long: "Log the chosen stage as done now: its next coat or grit. " +
				"It asks for a weight, or stamps the mark."},
		{keys: "D", name: "on a day", main: true, in: writes, off: write, do: d.onDay,
			long: "Log the chosen stage as done on an earlier day."},
		{keys: "W", name: "weigh", main: true, in: reads, off: write, do: enter(form.Weigh),
			long: "Weigh the bow at the ordered draw."},
		{keys: "M", name: "stamp", main: true, in: writes,
			do:   d.on.stamp,
			off:  func() string { return cmp.Or(write(), d.f.MayStamp()) },
			long: "Mark the bow: see what to stamp, or type what you stamped. It gets a number, if it has none."},
		{keys: "h", name: "card", main: true, do: func() move { return goTo(toCard, d.on) },
			long: "Read the card that goes with the bow, or write it to a file."},
		{keys: "y", name: "dryness", in: reads, off: write, do: enter(form.Moisture),
			long: "Enter how damp the wood is, by a meter. Or how damp the air is, in your shop or where the " +
				"bow goes."},
	}
	all = append(all, d.on.desk.undoing(d.on.atWork.Last, d.returned)...)
	return append(append(all, d.choosing("stage")...), back("Go back."))
}

func (d *finishScreen) onDay() move {
	bow := d.f.Bow
	fields := form.OnDay(d.f.StepOf(d.at), d.f.Progress.Stages[d.at].Name, d.f.Now, d.f.Dates)
	filling, err := form.ShortForm(d.on.desk.Shop, d.on.atWork, fields)
	return d.on.desk.form(filling, err, func(kept form.Kept) move {
		return done("Saved: %s.", session.Say(bow, kept.Event))
	})
}

func (d *finishScreen) done() move {
	// The screen may have stood open overnight.
	if err := d.returned(); err != nil {
		return failed(err)
	}
	if doubt := d.on.atWork.Doubt(d.f, d.at); doubt != "" && !d.on.desk.sure(doubt) {
		return warned("%s Enter again logs it anyway.", doubt)
	}
	next := d.on.logStage(d.at)
	if next.say.kind == saying {
		if err := d.returned(); err != nil {
			return failed(err)
		}
	}
	return next
}

func (d *finishScreen) view(width, height int) string {
	s := d.on.desk.Styles
	foot := append([]string{s.Rule(width)}, d.foot(width)...)
	widths := []int{22, 9, max(10, width-2-22-9-4)}
	head := []string{s.Quiet.Render("  " + row(widths, "stage", "", "done on"))}
	return d.list.view(s, height, head, foot, func(i int) (sign, text, section string) {
		stage := d.f.Progress.Stages[i]
		return "  ", row(widths, stage.Name, verdict.SayState(d.f.Progress, i), d.f.SayDone(stage)), ""
	})
}

func (d *finishScreen) foot(width int) []string {
	s := d.on.desk.Styles
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
	lines := []string{first, stamp, s.Quiet.Render(d.f.SayTakes())}
	for i, line := range lines {
		lines[i] = ansi.Truncate(line, width, "~")
	}
	return lines
}
