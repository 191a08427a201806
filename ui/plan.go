package ui

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// planScreen shows where to take wood, stretch by stretch, and what the bow would then be. The maker changes
// what comes off, and the outcome follows each key: it takes a few milliseconds.
type planScreen struct {
	base
	of   *work
	told int // generation of the advice that is shown

	plan    verdict.Plan
	known   bool      // whether there is one
	planned []float64 // by stretch, the fraction of stiffness that the plan takes
	take    []float64 // and what the maker makes of it
	rows    []planRow
	row     int // the chosen one
	side    model.Side
	typed   string // what is being typed at the chosen stretch

	now, after verdict.Outcome
	err        error // why the outcome can't be told
}

// planRow is the stretches of both limbs between the same places: their numbers, -1 where a limb has none.
type planRow struct {
	from, to float64
	at       [2]int
}

func planPage() page {
	return page{name: "plan", off: mayPlan,
		about: "Where to take wood, stretch by stretch, and what the bow would be then. Change it as you like: " +
			"nothing is in the book until you log it.",
		open: func(_ *Desk, to route) (screen, error) {
			t := &planScreen{of: to.work}
			t.refresh()
			return t, nil
		},
		key: action{keys: "g", name: "plan", main: true,
			long: "Show where to take wood, and what the bow would then be; change it, and log what you did."}}
}

// mayPlan says why there is no plan to show; "" where there is one, or it is still being worked out.
func mayPlan(w *work) string {
	switch {
	case w.err != nil:
		return w.err.Error()
	case w.fresh() && !w.advice.Plan.Known():
		return w.advice.NoPlan
	}
	return ""
}

// refresh takes up new advice. What the maker changed stays as long as the plan is the same.
func (t *planScreen) refresh() {
	if t.of.err != nil || t.told == t.of.told {
		return
	}
	t.told = t.of.told
	old, had := t.plan, t.known
	if t.plan, t.known = t.of.advice.Plan.Get(); !t.known {
		t.rows, t.take, t.planned = nil, nil, nil
		return
	}
	p := t.plan
	if had && slices.Equal(old.Stretches, p.Stretches) && slices.Equal(old.Cuts, p.Cuts) &&
		old.Now.Weight == p.Now.Weight {
		return
	}
	t.planned = make([]float64, len(p.Stretches))
	for _, c := range p.Cuts {
		if j := slices.Index(p.Stretches, c.Stretch); j >= 0 {
			t.planned[j] = c.Stiffness()
		}
	}
	t.take = slices.Clone(t.planned)
	t.layRows()
	t.now, t.err = p.Try(nil)
	t.try()
}

