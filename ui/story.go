package ui

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// storyScreen tells a bow's history, a strip a pass, the newest below. A pass opens to its picture and its
// entries; any two can be compared.
type storyScreen struct {
	base
	of *work
	list
	marked []int // passes to compare, two at the most
	shows  int   // the pass that is open; -1 while the list is shown
	with   int   // the pass that is laid under it
	row    int   // the first of its entries that is shown
}

func storyPage() page {
	return page{name: "story",
		about: "The bow's story, a strip a pass. Each shows where the limbs were stiff or weak, what came off, " +
			"the weight. A strip shows what was known then: only a correction changes it.",
		open: func(_ *Desk, to route) (screen, error) {
			count := len(to.work.story().Passes)
			return &storyScreen{of: to.work, list: list{at: count - 1, count: count}, shows: -1}, nil
		},
		key: action{keys: "t", name: "story", main: true,
			long: "Show the bow's story, a strip a pass: where it stayed stiff, and how long."}}
}

func (t *storyScreen) title() (name, what, right string) {
	right = plain.Plural(t.count, "%d pass", "%d passes", t.count)
	if t.shows >= 0 {
		right = fmt.Sprintf("pass %d of %d", t.shows, t.count-1)
	}
	return session.NameOf(t.of.bow()), "the story", right
}

func (t *storyScreen) idle() string { return t.of.staleMark() }

func (t *storyScreen) returned() error {
	t.count = len(t.of.story().Passes)
	t.step(0)
	return nil
}

func (t *storyScreen) jump(n int) {
	t.at = max(0, min(n, t.count-1))
	if t.shows >= 0 {
		t.show(t.at, t.at-1)
	}
}

// show opens a pass over another, -1 for none.
func (t *storyScreen) show(pass, with int) { t.shows, t.with, t.row = pass, with, 0 }

func (t *storyScreen) actions() []action {
	all := choosing("pass", true, func(by int) { t.jump(t.at + by) })
	if t.shows >= 0 {
		scroll := func(by int) { t.row += by }
		return append(all[:4],
			action{keys: "pgdown", name: "entries down", main: true, long: "Scroll the pass's entries down.",
				do: by(4, scroll)},
			action{keys: "pgup", name: "entries up", long: "Scroll the pass's entries up.", do: by(-4, scroll)},
			action{keys: "esc q", name: "all passes", main: true, in: leaves, long: "Show all passes again.",
				do: then(func() { t.shows = -1 })})
	}
	return append(all,
		action{keys: "enter", name: "open", main: true, do: then(func() { t.show(t.at, t.at-1) }),
			long: "Open the pass: its picture over the pass before, and its entries."},
		action{keys: "space", name: "mark", main: true, do: then(t.mark),
			long: "Mark the pass, to compare it with another."},
		action{keys: "C", name: "compare", main: true, off: t.mayCompare, do: then(t.compare),
			long: "Compare the two marked passes, or the one with the chosen pass."},
		back("Go back."))
}

// mark marks the chosen pass, or takes its mark away. Of three the oldest mark goes.
func (t *storyScreen) mark() {
	if i := slices.Index(t.marked, t.at); i >= 0 {
		t.marked = slices.Delete(t.marked, i, i+1)
		return
	}
	t.marked = append(t.marked, t.at)
	t.marked = t.marked[max(0, len(t.marked)-2):]
}

func (t *storyScreen) mayCompare() string {
	another := len(t.marked) > 1 || len(t.marked) == 1 && t.marked[0] != t.at
	return unless(another, "mark another pass first (space)")
}

func (t *storyScreen) compare() {
	pair := append(slices.Clone(t.marked), t.at)[:2]
	t.show(max(pair[0], pair[1]), min(pair[0], pair[1]))
}

func (t *storyScreen) strip(n int) verdict.Strip {
	if strips := t.of.advice.Strips; n < len(strips) {
		return strips[n]
	}
	return verdict.Strip{Pass: n}
}

func (t *storyScreen) view(width, height int) string {
	switch {
	case t.of.err != nil:
		return strings.Join(wrapped(session.Capital(t.of.err.Error())+".", width, 3), "\n")
	case len(t.of.advice.Strips) == 0:
		return "\n  Working it out..."
	case t.shows >= 0:
		return strings.Join(t.pass(width, height), "\n")
	}
	return strings.Join(t.all(width, height), "\n")
}

