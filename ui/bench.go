package ui

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/verdict"
)

// bench shows one bow at work: how it bends pass by pass, what it weighs, and what is entered next.
type bench struct {
	base
	*work
	pass    int          // the pass that is looked at
	pose    session.Pose // the pose that is looked at, where posed
	posed   bool
	bend    bool
	laid    bool
	row     int // the first row of the numbers that is shown
	posedAt int // how many entries the story had when the pose was chosen
}

func benchPage() page {
	return page{name: toBench,
		about: "The bench holds one bow at work: how it bends pass by pass, what it weighs, and how far to draw " +
			"next. Type the first draw, or press Enter, and a pull begins.",
		open: func(desk *Desk, to route) (screen, error) {
			b := &bench{work: &work{desk: desk, atWork: to.atWork, settings: verdict.Usual(),
				experience: new(verdict.Experience)}}
			return b, b.returned()
		}}
}

func (b *bench) opened() move {
	if len(b.drafts) == 0 {
		return move{}
	}
	text := fmt.Sprintf("A half-typed %s from %s is kept: c takes it up again.",
		sheet.FormName(b.drafts[0].Form), b.desk.tell(b.drafts[0].Begun))
	if more := len(b.drafts) - 1; more > 0 {
		text += " " + plain.Plural(more, "%d more is kept behind it.", "%d more are kept behind it.", more)
	}
	return move{say: notice{warning, text}}
}

// returned looks for half-typed forms and, where an entry was added, at what it brought.
func (b *bench) returned() error {
	err := b.work.returned()
	story := b.story()
	if n := len(story.Lines); n != b.posedAt || !b.posed {
		b.choosePose(story, b.posedAt == 0)
		b.posedAt = n
	}
	return err
}

// choosePose looks at the newest pass that was read: at its longest pull where the bow just came, or last.
func (b *bench) choosePose(story session.Story, justCame bool) {
	b.pass, b.posed = story.Pass().Number, false
	for n := b.pass; n >= 0 && !b.posed; n-- {
		b.pose, b.posed = story.Passes[n].LastPose()
		if !justCame || !b.posed {
			continue
		}
		// The longest draw that an earlier pass was read at too, so that there is something to compare.
		poses := story.Passes[n].Poses()
		b.pose = poses[len(poses)-1]
		for _, pose := range slices.Backward(poses) {
			if _, _, shared := story.Earlier(pose, n); shared && pose.Kind == model.KindPull {
				b.pose = pose
				break
			}
		}
	}
}

// idle says that all is saved, and when the last entry was made.
func (b *bench) idle() string {
	story := b.story()
	n := len(story.Lines)
	if n == 0 {
		return ""
	}
	if at := b.desk.tell(story.LastAt()); at != "" {
		return plain.Plural(n, "All saved: %d entry, the last %s.", "All saved: %d entries, the last %s.", n, at)
	}
	return plain.Plural(n, "All saved: %d entry.", "All saved: %d entries.", n)
}

func (b *bench) title() (name, what, right string) {
	story := b.story()
	right = story.Stage()
	if newest := story.Pass().Number; b.pass != newest {
		right = fmt.Sprintf("looking at pass %d of %d", b.pass, newest)
	}
	return session.NameOf(story.Bow()), session.SayWanted(story.Bow()), right
}

func (b *bench) typing(msg tea.KeyMsg) (move, bool) {
	if !begins(msg) || b.desk.mayWrite() != "" {
		return move{}, false
	}
	next := b.entry(sheet.Pull(b.story()))
	next.open.first = &msg
	return next, true
}

