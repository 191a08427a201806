package verdict

import (
	"fmt"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
)

// Finishing is how far a bow is on its way to the customer.
type Finishing struct {
	Progress finish.Progress
	Now      time.Time
	Dates    date.Order
}

// The rules of a bow that is not at the tree.

func (m *moment) handedOver() (Verdict, bool) {
	v := Verdict{Do: None, Word: "HANDED OVER", Say: "Handed over."}
	for _, line := range m.story.Lines {
		if step, ok := line.Entry.What.(model.Finish); ok && line.Counts() && step.Step == model.HandedOver {
			day := step.Time(line.Entry.At.In(m.f.Now.Location()))
			v.Say = fmt.Sprintf("Handed over on %s.", m.f.Dates.Print(day))
		}
	}
	if stamped := m.story.Stamped(); stamped != "" {
		v.Why = "Stamped " + plain.Line(stamped) + "."
	} else if peak, known := m.a.Weighed.Get(); known {
		v.Why = fmt.Sprintf("It weighed %s at %s.", m.force(float64(peak)), m.short(m.a.Draw))
	}
	return v, m.story.HandedOver()
}

func (m *moment) setAside() (Verdict, bool) {
	v := Verdict{Do: None, Word: "ASIDE", Say: "Set aside.", Why: "Take it in hand again to go on."}
	if why := plain.Line(m.story.Aside()); why != "" {
		v.Say = fmt.Sprintf("Set aside: %s.", strings.TrimSuffix(why, "."))
	}
	return v, !m.story.InHand
}

// cameBack looks a bow over that a customer brought back, before anything else is done with it.
func (m *moment) cameBack() (Verdict, bool) {
	back, weighed := m.story.CameBack()
	v := Verdict{Do: Finish, Word: "LOOK IT OVER", Say: "Look it over, then weigh it.", Most: m.a.Draw,
		Why: "It came back. Cracks, lifted splinters and loose nocks come before the scale."}
	if weighed {
		v.Word, v.Say = "HAND OVER", "Hand it over again."
		v.Why = "It came back and was weighed. To tiller it further, scrape it: then it's at the tree again."
	}
	return v, back
}

// finishing names the next stage of a bow that has left the tree, or what it waits for.
func (m *moment) finishing() (Verdict, bool) {
	p := m.f.Progress
	if !m.story.InFinishing() || p.AtTheTree() {
		return Verdict{}, false
	}
	if p.At < 0 {
		return Verdict{Do: None, Word: "DONE", Say: "Nothing is left to do.", Why: "All its stages are logged."}, true
	}
	next := stageSays(p.Waits())
	ready := fmt.Sprintf("It can be handed over %s at the earliest.", onDay(p.Handover, m.f))
	v := Verdict{Do: Finish, Word: stageWord(p.Waits()), Most: m.a.Draw, Say: session.Capital(next), Why: ready}
	if p.Dry.After(m.f.Now) {
		v.Word, v.Say = "DRYING", fmt.Sprintf("Let it dry until %s.", until(p.Dry, m.f))
		v.Why = fmt.Sprintf("Then %s %s", next, ready)
	}
	return v, true
}

// until is a time as it is said behind until: the hour alone for today.
func until(at time.Time, f Finishing) string {
	at = at.In(f.Now.Location())
	switch at.Format(time.DateOnly) {
	case f.Now.Format(time.DateOnly):
		return at.Format("15:04")
	case f.Now.AddDate(0, 0, 1).Format(time.DateOnly):
		return fmt.Sprintf("tomorrow %s", at.Format("15:04"))
	}
	return f.Dates.Print(at)
}

func onDay(at time.Time, f Finishing) string {
	at = at.In(f.Now.Location())
	switch at.Format(time.DateOnly) {
	case f.Now.Format(time.DateOnly):
		return "today"
	case f.Now.AddDate(0, 0, 1).Format(time.DateOnly):
		return "tomorrow"
	}
	return "on " + f.Dates.Short(at)
}

// stageSays is a stage as something to do: "varnish, coat 2" is "varnish it, coat 2."
func stageSays(stage string) string {
	name, more, _ := strings.Cut(stage, ",")
	for _, s := range usualStages() {
		if strings.EqualFold(s.name, name) {
			name = s.verb
		}
	}
	if more != "" {
		more = "," + more
	}
	return name + more + "."
}

// stageWord is the same across the shop.
func stageWord(stage string) string {
	name, more, _ := strings.Cut(stage, ",")
	for _, s := range usualStages() {
		if strings.EqualFold(s.name, name) {
			name = s.word
		}
	}
	_, number, _ := strings.Cut(strings.TrimSpace(more), " ")
	return strings.ToUpper(strings.TrimSpace(name + " " + number))
}

type stageVerb struct{ name, verb, word string }

// usualStages says what the stages of common practice ask for; a stage of the shop's own is named as it is.
func usualStages() []stageVerb {
	return []stageVerb{
		{"roughed out", "rough it out", "rough out"},
		{"floor tiller", "floor tiller it", "floor tiller"},
		{"braced", "brace it", "brace"},
		{"horn nocks fitted", "fit the horn nocks", "nocks"},
		{"tillered", "tiller it", "tiller"},
		{"filed", "file it", "file"},
		{"scraped", "scrape it smooth", "smooth"},
		{"sanded", "sand it", "sand"},
		{"weighed", "weigh it at its draw", "weigh"},
		{"marked", "mark it", "mark"},
		{"handle", "put the handle on", "handle"},
		{"varnish", "varnish it", "varnish"},
		{"nocks polished", "polish the nocks", "polish"},
		{"strung", "string it", "string"},
		{"handed over", "hand it over", "hand over"},
		{"weighed again", "weigh it again", "weigh"},
	}
}