// all is the list of passes, with the history in words above it.
func (t *storyScreen) all(width, height int) []string {
	s, a := t.of.desk.Styles, t.of.advice
	most := 2
	if t.count <= height-7 {
		most = 3
	}
	history := strings.Join(a.SayHistory(t.of.desk.dates()), " ")
	lines := rendered(s.Strong, fitted(history, width, most))
	if way := t.way(width); way != "" {
		lines = append(lines, way)
	}
	cells, lead := ansi.StringWidth(stripCells(s, a.Strips[0])), 11
	if width < lead+cells+rangedColumn+2 {
		lead = 6 // without the day
	}
	leads := func(n int) string {
		sign := "  "
		if n == t.at {
			sign = "> "
		} else if slices.Contains(t.marked, n) {
			sign = "+ "
		}
		day := ""
		if at := t.strip(n).At; lead > 6 && !at.IsZero() {
			day = t.of.desk.dates().Day(at.In(t.of.desk.Place))
		}
		return sign + left(strconv.Itoa(n), 3) + left(day, lead-5)
	}
	columns := stripColumns(a, width-lead-cells, tillerColumn, unevenColumn, cameOffColumn)
	lines = append(lines, stripHead(s, a, left(" pass", lead), columns))
	detail := max(1, min(4, height-t.count-len(lines)-1))
	foot := append(styled(s.Plain, t.detail(), width, detail), stripLegend(s, width))
	room := height - len(lines) - len(foot)
	from, to := around(t.at, t.count, room)
	for n := from; n < to; n++ {
		line := stripLine(s, t.strip(n), leads(n), columns)
		if n == t.at {
			line = s.Strong.Render(leads(n)) + strings.TrimPrefix(line, leads(n))
		}
		lines = append(lines, line)
	}
	return append(lengthen(lines, height-len(foot)), foot...)
}

// detail says when the chosen pass was, what came off in it and how often it was exercised.
func (t *storyScreen) detail() string {
	strip := t.strip(t.at)
	said := fmt.Sprintf("Pass %d", t.at)
	if at := t.of.desk.tell(strip.At); at != "" {
		said += ", " + at
	}
	said += ": " + cmp.Or(strip.Off, "nothing came off")
	if n := t.of.story().Passes[t.at].Exercised; n > 0 {
		said += fmt.Sprintf("; exercised %d", n)
	}
	for _, side := range model.Sides {
		if f, known := strip.Limbs[side].Uneven.Get(); known {
			said += fmt.Sprintf("; %s limb %.0f%% uneven", side, 100*f.Estimate)
		}
	}
	return said + "."
}

// way is the forecast at the order pass by pass, as it closes in on the weight that is wanted.
func (t *storyScreen) way(width int) string {
	s, a := t.of.desk.Styles, t.of.advice
	var forces []float64
	for _, strip := range a.Strips {
		if f, known := strip.Weight.Get(); known {
			forces = append(forces, f.Estimate)
		}
	}
	if len(forces) < 2 {
		return ""
	}
	wanted, ordered := a.Wanted.Get()
	scale := a.Bow.Weigher()
	first, last := forces[0], forces[len(forces)-1]
	said := fmt.Sprintf("%s to %s at %s", scale.Print(measure.Force(first)), scale.WithUnit(measure.Force(last)),
		a.Bow.Ruler().WithUnit(measure.Length(a.Draw)))
	least := slices.Min(forces)
	if ordered {
		said += ", you want " + session.SayOrdered(a.Bow, wanted.Weight)
		least = min(least, float64(wanted.Weight))
	}
	forces = forces[max(0, len(forces)-(width-ansi.StringWidth(said)-2)):]
	return sparkline(s, forces, least, slices.Max(forces)) + "  " + said
}

// sparkline is a row of bars from least, the lowest, to most.
func sparkline(s look.Styles, values []float64, least, most float64) string {
	bars := []rune("▁▂▃▄▅▆▇█")
	if s.ASCII {
		bars = []rune("_.-=+*%#")
	}
	var line []rune
	for _, v := range values {
		share := 0.0
		if most > least {
			share = (v - least) / (most - least)
		}
		line = append(line, bars[int(math.Round(share*float64(len(bars)-1)))])
	}
	return s.Accent.Render(string(line))
}

// pass is the picture of the open pass over another, both strips, and the entries of the pass.
func (t *storyScreen) pass(width, height int) []string {
	s, a := t.of.desk.Styles, t.of.advice
	picture := evenness{a, []int{t.shows}}
	if t.with >= 0 {
		picture.passes = append(picture.passes, t.with)
	}
	if t.shows >= len(a.Strips) {
		return []string{t.of.staleMark()}
	}
	entries := t.entries(width)
	tall := max(leastPicture, height-len(picture.passes)-len(entries)-1, height/2)
	lines := picture.lines(s, width, min(tall, height-len(picture.passes)-2))
	for _, n := range slices.Backward(picture.passes) {
		lines = append(lines, passLine(s, a, n, t.shows, width, tillerColumn, unevenColumn, cameOffColumn))
	}
	lines = append(lines, s.Rule(width))
	room := height - len(lines)
	t.row = max(0, min(t.row, len(entries)-room))
	return lengthen(append(lines, entries[t.row:min(len(entries), t.row+room)]...), height)
}

func (t *storyScreen) entries(width int) (lines []string) {
	story := t.of.story()
	for line := range session.Counting(story.LinesOf(story.Passes[t.shows])) {
		text := story.SayEntry(line)
		if read := sayReadings(story.Bow(), line.Entry.What); read != "" {
			text += ". " + session.Capital(read)
		}
		lines = append(lines, wrapped(text, width, 4)...)
	}
	if len(lines) == 0 {
		lines = []string{"This pass has no entries."}
	}
	return lines
}