// layRows sets the stretches of both limbs side by side, and chooses the one from which most comes off.
func (t *planScreen) layRows() {
	t.rows, t.typed = nil, ""
	for j, s := range t.plan.Stretches {
		near := func(a, b float64) bool { return session.SameStation(measure.Length(a), measure.Length(b)) }
		i := slices.IndexFunc(t.rows, func(r planRow) bool { return near(r.from, s.From) && near(r.to, s.To) })
		if i < 0 {
			i = len(t.rows)
			t.rows = append(t.rows, planRow{from: s.From, to: s.To, at: [2]int{-1, -1}})
		}
		t.rows[i].at[s.Side] = j
	}
	slices.SortStableFunc(t.rows, func(a, b planRow) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	t.row, t.side = 0, model.Lower
	most := -1.0
	for i, r := range t.rows {
		for _, side := range model.Sides {
			if j := r.at[side]; j >= 0 && t.take[j] > most {
				t.row, t.side, most = i, side, t.take[j]
			}
		}
	}
}

func (t *planScreen) cuts() []plan.Cut {
	var all []plan.Cut
	for j, s := range t.plan.Stretches {
		// What can't be cut is refused where it is typed.
		if c, err := verdict.CutOf(s, t.take[j]); err == nil && c.Loss > 0 {
			all = append(all, c)
		}
	}
	return all
}

func (t *planScreen) try() { t.after, t.err = t.plan.Try(t.cuts()) }

// chosen is the number of the chosen stretch, -1 for none.
func (t *planScreen) chosen() int {
	if t.row >= len(t.rows) {
		return -1
	}
	return t.rows[t.row].at[t.side]
}

func (t *planScreen) title() (name, what, right string) {
	return session.NameOf(t.of.bow()), "where to take wood", t.of.asOf()
}

func (t *planScreen) idle() string {
	if j := t.chosen(); j >= 0 && t.take[j] != t.planned[j] {
		return fmt.Sprintf("Changed here from %s. Nothing is in the book until you log it.",
			t.sayPlanned(j))
	}
	return "The plan isn't in the book until you log it."
}

func (t *planScreen) returned() error { return t.of.returned() }

// typing takes digits, the point and backspace as per cent of stiffness to come off the chosen stretch.
func (t *planScreen) typing(msg tea.KeyMsg) (move, bool) {
	switch text := string(msg.Runes); {
	case msg.Type == tea.KeyBackspace && t.typed != "":
		return t.enter(t.typed[:len(t.typed)-1]), true
	case msg.Type == tea.KeyRunes && len(text) == 1 && strings.Contains("0123456789.", text):
		return t.enter(t.typed + text), true
	}
	t.typed = ""
	return move{}, false
}

// enter takes what is typed so far; nothing typed is as planned.
func (t *planScreen) enter(text string) move {
	j := t.chosen()
	if j < 0 {
		return move{}
	}
	if text == "" {
		t.typed = ""
		return t.set(t.planned[j])
	}
	v, err := strconv.ParseFloat("0"+text, 64)
	if err != nil || len(text) > 6 {
		return warned("%q isn't a percentage. Backspace clears it.", text)
	}
	next := t.set(v / 100)
	if next.say.text == "" {
		t.typed = text
	}
	return next
}

// set lets a fraction of the stiffness come off the chosen stretch.
func (t *planScreen) set(stiffness float64) move {
	if stiffness > verdict.MostStiffness {
		return warned("That's too much for one scraping: type 0 to %.0f%% of the stiffness.",
			100*verdict.MostStiffness)
	}
	t.take[t.chosen()] = max(stiffness, 0)
	t.try()
	return move{}
}

// more changes the chosen stretch to the next whole per cent from what is shown, up or down.
func (t *planScreen) more(by float64) move {
	shown, _ := strconv.ParseFloat(t.perCent(t.chosen()), 64) // printed by perCent: a number
	next := math.Floor(shown) + 1
	if by < 0 {
		next = math.Ceil(shown) - 1
	}
	return t.set(next / 100)
}

func (t *planScreen) step(by int) {
	t.row = max(0, min(t.row+by, len(t.rows)-1))
	for _, step := range []int{max(-1, min(by, 1)), -1, 1} {
		for i := t.row; step != 0 && i >= 0 && i < len(t.rows); i += step {
			if t.rows[i].at[t.side] >= 0 {
				t.row = i
				return
			}
		}
	}
}

func (t *planScreen) actions() []action {
	has := t.mayChange
	limb := func(side model.Side) func() move { return then(func() { t.side = side; t.step(0) }) }
	all := []action{
		{keys: "up", show: "arrows", name: "choose", main: true, do: by(-1, t.step),
			long: "Choose the stretch before."},
		{keys: "down", name: "stretch after", do: by(1, t.step), long: "Choose the stretch after."},
		{keys: "left", name: "lower limb", do: limb(model.Lower), long: "Choose the lower limb."},
		{keys: "right", name: "upper limb", do: limb(model.Upper), long: "Choose the upper limb."},
		{keys: "+", show: "+/-", name: "more", main: true, in: writes, off: has, do: func() move { return t.more(1) },
			long: "Take 1% more of the stiffness off the chosen stretch. Or type the figure; 0 takes nothing there."},
		{keys: "-", name: "less", in: writes, off: has, do: func() move { return t.more(-1) },
			long: "Take 1% less there."},
		{keys: "delete", show: "del", name: "as planned", main: true, in: writes, off: has,
			long: "Go back to what was planned there.",
			do:   func() move { return t.set(t.planned[t.chosen()]) }},
		{keys: "s", name: "scrape", main: true, in: writes, off: t.mayScrape, do: t.scrape,
			long: "Enter what you scraped off the chosen stretch, filled in as planned."},
		{keys: "L", name: "log all", main: true, in: writes, off: t.mayLog, do: t.logAll,
			long: "Log the whole plan as done. It asks once."},
		{keys: "pgup", name: "page up", long: "Go up by a page.", do: by(-5, t.step)},
		{keys: "pgdown", name: "page down", long: "Go down by a page.", do: by(5, t.step)},
	}
	all = append(all, t.of.desk.undoing(t.of.atWork.Last, t.returned)...)
	return append(all, back("Go back to the bench, and drop your changes to the plan."))
}

func (t *planScreen) mayChange() string { return unless(t.chosen() >= 0, "there is no plan") }

func (t *planScreen) mayLog() string { return cmp.Or(t.mayChange(), t.of.desk.mayWrite()) }

func (t *planScreen) mayScrape() string {
	if why := t.mayLog(); why != "" {
		return why
	}
	begun := slices.ContainsFunc(t.of.drafts, func(d shop.Draft) bool { return d.Form == "scrape" })
	return cmp.Or(unless(t.take[t.chosen()] != 0, "the plan takes nothing there"),
		unless(!begun, "finish the half-typed scrape first: c on the bench"))
}

func (t *planScreen) scrape() move {
	c, err := verdict.CutOf(t.plan.Stretches[t.chosen()], t.take[t.chosen()])
	if err != nil {
		return failed(err)
	}
	return t.of.desk.enter(t.of.atWork, form.ScrapeCut(t.of.story(), t.of.advice.ScrapeOf(c)))
}

// logAll logs all that is to come off, when the key is pressed again.
func (t *planScreen) logAll() move {
	var events []model.Event
	for j, s := range t.plan.Stretches {
		if c, err := verdict.CutOf(s, t.take[j]); err == nil && c.Loss > 0 && !t.plan.Logged[j] {
			events = append(events, t.of.advice.ScrapeOf(c))
		}
	}
	switch {
	case !t.of.fresh():
		return warned("The plan is still being worked out.")
	case len(events) == 0:
		return warned("Nothing to log: the plan takes nothing, or you logged it all.")
	case !t.of.desk.sure("log all"):
		stretches := plain.Plural(len(events), "%d stretch", "%d stretches", len(events))
		return warned("Log %s as scraped with the %s? L again logs all, any other key doesn't.", stretches,
			t.of.advice.Tool())
	}
	if err := t.of.atWork.AddAll(events...); err != nil {
		return failed(err)
	}
	return said("Saved: %s. Exercise the bow, then read it.",
		plain.Plural(len(events), "%d scraping", "%d scrapings", len(events)))
}

func (t *planScreen) sayPlanned(j int) string {
	if f := t.planned[j]; f > 0 && f < 0.0095 {
		return fmt.Sprintf("%.1f%%", 100*f)
	}
	return fmt.Sprintf("%.0f%%", 100*t.planned[j])
}

// How the plan is drawn: what to do in words; both limbs with the bend now, after and wanted, what comes off
// under them; the stretches in numbers; and what the bow is and would be.

// fit implements screen: what was worked out meanwhile is taken up here, after each key and message.
func (t *planScreen) fit(int, int) { t.refresh() }

func (t *planScreen) view(width, height int) string {
	s := t.of.desk.Styles
	if !t.known {
		text := t.of.advice.NoPlan
		if !t.of.fresh() {
			text = "The plan is being worked out."
		}
		return "\n  " + strings.Join(wrapped(text, max(10, width-4), 6), "\n  ")
	}
	lines := t.head(width, height)
	middle := height - len(lines) - planFoot
	table := t.table(width)
	table.lines = scrolled(table.lines, t.row-middle/2+1, middle)
	const gap = 2
	room := width - table.width - gap
	picture := t.picture(room, middle)
	lines = append(lines, lengthen(beside(gap, block{room, picture}, table), middle)...)
	lines = append(lines, s.Accent.Render(ansi.Truncate(t.detail(width), width, "~")))
	lines = append(lines, t.outcome(width)...)
	return strings.Join(lines, "\n")
}

// head is what the plan says first; where there is room all that it says, and what the last scrapings took.
func (t *planScreen) head(width, height int) []string {
	s := t.of.desk.Styles
	lines := append(styled(verdictStyle(s, t.of.verdict), t.of.verdict.Say, width, 2),
		styled(s.Plain, t.plan.Says[0], width, 2)...)
	if height < 30 {
		return lines
	}
	// What the weight wanted is made up of stands at the foot.
	for _, text := range append(slices.Clone(t.plan.Says[1:]), t.of.advice.SaysCameOff()...) {
		if more := wrapped(text, width, 2); text != t.plan.Wish && len(lines)+len(more) <= height/4 {
			lines = append(lines, more...)
		}
	}
	return lines
}

func (t *planScreen) picture(width, height int) []string {
	s := t.of.desk.Styles
	if height < 6 || width < 20 {
		return nil
	}
	caption := key(s, s.Thin(false), "now") + "  " + key(s, s.Bold(), "after")
	if whole := "% off the aim: " + caption; ansi.StringWidth(whole) <= width {
		caption = whole
	}
	off := t.offPlot(width, max(4, (height-1)*2/5))
	bend := t.bendPlot(width, height-1-off.Height)
	off.LabelWidth, bend.LabelWidth = 9, 9
	lines := append([]string{ansi.Truncate(caption, width, "~")}, strings.Split(bend.Render(), "\n")...)
	return append(lines, strings.Split(off.Render(), "\n")...)
}

// bendPlot is how far both limbs bend off the aim, now and after, on the scale of the bow's other pictures.
func (t *planScreen) bendPlot(width, height int) graph.Plot {
	s, c := t.of.desk.Styles, curves{story: t.of.story()}
	p := evenness{advice: t.of.advice}.axes(s, width, height)
	p.XTicks = nil
	draw := func(pen look.Pen, o verdict.Outcome) {
		for _, side := range model.Sides {
			limb := o.Limbs[side]
			off := values(limb.Deviation, likely)
			for i := range off {
				if !limb.Compared[i] {
					off[i] = math.NaN()
				}
			}
			p.Series = append(p.Series, line(c, pen, side, limb.At, off))
		}
	}
	draw(s.Thin(false), t.now)
	draw(s.Bold(), t.after)
	return p
}

// offPlot is what comes off both limbs, in per cent of the stiffness, with the chosen stretch marked.
func (t *planScreen) offPlot(width, height int) graph.Plot {
	s, c := t.of.desk.Styles, curves{story: t.of.story()}
	plot := c.axes(s, width, height)
	plot.Y, plot.YDown, plot.YSteps = graph.Range{Min: 0, Max: 10}, true, []float64{5, 10, 20, 50}
	plot.YLabel = func(v float64) string { return fmt.Sprintf("%.0f%%", v) }
	for _, side := range model.Sides {
		var at, off []float64
		for j, stretch := range t.plan.Stretches {
			if stretch.Side == side {
				at, off = append(at, stretch.From, stretch.To), append(off, 100*t.take[j], 100*t.take[j])
			}
		}
		if n := len(at); n > 0 {
			at, off = append(at, at[n-1]), append(off, 0)
		}
		pen := look.Pen{Stroke: graph.Solid, Style: s.Plain}
		plot.Series = append(plot.Series, line(c, pen, side, at, off))
	}
	if j := t.chosen(); j >= 0 {
		stretch := t.plan.Stretches[j]
		at := c.place(stretch.Side, measure.Length(stretch.From+stretch.To)/2)
		plot.Series = append(plot.Series, graph.Series{X: []float64{at}, Y: []float64{100 * t.take[j]},
			Point: 'o', Style: s.Accent})
	}
	return plot
}

// detail tells the chosen stretch in words, in fewer where there is little room.
func (t *planScreen) detail(width int) string {
	j := t.chosen()
	if j < 0 {
		return ""
	}
	stretch := t.plan.Stretches[j]
	place := fmt.Sprintf("%s limb, %s %s:", stretch.Side, t.between(stretch.From, stretch.To),
		t.of.bow().Units.Length)
	off, brief := "nothing comes off", "nothing comes off"
	if c, err := verdict.CutOf(stretch, t.take[j]); err == nil && c.Loss != 0 {
		says := t.of.advice
		depth := says.SayDepth(says.RemovalOf(c))
		off = fmt.Sprintf("%s%% of the stiffness, %s", t.perCent(j), depth)
		brief = fmt.Sprintf("%s%%, %s", t.perCent(j), depth)
	}
	planned := ""
	switch {
	case t.plan.Logged[j]:
		planned = "; logged"
	case t.take[j] != t.planned[j]:
		planned = "; planned " + t.sayPlanned(j)
	}
	if where := place + " " + off + planned; ansi.StringWidth(where) <= width {
		return where
	}
	return place + " " + brief + planned
}

// table is the stretches of both limbs in numbers: stiffness in per cent, depth or share of it where there is
// room, strokes where it is known how many take it off.
func (t *planScreen) table(width int) block {
	strokes, depth := false, "depth%"
	for _, c := range t.cuts() {
		r := t.of.advice.RemovalOf(c)
		if strokes = strokes || r.Strokes.Known(); r.Depth.Known() {
			depth = "depth"
		}
	}
	between := func(r planRow) string { return t.between(r.from, r.to) }
	columns := []column[planRow]{{width: 5, cell: between}}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		add := func(head string, width int, cell func(j int) string) {
			columns = append(columns, column[planRow]{head, width, func(r planRow) string {
				if r.at[side] < 0 {
					return ""
				}
				return cell(r.at[side])
			}, func(r planRow) bool { return r.at[side] >= 0 && r.at[side] == t.chosen() }, t.of.desk.Styles.Chosen})
		}
		add(side.String()+", %", 9, func(j int) string { return t.amount(j) })
		if width >= 70 && (!strokes || width >= 90) {
			add(depth, 7, func(j int) string { off, _ := t.wood(j); return off })
		}
		if strokes {
			add("x", 5, func(j int) string { _, n := t.wood(j); return n })
		}
	}
	return table(t.of.desk.Styles, t.rows, columns...)
}

