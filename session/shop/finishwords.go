package shop

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
)

// What is said of a bow's finishing.

// Doubt says why a stage would rather not be logged now; "" where nothing speaks against it.
func (f Finishing) Doubt(stage finish.Standing) string {
	p := f.Progress
	switch {
	case p.Away && stage.Seen != finish.SignBack:
		return "It was handed over."
	case stage.Seen == finish.SignAway:
		var missing []string
		for _, s := range p.Stages {
			if s.Must && s.State != finish.Made {
				missing = append(missing, s.Name)
			}
		}
		if session.SayNumber(f.Bow) == "" {
			missing = append(missing, "a number")
		}
		if len(missing) > 0 {
			return fmt.Sprintf("Not done: %s.", strings.Join(missing, ", "))
		}
	case stage.State == finish.Made && stage.Coats == 0 && len(stage.Grits) == 0:
		return "It was done already."
	}
	if p.Dry.After(f.Now) {
		return fmt.Sprintf("It dries until %s.", SayUntil(p.Dry, f.Now, f.Dates))
	}
	if skipped := f.skipped(stage); len(skipped) >= farAhead {
		return fmt.Sprintf("Not done before it: %s.", strings.Join(skipped, ", "))
	}
	return ""
}

// farAhead is how many stages are skipped where a slip of the hand is more likely than a way of working.
const farAhead = 3

// skipped are the stages from the one that the bow waits for to another, as far as they are still to come.
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
	switch stage := p.Stages[i]; {
	case stage.State == finish.Made:
		return "done"
	case i == p.At:
		return "NEXT"
	case stage.State == finish.Owed:
		return "OWED"
	case stage.State == finish.Passed:
		return "-"
	}
	return ""
}

// SayDone tells on which days a stage was done, which coats and grits, and what is still to come of it.
func (f Finishing) SayDone(stage finish.Standing) string {
	var days []string
	var grits []string // those of gritDay, which stand last
	gritDay := ""
	for i, fact := range stage.Done {
		day := f.day(fact.At)
		switch {
		case stage.Coats > 0:
			days = append(days, fmt.Sprintf("coat %d %s", i+1, day))
		case fact.Grit > 0 && len(grits) > 0 && day == gritDay:
			grits = append(grits, strconv.Itoa(fact.Grit))
			days[len(days)-1] = fmt.Sprintf("grit %s %s", strings.Join(grits, ", "), day)
		case fact.Grit > 0:
			grits, gritDay = []string{strconv.Itoa(fact.Grit)}, day
			days = append(days, fmt.Sprintf("grit %s %s", grits[0], day))
		case fact.What == finish.Weighing:
			days = append(days, day+", "+f.Bow.Weigher().WithUnit(fact.Weight))
		default:
			days = append(days, day)
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

func (f Finishing) day(at time.Time) string {
	if at.IsZero() {
		return "(no day)"
	}
	return f.Dates.Print(at.In(f.Now.Location()))
}

// SayEarliest is a day as one says it.
func SayEarliest(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch at.Format(time.DateOnly) {
	case now.Format(time.DateOnly):
		return "today"
	case now.AddDate(0, 0, 1).Format(time.DateOnly):
		return "tomorrow"
	}
	return dates.Short(at)
}

// SayWhen tells what dries until when, and when the bow can be handed over.
func (f Finishing) SayWhen() []string {
	p := f.Progress
	var when []string
	if p.Dry.After(f.Now) {
		when = append(when, fmt.Sprintf("dries until %s", SayUntil(p.Dry, f.Now, f.Dates)))
	}
	if !p.Away && !p.Handover.IsZero() && p.At >= 0 {
		ready := SayEarliest(p.Handover, f.Now, f.Dates)
		text := fmt.Sprintf("ready %s at the earliest", ready)
		if p.CoatsLeft > 0 {
			text = plain.Plural(p.CoatsLeft, "ready %s at the earliest, %d coat to come", "ready %s at the earliest, %d coats to come", ready, p.CoatsLeft)
		}
		when = append(when, text)
	}
	return when
}

// SayMark is what is stamped, and where that comes from; why nothing is, where from is "".
func (f Finishing) SayMark() (stamp, from string) {
	scale := f.Bow.Weigher()
	m, known := f.Mark.Get()
	if !known {
		return fmt.Sprintf("stamp: %s", f.MayStamp()), ""
	}
	weighed, takes, settled, low, high := scale.Print(m.From), scale.Print(m.From-m.Settled), scale.Print(m.Settled), scale.Print(m.Low), scale.Print(m.High)
	switch m.Weighed {
	case finish.OnTree:
		from = fmt.Sprintf("%s on the tree - %s = %s (%s to %s)", weighed, takes, settled, low, high)
	case finish.Finished:
		from = fmt.Sprintf("%s finished - %s = %s (%s to %s)", weighed, takes, settled, low, high)
	default:
		from = fmt.Sprintf("%s after use", weighed)
	}
	stamp = fmt.Sprintf("stamp: %s", m.Text)
	switch {
	case m.Foretold():
		stamp = fmt.Sprintf("will be about: %s", m.Text)
	case session.SayNumber(f.Bow) == "":
		stamp = fmt.Sprintf("stamp: %s + a number", m.Text)
	}
	return stamp, from
}

// SayTakes is what finishing and first use take, with where that comes from.
func (f Finishing) SayTakes() string {
	scale := f.Bow.Weigher()
	sanding, settling := f.Takes.Sanding, f.Takes.Settling
	if sanding.Count == 0 && settling.Count == 0 {
		band := func(a finish.Allowance) string {
			return fmt.Sprintf("%s (%s to %s)", scale.Print(a.Mean), scale.Print(max(0, a.Low)), scale.Print(a.High))
		}
		return fmt.Sprintf("finishing takes %s, use %s, in %s: common practice", band(sanding), band(settling), f.Bow.Units.Force.Symbol())
	}
	learnt := func(a finish.Allowance) string {
		parts := []string{"common practice"}
		if a.Count > 0 {
			parts[0] = plain.Plural(a.Count, "%d bow", "%d bows", a.Count)
		}
		if a.Odd > 0 {
			parts = append(parts, fmt.Sprintf("%d odd", a.Odd))
		}
		return fmt.Sprintf("%s (%s to %s; %s)", scale.Print(a.Mean), scale.Print(max(0, a.Low)), scale.Print(a.High), strings.Join(parts, ", "))
	}
	return fmt.Sprintf("finishing takes %s, use %s", learnt(sanding), learnt(settling))
}
