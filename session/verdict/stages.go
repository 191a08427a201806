package verdict

import (
	"fmt"
	"strings"
	"time"

	"bendbook/model/finish"
	"bendbook/session"
)

// Early is the verdict on a bow that is not at the tree, or must not be drawn; ok is false for any other.
func Early(s Standing, f Finishing) (v Verdict, ok bool) { return first(early(), &moment{s: s, f: f}) }

// early are the rules that come before any reading.
func early() []rule {
	return []rule{
		{"crack", (*moment).cracked},
		{"handed over", (*moment).handedOver},
		{"set aside", (*moment).setAside},
		{"danger", (*moment).danger},
		{"came back", (*moment).cameBack},
		{"finishing", (*moment).finishing},
	}
}

func (m *moment) handedOver() (Verdict, bool) {
	v := Verdict{Do: None, Word: "HANDED OVER", Say: "Handed over."}
	if !m.s.Handover.IsZero() {
		v.Say = fmt.Sprintf("Handed over on %s.", m.f.Dates.Print(m.s.Handover.In(m.f.Now.Location())))
	}
	if m.s.Stamped != "" {
		v.Why = fmt.Sprintf("Stamped %s.", m.s.Stamped)
	}
	return v, m.s.Away
}

func (m *moment) setAside() (Verdict, bool) {
	v := Verdict{Do: None, Word: "ASIDE", Say: "Set aside.", Why: "Take it in hand again to go on."}
	if m.s.AsideWhy != "" {
		v.Say = fmt.Sprintf("Set aside: %s.", strings.TrimSuffix(m.s.AsideWhy, "."))
	}
	return v, m.s.Aside
}

// cameBack looks a bow over that a customer brought back, before anything else is done with it.
func (m *moment) cameBack() (Verdict, bool) {
	v := Verdict{Do: Finish, Word: "LOOK IT OVER", Say: "Look it over, then weigh it.",
		Why: "It came back. Cracks, lifted splinters and loose nocks come before the scale."}
	if m.s.AsideWhy != "" {
		v.Why = fmt.Sprintf("It came back: %s. Cracks, lifted splinters and loose nocks come first.",
			strings.TrimSuffix(m.s.AsideWhy, "."))
	}
	if m.s.Weighed {
		v.Word, v.Say = "HAND OVER", "Hand it over again."
		v.Why = "It came back and was weighed. Scraping it puts it back on the tree."
	}
	return v, m.s.Back
}

// finishing names the next stage of a bow that has left the tree, or what it waits for.
func (m *moment) finishing() (Verdict, bool) {
	p := m.f.Progress
	if !m.s.Finishing || p.AtTheTree() {
		return Verdict{}, false
	}
	dry := fmt.Sprintf("Let it dry until %s.", sayUntil(p.Dry, m.f.Now, m.f.Dates))
	switch drying, back := p.Dry.After(m.f.Now), !m.s.Handover.IsZero(); {
	case p.At >= 0:
	case drying:
		return Verdict{Do: Finish, Word: "DRYING", Say: dry, Why: "All its stages are logged."}, true
	case back:
		return Verdict{Do: Finish, Word: "HAND OVER", Say: "Hand it over again.",
			Why: "It came back, and everything is done."}, true
	default:
		return Verdict{Do: None, Word: "DONE", Say: "Nothing left to do.",
			Why: "All its stages are logged."}, true
	}
	next := stageSays(p.Waits())
	if mark, known := m.f.Mark.Get(); known && p.Stages[p.At].Seen == finish.SignMarked && !mark.Foretold() {
		next = fmt.Sprintf("mark it: %s.", mark.Text)
	}
	ready := fmt.Sprintf("It's ready to hand over %s at the earliest.", m.f.onDay(p.Handover))
	v := Verdict{Do: Finish, Word: stageWord(p.Waits()), Say: session.Capital(next), Why: ready}
	if p.Stages[p.At].Seen == finish.SignAway {
		v.Why = "Everything before it is done."
	}
	if p.Dry.After(m.f.Now) {
		v.Word, v.Say = "DRYING", dry
		v.Why = fmt.Sprintf("Then %s %s", next, ready)
	}
	return v, true
}

func (f Finishing) onDay(at time.Time) string {
	day := SayEarliest(at, f.Now, f.Dates)
	if DaysTo(at.In(f.Now.Location()), f.Now) > 1 {
		day = "on " + day
	}
	return day
}

// stageSays is a stage as something to do: "varnish, coat 2" is "varnish it, coat 2."
func stageSays(stage string) string {
	verb, _, more := usualStage(stage)
	return verb + more + "."
}

func stageWord(stage string) string {
	_, word, more := usualStage(stage)
	_, number, _ := strings.Cut(strings.TrimPrefix(more, ", "), " ")
	return strings.ToUpper(strings.TrimSpace(word + " " + number))
}

// usualStage says what a stage of common practice asks for, and more, such as its coat; a stage of the shop's
// own is named as it is.
func usualStage(stage string) (verb, word, more string) {
	name, _, _ := strings.Cut(stage, ",")
	more = strings.TrimPrefix(stage, name)
	for _, s := range [][3]string{
		{"roughed out", "rough it out", "rough out"},
		{"floor tiller", "floor tiller it", "floor tiller"},
		{"temporary nocks", "cut temporary nocks", "nocks"},
		{"long string", "hang it on the long string", "long string"},
		{"braced", "brace it", "brace"},
		{"low brace", "brace it low", "brace"},
		{"horn nocks fitted", "fit the horn nocks", "nocks"},
		{"tillered", "tiller it", "tiller"},
		{"bowstring made", "make its string", "make string"},
		{"shot in", "shoot it in", "shoot in"},
		{"filed", "file it", "file"},
		{"scraped", "scrape it smooth", "smooth"},
		{"sanded", "sand it", "sand"},
		{"weighed", "weigh it at its draw", "weigh"},
		{"marked", "mark it", "mark"},
		{"handle", "put the handle on", "handle"},
		{"varnish", "varnish it", "varnish"},
		{"leather", "put the leather on", "leather"},
		{"nocks polished", "polish the nocks", "polish"},
		{"strung", "string it", "string"},
		{"handed over", "hand it over", "hand over"},
		{"weighed again", "weigh it again", "weigh"},
	} {
		if strings.EqualFold(s[0], name) {
			return s[1], s[2], more
		}
	}
	return name, name, more
}
