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
	list // of the stretches
	of   *work
	told int // generation of the advice that is shown

	plan    verdict.Plan
	known   bool       // whether there is one
	planned []plan.Cut // by stretch
	take    []plan.Cut // and what the maker makes of them
	typed   string     // what is being typed at the chosen stretch

	now, after verdict.Outcome
	err        error // why the outcome can't be told
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
		t.take, t.planned, t.list = nil, nil, list{}
		return
	}
	p := t.plan
	if had && slices.Equal(old.Stretches, p.Stretches) && slices.Equal(old.Cuts, p.Cuts) &&
		old.Now.Weight == p.Now.Weight {
		return
	}
	t.planned = make([]plan.Cut, len(p.Stretches))
	t.list, t.typed = list{count: len(p.Stretches)}, ""
	for j, s := range p.Stretches {
		t.planned[j].Stretch = s
		if i := slices.IndexFunc(p.Cuts, func(c plan.Cut) bool { return c.Stretch == s }); i >= 0 {
			t.planned[j] = p.Cuts[i]
		}
		if t.planned[j].Loss > t.planned[t.at].Loss {
			t.at = j
		}
	}
	t.take = slices.Clone(t.planned)
	t.now, t.err = p.Try(nil)
	t.try()
}

// cuts are all that is to come off; toLog leaves out what is logged.
func (t *planScreen) cuts(toLog bool) (all []plan.Cut) {
	for j, c := range t.take {
		if c.Loss > 0 && !(toLog && t.plan.Logged[j]) {
			all = append(all, c)
		}
	}
	return all
}

func (t *planScreen) try() { t.after, t.err = t.plan.Try(t.cuts(false)) }

func (t *planScreen) off(c plan.Cut) string { return t.of.advice.SayOff(t.of.advice.RemovalOf(c)) }

func (t *planScreen) changed(j int) bool { return t.take[j] != t.planned[j] }

func (t *planScreen) title() (name, what, right string) {
	return session.NameOf(t.of.bow()), "where to take wood", t.of.asOf()
}

func (t *planScreen) idle() string {
	if t.count > 0 && t.changed(t.at) {
		return fmt.Sprintf("You changed this from %s. Nothing is in the book until you log it.",
			t.off(t.planned[t.at]))
	}
	return "The plan isn't in the book until you log it."
}

func (t *planScreen) returned() error { return t.of.returned() }

// typing takes digits, the point and backspace as what is to come off the chosen stretch.
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
	if t.count == 0 {
		return move{}
	}
	if text == "" {
		t.typed = ""
		return t.set(t.planned[t.at])
	}
	n, err := strconv.ParseFloat("0"+text, 64)
	if err != nil || len(text) > 6 {
		return warned("%q isn't a number. Backspace clears it.", text)
	}
	next := t.take1(n)
	if next.say.text == "" {
		t.typed = text
	}
	return next
}

// take1 lets so many strokes, or whatever wood is counted in there, come off the chosen stretch.
func (t *planScreen) take1(n float64) move {
	c, err := t.of.advice.CutBy(t.take[t.at].Stretch, n)
	if err != nil {
		return warned("%s.", session.Capital(err.Error()))
	}
	return t.set(c)
}

func (t *planScreen) set(c plan.Cut) move {
	t.take[t.at] = c
	t.try()
	return move{}
}

// more takes one more off the chosen stretch than is shown, or one less.
func (t *planScreen) more(by float64) move {
	n, _ := t.of.advice.Count(t.take[t.at])
	return t.take1(max(math.Round(n)+by, 0))
}

// limb chooses the stretch of a limb that lies where the chosen one lies, or nearest to it.
func (t *planScreen) limb(side model.Side) {
	best, from := -1, 0.0
	for j, c := range t.take {
		if from = t.take[t.at].From; c.Side == side &&
			(best < 0 || math.Abs(c.From-from) < math.Abs(t.take[best].From-from)) {
			best = j
		}
	}
	t.at = max(best, 0)
}

func (t *planScreen) actions() []action {
	has := t.mayChange
	limb := func(side model.Side) func() move { return then(func() { t.limb(side) }) }
	all := append(choosing("stretch", true, t.step), []action{
		{keys: "left", name: "lower limb", do: limb(model.Lower), long: "Choose the lower limb."},
		{keys: "right", name: "upper limb", do: limb(model.Upper), long: "Choose the upper limb."},
		{keys: "+", show: "+/-", name: "more", main: true, in: writes, off: has,
			do:   func() move { return t.more(1) },
			long: "Take one more off the chosen stretch. Or type the figure; 0 takes nothing there."},
		{keys: "-", name: "less", in: writes, off: has, do: func() move { return t.more(-1) },
			long: "Take one less there."},
		{keys: "delete", show: "del", name: "as planned", main: true, in: writes, off: has,
			long: "Go back to what was planned there.",
			do:   func() move { return t.set(t.planned[t.at]) }},
		{keys: "s", name: "scrape", main: true, in: writes, off: t.mayScrape, do: t.scrape,
			long: "Enter what you scraped off the chosen stretch, filled in as planned."},
		{keys: "L", name: "log all", main: true, in: writes, off: t.mayLog, do: t.logAll,
			long: "Log the whole plan as done. It asks once."},
	}...)
	all[0].show = "arrows"
	all = append(all, t.of.desk.undoing(t.of.atWork.Last, t.returned)...)
	return append(all, back("Go back to the bench, and drop your changes to the plan."))
}

func (t *planScreen) mayChange() string { return unless(t.count > 0, "there is no plan") }

func (t *planScreen) mayLog() string { return cmp.Or(t.mayChange(), t.of.desk.mayWrite()) }

func (t *planScreen) mayScrape() string {
	if why := t.mayLog(); why != "" {
		return why
	}
	begun := slices.ContainsFunc(t.of.drafts, func(d shop.Draft) bool { return d.Form == "scrape" })
	return cmp.Or(unless(t.take[t.at].Loss > 0, "the plan takes nothing there"),
		unless(!begun, "finish the half-typed scrape first: c on the bench"))
}

func (t *planScreen) scrape() move {
	return t.of.enter(form.ScrapeCut(t.of.story(), t.of.advice.ScrapeOf(t.take[t.at])))
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
