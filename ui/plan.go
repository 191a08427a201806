package ui

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
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

// cuts are all that is to come off; toLog leaves out what is logged.
func (t *planScreen) cuts(toLog bool) (all []plan.Cut) {
	for j, s := range t.plan.Stretches {
		// What can't be cut is refused where it is typed.
		if c, err := verdict.CutOf(s, t.take[j]); err == nil && c.Loss > 0 && !(toLog && t.plan.Logged[j]) {
			all = append(all, c)
		}
	}
	return all
}

func (t *planScreen) try() { t.after, t.err = t.plan.Try(t.cuts(false)) }

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
	all := append(choosing("stretch", true, t.step), []action{
		{keys: "left", name: "lower limb", do: limb(model.Lower), long: "Choose the lower limb."},
		{keys: "right", name: "upper limb", do: limb(model.Upper), long: "Choose the upper limb."},
		{keys: "+", show: "+/-", name: "more", main: true, in: writes, off: has,
			do:   func() move { return t.more(1) },
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
	}...)
	all[0].show = "arrows"
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

func (t *planScreen) logAll() move {
	var events []model.Event
	for _, c := range t.cuts(true) {
		events = append(events, t.of.advice.ScrapeOf(c))
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

// perCent is what comes off a stretch in per cent: whole as it was planned, to a tenth as it was typed.
func (t *planScreen) perCent(j int) string {
	if t.take[j] == t.planned[j] && t.take[j] >= 0.0095 {
		return fmt.Sprintf("%.0f", 100*t.take[j])
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", 100*t.take[j]), ".0")
}

func (t *planScreen) sayPlanned(j int) string {
	if f := t.planned[j]; f > 0 && f < 0.0095 {
		return fmt.Sprintf("%.1f%%", 100*f)
	}
	return fmt.Sprintf("%.0f%%", 100*t.planned[j])
}