// amount is what comes off a stretch, with a sign before the chosen one, a star behind one that was changed,
// and an x behind one that was logged.
func (t *planScreen) amount(j int) string {
	sign, amount, behind := " ", t.perCent(j), " "
	if t.take[j] == 0 {
		amount = "-"
	}
	if j == t.chosen() {
		if sign = ">"; t.typed != "" {
			amount = t.typed + "_"
		}
	}
	switch {
	case t.plan.Logged[j]:
		behind = "x"
	case t.take[j] != t.planned[j]:
		behind = "*"
	}
	return sign + amount + behind
}

// wood is what comes off a stretch as a depth or a share of it, and in strokes; - where that is not known.
func (t *planScreen) wood(j int) (depth, strokes string) {
	c, err := verdict.CutOf(t.plan.Stretches[j], t.take[j])
	if err != nil || c.Loss <= 0 {
		return "-", "-"
	}
	r := t.of.advice.RemovalOf(c)
	depth, strokes = fmt.Sprintf("%.1f", 100*r.DepthShare), "-"
	if d, known := r.Depth.Get(); known {
		depth = t.of.bow().Calliper().Print(measure.Length(d))
	}
	if n, known := r.Strokes.Get(); known {
		strokes = fmt.Sprint(n)
	}
	return depth, strokes
}