func (b *bench) actions() []action {
	write := b.desk.mayWrite
	takeUp := func() string {
		if len(b.drafts) == 0 {
			return "no form is half typed"
		}
		return write()
	}
	var all []action
	for _, kind := range sheet.Kinds() {
		if kind.Key == "" {
			continue
		}
		enter := action{keys: []string{kind.Key}, name: kind.Name, main: kind.Main, off: write, long: kind.Long,
			do: func() move { return b.entry(kind.Of(b.story())) }}
		if kind.Key == "p" {
			enter.keys, enter.long = append(enter.keys, "enter"), kind.Long+" Enter or a digit begins one too."
		}
		all = append(all, enter)
	}
	all = append(all,
		action{keys: []string{" ", "h"}, show: "space", name: "drawn", main: true,
			off: write, do: func() move { return move{open: route{page: toHold, work: b.work}} },
			long: "Say that the bow stands drawn: the hold clock runs until the same key says that it is down, and " +
				"rings when it is time to let down."},
		enlarge("z"),
		action{keys: []string{"c"}, name: "take up", main: true, off: takeUp, do: b.takeUp,
			long: "Take up the half-typed form again."},
		action{keys: []string{"u"}, name: "undo", main: true, off: write,
			do:   func() move { return b.changed("Undone; U brings it back: %s.", b.atWork.Undo) },
			long: "Undo the last entry. It stays in the story, struck out."},
		action{keys: []string{"U"}, name: "bring back", off: write,
			do:   func() move { return b.changed("Counts again: %s.", b.atWork.Redo) },
			long: "Bring back what was just undone."},
	)
	all = append(all, doors(b.work)...)
	all = append(all,
		action{keys: []string{"v"}, name: "bend", main: true, do: then(func() { b.bend = !b.bend }),
			long: "Show the bend at the stations, and the readings again. A flat spot shows in the bend, as far as " +
				"the band beside it (+-, half of the 90 % band) lets it."},
		action{keys: []string{"o"}, name: "overlay",
			long: "Lay one limb over the other, and side by side again.",
			do:   then(func() { b.laid = !b.laid })},
		action{keys: []string{"left"}, name: "pass before", do: by(-1, b.toPass), long: "Go back to the pass before."},
		action{keys: []string{"right"}, name: "pass after", do: by(1, b.toPass),
			long: "Go on to the pass after."},
		action{keys: []string{"down", "tab"}, name: "next reading", do: by(1, b.turn),
			long: "Show the next reading of the pass: relaxed, braced, each draw."},
		action{keys: []string{"up", "shift+tab"}, name: "reading before", do: by(-1, b.turn),
			long: "Show the reading before."},
	)
	all = append(all, numberKeys(&b.row)...)
	toRack := back("Put the bow back on the rack.")
	toRack.name = "rack"
	return append(all,
		action{keys: []string{"d"}, name: "describe", off: write,
			long: "Change the bow's description or order.",
			do:   func() move { return b.desk.describe(b.atWork) }},
		toRack)
}

func (b *bench) background() tea.Cmd { return b.work.background() }

// takeUp opens the newest of the half-typed forms, each as where it was begun.
func (b *bench) takeUp() move {
	return sheet.Opening[move]{
		Entry:   b.entry,
		Edit:    func() move { return b.desk.describe(b.atWork) },
		Like:    func() move { return b.desk.newBow(sheet.LikeForm(b.desk.Shop, b.story())) },
		Correct: func(line session.Line) move { return b.desk.correct(b.atWork, line) },
	}.TakeUp(b.story(), b.drafts[0].Form)
}

func (b *bench) changed(format string, change func() (session.Line, error)) move {
	line, err := change()
	if err == nil {
		err = b.returned()
	}
	if err != nil {
		return failed(err)
	}
	return said(format, session.Say(b.bow(), line.Entry.What))
}

func (b *bench) toPass(by int) {
	story := b.story()
	b.pass = max(0, min(b.pass+by, len(story.Passes)-1))
	poses := story.Passes[b.pass].Poses()
	if len(poses) > 0 && !slices.ContainsFunc(poses, b.pose.Same) {
		b.pose = poses[len(poses)-1]
	}
}

func (b *bench) turn(by int) {
	pass := b.pass
	if passes := withPose(b.story(), b.pose, pass, 1); len(passes) > 0 {
		pass = passes[0] // the last that was read so
	}
	poses := b.story().Passes[pass].Poses()
	if len(poses) == 0 {
		return
	}
	at := max(0, slices.IndexFunc(poses, b.pose.Same))
	b.pose = poses[(at+by+len(poses))%len(poses)]
}
