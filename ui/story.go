package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/ui/graph"
)

// storyScreen tells a bow's history pass by pass: what each took off and what it did, any two side by side.
type storyScreen struct {
	base
	of    *work
	story session.Story
	at    int                              // the pass that is read
	with  int                              // the pass that stands beside it
	draw  measure.Optional[measure.Length] // at which most passes were weighed
	poses []session.Pose
	pose  int // index of the pose in which both are shown
	bend  bool
	row   int // the first row of the numbers that is shown
}

func storyPage() page {
	return page{name: "story",
		about: "The bow's story: what each pass took off, and what that did. Two passes stand side by side.",
		open: func(_ *Desk, to route) (screen, error) {
			story := to.work.story()
			t := &storyScreen{of: to.work, story: story, at: story.Pass().Number}
			t.with, t.draw = max(0, t.at-1), t.commonDraw()
			t.look()
			return t, nil
		},
		key: action{keys: "t", name: "story", main: true,
			long: "Tell the bow's story pass by pass, any two side by side."}}
}

// look finds the poses that can be compared: of the pass that is read, those of both passes first.
func (t *storyScreen) look() {
	var both, one []session.Pose
	for _, pose := range t.story.Passes[t.at].Poses() {
		if _, ok := t.story.Passes[t.with].Reading(pose); ok {
			both = append(both, pose)
		} else {
			one = append(one, pose)
		}
	}
	t.poses = append(both, one...)
	t.pose = max(0, len(both)-1)
}

func (t *storyScreen) title() (name, what, right string) {
	return session.NameOf(t.story.Bow()), "the story", plain.Plural(len(t.story.Passes), "%d pass",
		"%d passes", len(t.story.Passes))
}

func (t *storyScreen) actions() []action {
	within := func(n int) int { return max(0, min(n, len(t.story.Passes)-1)) }
	read := func(by int) {
		t.at = within(t.at + by)
		t.with = within(t.at - 1)
		t.look()
	}
	beside := func(by int) { t.with = within(t.with + by); t.look() }
	all := []action{
		{keys: "up k", show: "up/down", name: "pass", main: true, do: by(-1, read),
			long: "Choose the pass that is read; the one before it stands beside it."},
		{keys: "down j", name: "pass after", long: "Choose the pass after.", do: by(1, read)},
		{keys: "left h", show: "left/right", name: "beside it", main: true, do: by(-1, beside),
			long: "Choose the pass that stands beside it."},
		{keys: "right l", name: "beside it, after", do: by(1, beside),
			long: "Choose the pass after to stand beside it."},
		{keys: "tab", name: "next reading", main: true,
			long: "Compare the next reading: relaxed, braced, each draw.",
			do:   then(func() { t.pose = (t.pose + 1) % max(1, len(t.poses)) })},
		{keys: "v", name: "bend", main: true, do: then(func() { t.bend = !t.bend }),
			long: "Show the bend at the stations, and the readings again."},
	}
	return append(append(all, numberKeys(&t.row)...),
		action{keys: "w", name: "summary", main: true,
			long: "Read the summary and write it to a file.",
			do:   func() move { return move{open: route{page: toSummary, work: t.of}} }},
		back("Go back."))
}

func (t *storyScreen) fit(width, height int) {
	if len(t.poses) > 0 {
		t.row = inRows(t.row, 1+len(session.Stations(t.story.Bow())), height-len(t.above(width, height)))
	}
}

func (t *storyScreen) view(width, height int) string {
	lines := t.above(width, height)
	return strings.Join(append(lines, t.sideBySide(width, height-len(lines))...), "\n")
}

// above is what stands above the curves: the passes, and what was done in the one that is read.
func (t *storyScreen) above(width, height int) []string {
	s := t.of.desk.Styles
	passes := len(t.story.Passes)
	listed := max(3, min(passes+1, height/4)) - 1
	first := max(0, min(t.at+1-(listed+1)/2, passes-listed))
	lines := t.passLines(width, first, listed)
	lines = append(lines, s.Rule(width))
	lines = append(lines, t.told(width, max(3, height/6))...)
	return append(lines, s.Rule(width))
}

// passLines are a head and up to most passes from a first one on: what came off, and what each weighed.
func (t *storyScreen) passLines(width, from, most int) []string {
	s := t.of.desk.Styles
	bow := t.story.Bow()
	draw, hasDraw := t.draw.Get()
	weightHead := "weight"
	if hasDraw {
		weightHead = fmt.Sprintf("at %s %s", bow.Ruler().Short(draw), string(bow.Units.Length))
	}
	tillerHead := fmt.Sprintf("u - l at %s", bow.Ruler().Short(session.TillerAt(bow)))
	const number, peak, longest = 7, 11, 17
	tiller := max(10, ansi.StringWidth(tillerHead))
	taken := max(8, width-number-peak-longest-tiller-8)
	widths := []int{number, taken, peak, longest, tiller}
	lines := []string{s.Quiet.Render(row(widths, "  pass", "taken off", weightHead, "longest pull", tillerHead))}
	for n := from; n < min(from+most, len(t.story.Passes)); n++ {
		pass := t.story.Passes[n]
		atDraw, far, gap := "", "", ""
		if weight, known := pass.Peak(draw).Get(); known && hasDraw {
			atDraw = bow.Weigher().WithUnit(weight)
		}
		if pull, ok := pass.LongestPull(); ok {
			far = session.SayPeak(bow, pull)
		}
		if tiller, ok := t.story.TillerOf(n); ok && tiller.Pass == n {
			if atAim, ok := tiller.AtAim(); ok {
				gap = bow.Ruler().PrintSigned(atAim.Difference)
			}
		}
		sign := "  "
		switch n {
		case t.at:
			sign = "> "
		case t.with:
			sign = "+ "
		}
		line := row(widths, sign+fmt.Sprint(n), sayTaken(bow, pass), atDraw, far, gap)
		if n == t.at {
			line = s.Chosen.Render(line)
		}
		lines = append(lines, line)
	}
	return lines
}