// perCent is what comes off a stretch in per cent: whole as it was planned, to a tenth as it was typed.
func (t *planScreen) perCent(j int) string {
	if t.take[j] == t.planned[j] && t.take[j] >= 0.0095 {
		return fmt.Sprintf("%.0f", 100*t.take[j])
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", 100*t.take[j]), ".0")
}

// between is a stretch in few letters: 8-12.
func (t *planScreen) between(from, to float64) string {
	unit := t.of.bow().Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep()}
	if unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return rule.Short(measure.Length(from)) + "-" + rule.Short(measure.Length(to))
}

// planFoot is how many lines stand under the picture.
const planFoot = 7

// outcome is what the bow is and would be, with bands, beside what is wanted; and what the weight wanted is
// made up of. Where there is little room, what it is has no bands.
func (t *planScreen) outcome(width int) []string {
	if t.err != nil {
		text := fmt.Sprintf("I can't say what the bow would be: %v", t.err)
		return lengthen(wrapped(text, width, planFoot-1), planFoot-1)
	}
	cells := t.outcomeCells()
	lines := inColumns(cells)
	if slices.ContainsFunc(lines, func(line string) bool { return ansi.StringWidth(line) > width }) {
		for _, line := range cells {
			line[1], _, _ = strings.Cut(line[1], " (")
			line[3] = strings.TrimSuffix(line[3], " "+t.of.bow().Units.Force.Symbol())
		}
		lines = inColumns(cells)
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(ansi.Truncate(line, width, "~"), " ")
	}
	lines[0] = t.of.desk.Styles.Quiet.Render(lines[0])
	return append(lines, t.warning(width))
}

