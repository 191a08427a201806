package ui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// bench shows one bow at work: how it bends pass by pass, what it weighs, and what is entered next.
type bench struct {
	base
	desk   *Desk
	atWork *shop.Bench
	pass   int          // the pass that is looked at
	pose   session.Pose // the pose that is looked at, where posed
	posed  bool
	bend   bool
	laid   bool
	row    int          // the first row of the numbers that is shown
	lines  int          // how many entries the story had when the pose was chosen
	drafts []shop.Draft // half-typed forms, the newest first

	advised advised // what the readings say
}

func openBench(desk *Desk, id string) move {
	atWork, err := desk.Shop.Bench(id)
	if err != nil {
		return failed(err)
	}
	b := &bench{desk: desk, atWork: atWork, advised: advised{settings: verdict.Usual(), shop: new(verdict.Experience)}}
	if err := b.returned(); err != nil {
		return failed(err)
	}
	return move{open: b, say: b.draftNotice()}
}

// returned looks for half-typed forms and, where an entry was added, at what it brought.
func (b *bench) returned() error {
	if err := b.atWork.Refresh(); err != nil {
		return err
	}
	story := b.atWork.Story()
	if n := len(story.Lines); n != b.lines || !b.posed {
		b.choosePose(story, b.lines == 0)
		b.lines = n
	}
	drafts, err := sheet.HalfTyped(b.desk.Shop, story)
	b.drafts = drafts
	return err
}

// choosePose looks at the newest pass that was read: at its longest pull, where the bow just came to the
// bench, else at what was read last.
func (b *bench) choosePose(story session.Story, justCame bool) {
	b.pass, b.posed = story.Pass().Number, false
	for n := b.pass; n >= 0 && !b.posed; n-- {
		b.pose, b.posed = story.Passes[n].LastPose()
		if justCame && b.posed {
			b.pose = longestShared(story, n)
		}
	}
}

// longestShared is the longest draw of a pass that an earlier pass was read at too, so that there is
// something to compare; the longest of all where there is none.
func longestShared(story session.Story, pass int) session.Pose {
	poses := story.Passes[pass].Poses()
	for _, pose := range slices.Backward(poses) {
		if _, _, shared := story.Earlier(pose, pass); shared && pose.Kind == model.KindPull {
			return pose
		}
	}
	return poses[len(poses)-1]
}

func (b *bench) draftNotice() notice {
	if len(b.drafts) == 0 {
		return notice{}
	}
	text := fmt.Sprintf("A half-typed %s from %s is kept: c takes it up again.",
		sheet.FormName(b.drafts[0].Form), b.desk.tell(b.drafts[0].Begun))
	if more := len(b.drafts) - 1; more > 0 {
		text += " " + plain.Plural(more, "%d more is kept behind it.", "%d more are kept behind it.", more)
	}
	return notice{warning, text}
}

func (b *bench) about() string {
	return "The bench holds one bow at work: how it bends pass by pass, what it weighs, and how far to draw next. " +
		"Type the first draw, or press Enter, and a pull begins."
}

// idle says that all is saved, and when the last entry was made.
func (b *bench) idle() string {
	story := b.atWork.Story()
	if len(story.Lines) == 0 {
		return ""
	}
	n := len(story.Lines)
	if at := b.desk.tell(story.LastAt()); at != "" {
		return plain.Plural(n, "All saved: %d entry, the last %s.", "All saved: %d entries, the last %s.", n, at)
	}
	return plain.Plural(n, "All saved: %d entry.", "All saved: %d entries.", n)
}

func (b *bench) title() (name, what, right string) {
	story := b.atWork.Story()
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
	next := b.entry(sheet.Pull(b.atWork.Story()))
	next.begin = &msg
	return next, true
}

// begins says whether a key, or a paste, is the beginning of a figure.
func begins(msg tea.KeyMsg) bool {
	typed := msg.Type == tea.KeyRunes && !msg.Alt && (len(msg.Runes) == 1 || msg.Paste && len(msg.Runes) > 0)
	return typed && msg.Runes[0] >= '0' && msg.Runes[0] <= '9'
}

