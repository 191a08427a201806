package shop

import (
	"fmt"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
)

// Doubt says why it looks wrong to log a stage now; "" where nothing speaks against it.
func (f Finishing) Doubt(stage finish.Standing) string {
	p := f.Progress
	switch {
	case p.Away && stage.Seen != finish.SignBack:
		return "It was handed over."
	case stage.Seen == finish.SignAway:
		if missing := f.missing(); len(missing) > 0 {
			return fmt.Sprintf("Not done: %s.", strings.Join(missing, ", "))
		}
	case stage.State == finish.Made && stage.Coats == 0 && len(stage.Grits) == 0:
		return "It was done already."
	}
	if p.Dry.After(f.Now) {
		return fmt.Sprintf("It dries until %s.", SayUntil(p.Dry, f.Now, f.Dates))
	}
	// Whoever skips so many stages has likely picked the wrong one.
	const farAhead = 3
	if skipped := f.skipped(stage); len(skipped) >= farAhead {
		return fmt.Sprintf("Not done before it: %s.", strings.Join(skipped, ", "))
	}
	return ""
}

// missing is what a bow must have before it is handed over.
func (f Finishing) missing() (names []string) {
	for _, s := range f.Progress.Stages {
		if s.Must && s.State != finish.Made {
			names = append(names, s.Name)
		}
	}
	if session.SayNumber(f.Bow) == "" {
		names = append(names, "a number")
	}
	return names
}

// skipped are the stages not done yet between the next one and a later one, which it leaves out.
func (f Finishing) skipped(to finish.Standing) (names []string) {
	if f.Progress.At < 0 {
		return nil
	}
	for _, s := range f.Progress.Stages[f.Progress.At:] {
		if s.Name == to.Name {
			return names
		}
		if s.State != finish.Made {
			names = append(names, s.Name)
		}
	}
	return nil
}

// SayState is a stage's state in a word.
func SayState(p finish.Progress, i int) string {
	state := p.Stages[i].State
	if i == p.At && state != finish.Made {
		return "NEXT"
	}
	return map[finish.State]string{finish.Made: "done", finish.Owed: "OWED", finish.Passed: "-"}[state]
}

// SayDone tells on which days a stage was done, which coats and grits, and what is still to come of it.
func (f Finishing) SayDone(stage finish.Standing) string {
	var days []string
	gritDay := "" // of the last entry of days, where that tells of grits
	for i, fact := range stage.Done {
		day := "(no day)"
		if !fact.At.IsZero() {
			day = f.Dates.Print(fact.At.In(f.Now.Location()))
		}
		switch {
		case stage.Coats > 0:
			days = append(days, fmt.Sprintf("coat %d %s", i+1, day))
		case fact.Grit > 0 && day == gritDay: // join the grits of that day
			last := len(days) - 1
			days[last] = fmt.Sprintf("%s, %d %s", strings.TrimSuffix(days[last], " "+day), fact.Grit, day)
		case fact.Grit > 0:
			days, gritDay = append(days, fmt.Sprintf("grit %d %s", fact.Grit, day)), day
		case fact.What == finish.Weighing:
			days, gritDay = append(days, day+", "+f.Bow.Weigher().WithUnit(fact.Weight)), ""
		default:
			days, gritDay = append(days, day), ""
		}
	}
	if left := stage.Coats - len(stage.Done); stage.Coats > 0 && left > 0 {
		days = append(days, fmt.Sprintf("%d of %d to come", left, stage.Coats))
	}
	said := strings.Join(days, "; ")
	if stage.Seen == finish.SignMarked && f.Stamped != "" {
		said += ": " + plain.Line(f.Stamped)
	}
	return said
}

// SayWhen tells what dries until when, and when the bow can be handed over.
func (f Finishing) SayWhen() (when []string) {
	p := f.Progress
	if p.Dry.After(f.Now) {
		when = append(when, fmt.Sprintf("dries until %s", SayUntil(p.Dry, f.Now, f.Dates)))
	}
	if p.Away || p.Handover.IsZero() || p.At < 0 {
		return when
	}
	text := fmt.Sprintf("ready %s at the earliest", SayEarliest(p.Handover, f.Now, f.Dates))
	if p.CoatsLeft > 0 {
		text += ", " + plain.Plural(p.CoatsLeft, "%d coat to come", "%d coats to come", p.CoatsLeft)
	}
	return append(when, text)
}

// SayMark is what to stamp, and where that comes from; or why nothing is, with from "".
func (f Finishing) SayMark() (stamp, from string) {
	m, known := f.Mark.Get()
	if !known {
		return fmt.Sprintf("stamp: %s", f.MayStamp()), ""
	}
	print := f.Bow.Weigher().Print
	weighed := print(m.From)
	takes, settled := print(m.From-m.Settled), print(m.Settled)
	sum := fmt.Sprintf("- %s = %s (%s to %s)", takes, settled, print(m.Low), print(m.High))
	switch {
	case m.Foretold():
		return fmt.Sprintf("will be about: %s", m.Text), fmt.Sprintf("%s on the tree %s", weighed, sum)
	case m.Weighed == finish.Finished:
		from = fmt.Sprintf("%s finished %s", weighed, sum)
	default:
		from = fmt.Sprintf("%s after use", weighed)
	}
	if stamp = fmt.Sprintf("stamp: %s", m.Text); session.SayNumber(f.Bow) == "" {
		stamp += " + a number"
	}
	return stamp, from
}

// SayTakes is what finishing and first use take, and where the figures come from.
func (f Finishing) SayTakes() string {
	print := f.Bow.Weigher().Print
	sanding, settling := f.takes.Sanding, f.takes.Settling
	unlearnt := sanding.Count == 0 && settling.Count == 0
	told := func(a finish.Allowance) string {
		source := ""
		switch {
		case a.Count > 0:
			source = plain.Plural(a.Count, "; %d bow", "; %d bows", a.Count)
		case !unlearnt:
			source = "; common practice"
		}
		if a.Odd > 0 {
			source += fmt.Sprintf(", %d odd", a.Odd)
		}
		return fmt.Sprintf("%s (%s to %s%s)", print(a.Mean), print(max(0, a.Low)), print(a.High), source)
	}
	said := fmt.Sprintf("finishing takes %s, use %s", told(sanding), told(settling))
	if unlearnt {
		said += fmt.Sprintf(", in %s: common practice", f.Bow.Units.Force.Symbol())
	}
	return said
}