// inColumns are lines of cells, each column as wide as its widest cell.
func inColumns(cells [][]string) []string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, line := range cells {
		fmt.Fprintln(w, strings.Join(line, "\t"))
	}
	w.Flush()
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// outcomeCells are the head and the lines of the outcome: what, now, after, wanted.
func (t *planScreen) outcomeCells() [][]string {
	bow := t.of.bow()
	scale, unit := bow.Weigher(), bow.Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep() / 2}
	force := func(v float64) string { return scale.Print(measure.Force(v)) }
	length := func(v float64) string { return rule.PrintSigned(measure.Length(v)) }
	share := func(v float64) string { return fmt.Sprintf("%.0f", 100*v) }
	banded := func(f estimate.Figure, print func(float64) string, unit string) string {
		return fmt.Sprintf("%s%s (%s to %s)", print(f.Estimate), unit, print(f.Low), print(f.High))
	}
	place := func(at float64) string {
		return fmt.Sprintf("at %s %s", bow.Ruler().Short(measure.Length(at)), unit)
	}
	pounds := " " + bow.Units.Force.Symbol()
	cells := [][]string{
		{"", "now", "after", "wanted"},
		{place(t.plan.Wanted.Draw), banded(t.now.Weight, force, pounds), banded(t.after.Weight, force, pounds),
			force(t.plan.Wanted.Least()) + " to " + force(t.plan.Wanted.Most()) + pounds},
		{"u-l " + place(t.plan.Wanted.TillerAt), banded(t.now.Tiller, length, ""),
			banded(t.after.Tiller, length, ""), length(t.plan.Wanted.Tiller)},
	}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		line := []string{fmt.Sprintf("uneven, %s", side), "-", "-", "little"}
		for i, f := range []estimate.Figure{t.now.Uneven[side], t.after.Uneven[side]} {
			if f != (estimate.Figure{}) {
				line[1+i] = banded(f, share, " %")
			}
		}
		cells = append(cells, line)
	}
	return cells
}

// warning says where too much is to come off; else of what the weight wanted is made up.
func (t *planScreen) warning(width int) string {
	s, bow := t.of.desk.Styles, t.of.bow()
	if chance := t.after.ChanceUnder; chance > plan.MostChance && len(t.cuts()) > 0 {
		text := fmt.Sprintf("Too much: it may then weigh less than %s, with a chance of %.0f%%.",
			bow.Weigher().WithUnit(measure.Force(t.plan.Wanted.Least())), 100*chance)
		return s.Bad.Render(ansi.Truncate(text, width, "~"))
	}
	text := t.of.advice.SayWanted(false)
	if ansi.StringWidth(text) > width {
		text = t.of.advice.SayWanted(true)
	}
	return s.Quiet.Render(ansi.Truncate(text, width, "~"))
}