func (b *bench) actions() []action {
	write := b.desk.mayWrite
	opens := func(of func() screen) func() move { return func() move { return move{open: of()} } }
	all := []action{}
	for _, kind := range sheet.Kinds() {
		if kind.Key == "" {
			continue
		}
		enter := action{keys: []string{kind.Key}, name: kind.Name, main: kind.Main, off: write, long: kind.Long,
			do: func() move { return b.entry(kind.Of(b.atWork.Story())) }}
		if kind.Key == "p" {
			enter.keys, enter.long = append(enter.keys, "enter"), kind.Long+" Enter or a digit begins one too."
		}
		all = append(all, enter)
	}
	all = append(all,
		action{keys: []string{" ", "h"}, show: "space", name: "drawn", main: true, off: write, do: func() move { return openHold(b) },
			long: "Say that the bow stands drawn: the hold clock runs until the same key says that it is down, and rings when " +
				"it is time to let down."},
		enlarge("z"),
		action{keys: []string{"c"}, name: "take up", main: true, off: b.mayTakeUp, do: b.takeUp,
			long: "Take up the half-typed form again."},
		action{keys: []string{"u"}, name: "undo", main: true, off: write, do: b.undo,
			long: "Undo the last entry. It stays in the story, struck out."},
		action{keys: []string{"U"}, name: "bring back", off: write, do: b.bringBack,
			long: "Bring back what was just undone."},
		action{keys: []string{"t"}, name: "story", main: true,
			long: "Tell the bow's story pass by pass, any two side by side.",
			do:   opens(func() screen { return newStoryScreen(b) })},
		action{keys: []string{"a"}, name: "advice", main: true, off: b.mayAdvise,
			long: "Tell all that the readings say, each figure with its band, and what they do not show.",
			do:   opens(func() screen { return newAdviceScreen(b) })},
		action{keys: []string{"g"}, name: "plan", main: true, off: b.mayPlan,
			long: "Show where to take wood, and what the bow would then be; change it, and log it when it is done.",
			do:   opens(func() screen { return newPlanScreen(b) })},
		action{keys: []string{"f"}, name: "finish", main: true, do: func() move { return openFinish(b.desk, b.atWork) },
			long: "Finish the bow: its stages from the nocks to the handing over, what dries, its mark, its number and its card."},
		action{keys: []string{"e"}, name: "entries",
			long: "List the entries: read them whole, correct one, or void one with a reason.",
			do:   opens(func() screen { return newEntries(b.desk, b.atWork) })},
		action{keys: []string{"w"}, name: "summary", do: opens(func() screen { return newSummaryScreen(b) }),
			long: "Read the summary of a session or of the whole bow, and write it to a file."},
		action{keys: []string{"v"}, name: "bend", main: true, do: then(func() { b.bend = !b.bend }),
			long: "Show the bend at the stations, and the readings again. A flat spot shows in the bend, as far as the band " +
				"beside it (+-, half of the 90 % band) lets it."},
		action{keys: []string{"o"}, name: "overlay",
			long: "Lay one limb over the other, and side by side again.",
			do:   then(func() { b.laid = !b.laid })},
		action{keys: []string{"left"}, name: "pass before", do: by(-1, b.toPass),
			long: "Go back to the pass before."},
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

// mayTakeUp says why no form can be taken up.
func (b *bench) mayTakeUp() string {
	if len(b.drafts) == 0 {
		return "no form is half typed"
	}
	return b.desk.mayWrite()
}

// mayAdvise says why there is no advice to show; "" where there is some, or may be when it is worked out.
func (b *bench) mayAdvise() string {
	switch says, err := b.says(); {
	case err != nil:
		return err.Error()
	case b.fresh() && !says.Read:
		return "nothing was read yet"
	}
	return ""
}

// takeUp opens the newest of the half-typed forms, each as where it was begun.
func (b *bench) takeUp() move {
	next, _ := sheet.Opening[move]{
		Entry:   b.entry,
		Edit:    func() move { return b.desk.describe(b.atWork) },
		Like:    func() move { return b.desk.newBow(sheet.LikeForm(b.desk.Shop, b.atWork.Story())) },
		Correct: func(line session.Line) move { return b.desk.correct(b.atWork, line) },
	}.TakeUp(b.atWork.Story(), b.drafts[0].Form)
	return next
}

func (b *bench) undo() move {
	line, err := b.atWork.Undo()
	return b.changed("Undone; U brings it back: %s.", line, err)
}

func (b *bench) bringBack() move {
	line, err := b.atWork.Redo()
	return b.changed("Counts again: %s.", line, err)
}

// changed says what was done to an entry.
func (b *bench) changed(format string, line session.Line, err error) move {
	if err == nil {
		err = b.returned()
	}
	if err != nil {
		return failed(err)
	}
	return said(format, session.Say(b.atWork.Story().Bow(), line.Entry.What))
}

// toPass looks at another pass.
func (b *bench) toPass(by int) {
	story := b.atWork.Story()
	b.pass = max(0, min(b.pass+by, len(story.Passes)-1))
	poses := story.Passes[b.pass].Poses()
	if len(poses) > 0 && !slices.ContainsFunc(poses, b.pose.Same) {
		b.pose = poses[len(poses)-1]
	}
}

// turn looks at another pose of the pass.
func (b *bench) turn(by int) {
	poses := b.atWork.Story().Passes[b.shownPass()].Poses()
	if len(poses) == 0 {
		return
	}
	at := max(0, slices.IndexFunc(poses, b.pose.Same))
	b.pose = poses[(at+by+len(poses))%len(poses)]
}

// shownPass is the pass whose curves are shown: the one looked at, or the last before it that was read so.
func (b *bench) shownPass() int {
	if passes := withPose(b.atWork.Story(), b.pose, b.pass, 1); len(passes) > 0 {
		return passes[0]
	}
	return b.pass
}

// shown is what the picture and the numbers show.
func (b *bench) shown() curves {
	most := 3
	if b.bend {
		most = 2 // rough as it is, more would only hide one another
	}
	story := b.atWork.Story()
	passes := withPose(story, b.pose, b.pass, most)
	if len(passes) == 0 {
		passes = []int{b.pass}
	}
	return curves{story: story, pose: b.pose, passes: passes, bend: b.bend, laid: b.laid}
}

// figures are the numbers beside the picture.
func (b *bench) figures(c curves, width int) block {
	if b.foretold() {
		return deviations(b.desk.Styles, b.advised.advice)
	}
	return numbers(b.desk.Styles, c, width >= 100)
}

// fit implements screen.
func (b *bench) fit(width, height int) {
	if b.posed {
		b.row = inRows(b.row, len(b.figures(b.shown(), width).lines), height-len(b.foot(width, height))-1)
	}
}

func (b *bench) view(width, height int) string {
	foot := b.foot(width, height)
	if !b.posed {
		lines := []string{"", "  Nothing was read on this bow yet.", "",
			"  Type the first draw, or press Enter, and the pull's form asks for the rest.",
			"  Digits and Enter are all it needs; Enter alone leaves a reading out."}
		return strings.Join(append(lengthen(lines, height-len(foot)), foot...), "\n")
	}
	c := b.shown()
	const gap = 2
	picture := height - len(foot) - 1
	table := b.figures(c, width)
	graphWidth := width - table.width - gap
	table.lines = scrolled(table.lines, b.row, picture)
	lines := []string{b.caption(c, width), beside(gap, block{graphWidth, b.drawing(c, graphWidth, picture)}, table)}
	return strings.Join(append(lines, foot...), "\n")
}

// foretold says whether the bend is shown as estimated; that of an earlier pass is told by differences alone.
func (b *bench) foretold() bool {
	return b.bend && b.hasAdvice() && b.advised.advice.Bends() && b.pass == b.atWork.Story().Pass().Number
}

// drawing is the bend as foretold, or the curves that were read, in lines of the width and height given.
func (b *bench) drawing(c curves, width, height int) []string {
	s := b.desk.Styles
	switch {
	case b.foretold():
		return strings.Split(bendPlot(s, c, b.advised.advice, width, height).Render(), "\n")
	case c.bend && !c.any():
		text := "  No bend can be told from these readings: it takes three neighbouring stations, or two and the limb root " +
			"where it is read to the line."
		return lengthen(append([]string{""}, wrapped(text, width, 6)...), height)
	}
	return strings.Split(c.plot(s, width, height).Render(), "\n")
}

// caption says what the picture shows.
func (b *bench) caption(c curves, width int) string {
	s := b.desk.Styles
	rule, unit, legend := c.story.Bow().Ruler(), bendLength(c.story.Bow()), c.legend(s)
	what := b.pose.Label(rule) + ", " + b.pose.Datum()
	switch {
	case b.foretold():
		draw := rule.WithUnit(measure.Length(b.advised.advice.Draw))
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

// foot is what stands under the picture: the tiller, the peaks or what the bend says, and what comes next.
func (b *bench) foot(width, height int) []string {
	s := b.desk.Styles
	lines := []string{s.Rule(width), tillerLine(s, b.atWork.Story(), b.pass, width)}
	rows := max(2, min(3, (height-14)/2))
	if height >= 30 {
		rows = 5
	}
	if b.foretold() {
		lines = append(lines, findingLines(s, b.advised.advice, width, rows)...)
	} else {
		lines = append(lines, peakLines(s, b.atWork.Story(), b.pass, width, rows)...)
	}
	return append(lines, b.nextLines(width)...)
}