// commonDraw is the draw at which most passes were weighed, the longer where two are alike.
func (t *storyScreen) commonDraw() (common measure.Optional[measure.Length]) {
	most := 0
	counted := make(map[measure.Length]int)
	for _, pass := range t.story.Passes {
		for _, pull := range pass.Peaks() {
			counted[pull.Draw]++
			if n := counted[pull.Draw]; n > most || n == most && pull.Draw > common.Or(0) {
				common, most = measure.Some(pull.Draw), n
			}
		}
	}
	return common
}

func sayTaken(bow model.Bow, pass session.Pass) string {
	if len(pass.Scrapes) == 0 {
		return "-"
	}
	var parts []string
	for _, scrape := range pass.Scrapes {
		text := fmt.Sprintf("%s %s-%s", scrape.Limb, bow.Ruler().Print(scrape.From), bow.Ruler().Print(scrape.To))
		if strokes, known := scrape.Strokes.Get(); known {
			text += fmt.Sprintf(" x%d", strokes)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// told is what was taken off and then written in the pass that is read, cut where there is no room.
func (t *storyScreen) told(width, height int) []string {
	s := t.of.desk.Styles
	bow := t.story.Bow()
	pass := t.story.Passes[t.at]
	taken := "nothing taken off"
	if len(pass.Scrapes) > 0 {
		taken = fmt.Sprintf("took off %s", sayTaken(bow, pass))
	}
	if pass.Exercised > 0 {
		taken += fmt.Sprintf("; exercised %d", pass.Exercised)
	}
	lines := wrapped(fmt.Sprintf("Pass %d: %s.", t.at, taken), width, max(1, height-1))
	for _, line := range t.story.LinesOf(pass) {
		switch line.Entry.What.(type) {
		case model.Note, model.Finish, model.Edit, model.Rack:
			if line.Counts() {
				lines = append(lines, wrapped(session.Say(bow, line.Entry.What), width, 2)...)
			}
		}
	}
	if len(lines) > height {
		lines = append(lines[:height-1], s.Quiet.Render("and more: e on the bench lists all"))
	}
	return lengthen(lines, height)
}

// sideBySide are the curves of both passes to one scale, and their numbers.
func (t *storyScreen) sideBySide(width, height int) []string {
	s := t.of.desk.Styles
	if len(t.poses) == 0 || height < 4 {
		return []string{s.Quiet.Render("No stations were read in this pass.")}
	}
	pose := t.poses[t.pose]
	bow := t.story.Bow()
	table := t.numbers(pose, height)
	passes := []int{t.with, t.at}
	if t.with == t.at {
		passes = passes[1:] // there is nothing beside it
	}
	each := (width - table.width - 2*len(passes)) / len(passes)
	c := curves{story: t.story, pose: pose, bend: t.bend}
	var joint graph.Range // both are drawn to one scale
	for _, pass := range passes {
		for _, v := range slices.Concat(c.values(pass, model.Upper), c.values(pass, model.Lower)) {
			if !math.IsNaN(v) {
				joint.Min, joint.Max = min(joint.Min, v), max(joint.Max, v)
			}
		}
	}
	var blocks []block
	for _, pass := range passes {
		c.passes = []int{pass}
		p := c.plot(s, each, height-1)
		p.Y.Min, p.Y.Max = min(p.Y.Min, joint.Min), max(p.Y.Max, joint.Max)
		head := s.Strong.Render(fmt.Sprintf("pass %d", pass)) + s.Quiet.Render(" "+pose.Label(bow.Ruler()))
		blocks = append(blocks, block{each, append([]string{ansi.Truncate(head, each, "~")},
			strings.Split(p.Render(), "\n")...)})
	}
	return beside(2, append(blocks, table)...)
}

// numbers are the readings of the pass that is read, each with its change from the other pass.
func (t *storyScreen) numbers(pose session.Pose, height int) block {
	bow := t.story.Bow()
	was, _ := t.story.Passes[t.with].Reading(pose)
	now, _ := t.story.Passes[t.at].Reading(pose)
	var columns []column[session.Station]
	for _, side := range []model.Side{model.Lower, model.Upper} {
		change := func(at session.Station) string {
			before, hadOne := was.At(side, at.Index[side]).Get()
			if after, known := now.At(side, at.Index[side]).Get(); known && hadOne && t.with != t.at {
				return bow.Ruler().PrintSigned(after - before)
			}
			return ""
		}
		read := curves{story: t.story, pose: pose}.cell(t.at, side)
		columns = append(columns, column[session.Station]{head: side.String(), width: 9, cell: read},
			quiet(t.of.desk.Styles, "change", 7, change))
	}
	b := stationTable(t.of.desk.Styles, bow, columns...)
	b.lines = scrolled(b.lines, t.row, height)
	return b
}
