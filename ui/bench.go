package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// bench shows one bow at work: how it bends pass by pass, what it weighs, and what is entered next.
type bench struct {
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
				experience: new(shop.Experience)}}
			return b, b.returned()
		}}
}

func (b *bench) opened() move {
	if len(b.drafts) == 0 {
		return move{}
	}
	text := fmt.Sprintf("A half-typed %s from %s is kept: c takes it up again.",
		form.FormName(b.drafts[0].Form), b.desk.tell(b.drafts[0].Begun))
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

// choosePose shows the newest pass that was read: its longest pull if the bow just came, else its last reading.
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

func (b *bench) idle() string {
	story := b.story()
	n := len(story.Lines)
	if n == 0 {
		return ""
	}
	says := "All saved: " + plain.Plural(n, "%d entry", "%d entries", n)
	if at := b.desk.tell(story.LastAt()); at != "" {
		says += ", the last " + at
	}
	return says + "."
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
	next := b.entry(form.Pull(b.story()))
	next.open.first = &msg
	return next, true
}

func (b *bench) actions() []action {
	write := b.desk.mayWrite
	takeUp := func() string { return cmp.Or(unless(len(b.drafts) > 0, "no form is half typed"), write()) }
	var all []action
	for _, kind := range form.Kinds() {
		if kind.Key == "" {
			continue
		}
		enter := action{keys: kind.Key, name: kind.Name, main: kind.Main, off: write, long: kind.Long,
			do: func() move { return b.entry(kind.Of(b.story())) }}
		if kind.Key == "p" {
			enter.keys, enter.long = enter.keys+" enter", kind.Long+" Enter or a digit begins one too."
		}
		all = append(all, enter)
	}
	all = append(all,
		action{keys: "space h", name: "drawn", main: true,
			off: write, do: func() move { return move{open: route{page: toHold, work: b.work}} },
			long: "Say that the bow stands drawn: the hold clock runs until the same key says that it is down, and " +
				"rings when it is time to let down."},
		enlarge("z f2 ctrl+l"),
		action{keys: "c", name: "take up", main: true, off: takeUp, do: b.takeUp,
			long: "Take up the half-typed form again."},
		action{keys: "u", name: "undo", main: true, off: write,
			do:   func() move { return b.changed("Undone; U brings it back: %s.", b.atWork.Undo) },
			long: "Undo the last entry. It stays in the story, struck out."},
		action{keys: "U", name: "bring back", off: write,
			do:   func() move { return b.changed("Counts again: %s.", b.atWork.Redo) },
			long: "Bring back what was just undone."},
	)
	all = append(all, doors(b.work)...)
	all = append(all,
		action{keys: "v", name: "bend", main: true, do: then(func() { b.bend = !b.bend }),
			long: "Show the bend at the stations, and the readings again. A flat spot shows in the bend, as far as " +
				"the band beside it (+-, half of the 90 % band) lets it."},
		action{keys: "o", name: "overlay", do: then(func() { b.laid = !b.laid }),
			long: "Lay one limb over the other, and side by side again."},
		action{keys: "left", name: "pass before", do: by(-1, b.toPass), long: "Go back to the pass before."},
		action{keys: "right", name: "pass after", do: by(1, b.toPass), long: "Go on to the pass after."},
		action{keys: "down tab", name: "next reading", do: by(1, b.turn),
			long: "Show the next reading of the pass: relaxed, braced, each draw."},
		action{keys: "up shift+tab", name: "reading before", do: by(-1, b.turn), long: "Show the reading before."},
	)
	all = append(all, numberKeys(&b.row)...)
	toRack := back("Put the bow back on the rack.")
	toRack.name = "rack"
	return append(all,
		action{keys: "d", name: "describe", off: write, do: func() move { return b.desk.describe(b.atWork) },
			long: "Change the bow's description or order."},
		toRack)
}

// takeUp opens the newest of the half-typed forms, each as where it was begun.
func (b *bench) takeUp() move {
	return form.Opening[move]{
		Entry:   b.entry,
		Edit:    func() move { return b.desk.describe(b.atWork) },
		Like:    func() move { return b.desk.newBow(form.LikeForm(b.desk.Shop, b.story())) },
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

func (b *bench) shown() curves {
	most := 3
	if b.bend {
		most = 2 // rough as it is, more would only hide one another
	}
	story := b.story()
	passes := withPose(story, b.pose, b.pass, most)
	if len(passes) == 0 {
		passes = []int{b.pass}
	}
	return curves{story: story, pose: b.pose, passes: passes, bend: b.bend, laid: b.laid}
}

func (b *bench) figures(c curves, width int) block {
	if b.foretold() {
		return deviations(b.desk.Styles, b.advice)
	}
	return numbers(b.desk.Styles, c, width >= 100)
}

func (b *bench) fit(width, height int) {
	if b.posed {
		b.row = inRows(b.row, len(b.figures(b.shown(), width).lines), height-len(b.foot(width, height))-1)
	}
}

func (b *bench) view(width, height int) string {
	foot := b.foot(width, height)
	if !b.posed {
		lines := []string{"", "  Nothing was read on this bow yet.", ""}
		for _, line := range wrapped("Type the first draw, or press Enter, and the pull's form asks for the rest. "+
			"Digits and Enter are all it needs; Enter alone leaves a reading out.", width-4, 4) {
			lines = append(lines, "  "+line)
		}
		return strings.Join(append(lengthen(lines, height-len(foot)), foot...), "\n")
	}
	c := b.shown()
	const gap = 2
	picture := height - len(foot) - 1
	table := b.figures(c, width)
	graphWidth := width - table.width - gap
	table.lines = scrolled(table.lines, b.row, picture)
	lines := beside(gap, block{graphWidth, b.drawing(c, graphWidth, picture)}, table)
	return strings.Join(slices.Concat([]string{b.caption(c, width)}, lines, foot), "\n")
}

// foretold says whether the bend is shown as estimated; that of an earlier pass is told by differences alone.
func (b *bench) foretold() bool {
	return b.bend && b.err == nil && b.advice.Read && b.advice.Bends() && b.pass == b.story().Pass().Number
}

// drawing is the bend as foretold, or the curves that were read, in lines of the width and height given.
func (b *bench) drawing(c curves, width, height int) []string {
	s := b.desk.Styles
	switch {
	case b.foretold():
		return strings.Split(bendPlot(s, c, b.advice, width, height).Render(), "\n")
	case c.bend && !c.any():
		text := "  No bend can be told from these readings: it takes three neighbouring stations, or two and the " +
			"limb root where it is read to the line."
		return lengthen(append([]string{""}, wrapped(text, width, 6)...), height)
	}
	return strings.Split(c.plot(s, width, height).Render(), "\n")
}

func (b *bench) caption(c curves, width int) string {
	s := b.desk.Styles
	rule, unit, legend := c.story.Bow().Ruler(), bendLength(c.story.Bow()), c.legend(s)
	what := b.pose.Label(rule) + ", " + b.pose.Datum()
	switch {
	case b.foretold():
		draw := rule.WithUnit(measure.Length(b.advice.Draw))
		what, legend = fmt.Sprintf("bend at %s, 1/1000 per %s", draw, unit), bendLegend(s)
	case b.bend:
		what = fmt.Sprintf("bend in 1/1000 per %s, %s, rough", unit, b.pose.Label(rule))
	}
	text := s.Strong.Render(what) + "   " + legend
	if c.passes[0] != b.pass {
		text += s.Quiet.Render(fmt.Sprintf("   pass %d not read so", b.pass))
	}
	return ansi.Truncate(text, width, "~")
}

// footRows are the least and the most rows under the picture, so that it hardly moves when the verdict
// changes.
func footRows(height int) (least, most int) {
	if height < 20 {
		return 6, 7
	}
	return 6, 8
}

// foot is what stands under the picture: what to do and why, what the bow will weigh, and how far it may go.
func (b *bench) foot(width, height int) []string {
	s, v := b.desk.Styles, b.verdict
	head := s.Rule(width)
	if mark := b.staleMark(); mark != "" {
		head = s.Rule(width-len(mark)-1) + " " + s.Quiet.Render(mark)
	}
	say := fitted(v.Say, width, 3)
	if b.err != nil {
		why := cmp.Or(v.Why, session.Capital(b.err.Error())+".")
		return slices.Concat([]string{head}, rendered(verdictStyle(s, v), say), styled(s.Bad, why, width, 3))
	}
	var stop []string
	if text := b.advice.SayStop(v); text != "" {
		stop = fitted(text+" Stand clear; ease down at a crack.", width, 2)
	}
	forecast := fitted(b.advice.SayForecast(v), width, 2)
	least, most := footRows(height)
	why := fitted(v.Why, width, min(3, max(1, most-len(say)-len(forecast)-len(stop))))
	lines := slices.Concat([]string{head}, rendered(verdictStyle(s, v), say), rendered(s.Plain, why),
		rendered(s.Plain, forecast), rendered(s.Caution, stop))
	if b.posed && tillers(v) {
		lines = append(lines, slices.Repeat([]string{""}, max(0, 1+least-len(lines)))...)
	}
	return lines
}

// tillers says whether a bow is still at the tree.
func tillers(v verdict.Verdict) bool { return v.Do != verdict.Finish && v.Do != verdict.None }

// across implements acrosser: what to do, the most it should weigh while it's at the tree, the last peak.
func (b *bench) across(width, height int) string {
	s, story, bow := b.desk.Styles, b.story(), b.bow()
	unit := bow.Units.Force.Symbol()
	now := headline{figure: "...", style: verdictStyle(s, b.verdict), main: true}
	most := headline{label: "MOST", figure: "-", unit: unit, style: s.Caution}
	last := headline{label: "LAST", figure: "-", unit: unit, style: s.Strong}
	if b.fresh() {
		now.figure = b.verdict.Word
	}
	if wanted, ok := b.settings.Takes.Wanted(bow.Order).Get(); ok {
		most.figure = bow.Weigher().Short(wanted.Weight)
	}
	if pull, ok := story.LastPull(); ok {
		if peak, weighed := pull.Peak.Get(); weighed {
			last.figure = bow.Weigher().Print(peak)
		}
	}
	lines := []headline{now, most, last}
	if b.fresh() && !tillers(b.verdict) {
		lines = []headline{now, last}
	}
	return poster(s, lines, nil, width, height)
}
