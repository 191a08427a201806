package verdict

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/wood"
	"bendbook/session"
)

// Doubt says why it looks wrong to log a stage now; "" where nothing speaks against it.
func (f Finishing) Doubt(stage finish.Standing) string {
	p := f.Progress
	switch {
	case f.Cracked != "":
		return fmt.Sprintf("Not mended: %s.", f.Cracked)
	case p.Away && stage.Seen != finish.SignBack:
		return "It was handed over."
	case stage.Seen == finish.SignAway:
		if missing := f.Missing(); len(missing) > 0 {
			return fmt.Sprintf("Not done: %s.", strings.Join(missing, ", "))
		}
	case stage.State == finish.Made && stage.Coats == 0 && len(stage.Grits) == 0:
		return "It was done already."
	case stage.Seen == finish.SignMarked && f.offMark():
		mark, order := f.Mark.Or(finish.Mark{}).Weight, f.Bow.Order.Weight.Or(0)
		return fmt.Sprintf("The mark would say %s; %s was ordered.",
			session.SayOrdered(f.Bow, mark), session.SayOrdered(f.Bow, order))
	}
	if p.Dry.After(f.Now) {
		return fmt.Sprintf("It dries until %s.", sayUntil(p.Dry, f.Now, f.Dates))
	}
	// Whoever skips so many stages has likely picked the wrong one.
	const farAhead = 3
	wood := func(s finish.Standing) bool { return s.Wood }
	skipped := f.skipped(stage)
	names := each(skipped, func(s finish.Standing) string { return s.Name })
	if len(skipped) >= farAhead || stage.Coats > 0 && slices.ContainsFunc(skipped, wood) {
		return fmt.Sprintf("Not done before it: %s.", strings.Join(names, ", "))
	}
	return ""
}

// Missing is what a bow must have before it is handed over.
func (f Finishing) Missing() (names []string) {
	if f.Progress.Away {
		return nil
	}
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

// mostOffMark is how far a mark may be off the order without being asked about (lb).
const mostOffMark measure.Force = 1

// offMark says whether the bow would be marked with more or less than its order allows.
func (f Finishing) offMark() bool {
	mark, known := f.Mark.Get()
	weight, ordered := f.Bow.Order.Weight.Get()
	off := max(mark.Weight-weight, weight-mark.Weight)
	return known && ordered && !mark.Foretold() && off > mostOffMark+1e-6
}

func (f Finishing) skipped(to finish.Standing) (all []finish.Standing) {
	if f.Progress.At < 0 {
		return nil
	}
	for _, s := range f.Progress.Stages[f.Progress.At:] {
		if s.Name == to.Name {
			return all
		}
		if s.State != finish.Made && s.Seen != finish.SignShot && s.Seen != finish.SignString {
			all = append(all, s)
		}
	}
	return nil
}

// AsksReadings says whether a stage takes the bow off the tree or puts its nocks on, so that readings count.
func (f Finishing) AsksReadings(at int) bool {
	return f.atTree && (f.Progress.Leaves(at) || fitsNocks(f.Progress.Stages[at].Name))
}

// StageDoubt says what in the readings speaks against logging a stage; "" for nothing.
func (a Advice) StageDoubt(f Finishing, at int) string {
	if !f.AsksReadings(at) {
		return ""
	}
	if f.Progress.Leaves(at) {
		if v := a.Judge(f); v.Do != Finish && v.Do != None {
			return strings.TrimSpace(v.Say + " " + v.Why)
		}
		return ""
	}
	if stiff := a.stiffTip(); stiff != "" {
		return stiff + " Work the tips down first?"
	}
	return ""
}

// stiffTip tells of a tip that is too stiff, of those that are left out until the nocks are on.
func (a Advice) stiffTip() string {
	tips := a.Aim
	tips.StiffTips = 0
	found, err := a.state.Findings(a.Draw, tips)
	if err != nil {
		return ""
	}
	for _, f := range found {
		outer := float64(a.Bow.Limbs[f.Side].Length) - a.Aim.StiffTips
		if !f.Hinge && f.To > outer {
			return a.sayFinding(f)
		}
	}
	return ""
}

// SayState is a stage's state in a word.
func SayState(p finish.Progress, i int) string {
	state := p.Stages[i].State
	if i == p.At && state != finish.Made {
		return "NEXT"
	}
	return map[finish.State]string{finish.Made: "done", finish.Owed: "OWED", finish.Passed: "-"}[state]
}

// SayDone says on which days a stage was done, which coats and grits, and what is still to come of it.
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
	if n := len(stage.Done); n < len(stage.Grits) && stage.State != finish.Passed {
		next := strings.Trim(strings.ReplaceAll(fmt.Sprint(stage.Grits[n:]), " ", ", "), "[]")
		days = append(days, fmt.Sprintf("grit %s to come", next))
	}
	said := strings.Join(days, "; ")
	if stage.Seen == finish.SignMarked && f.Stamped != "" {
		said += ": " + plain.Line(f.Stamped)
	}
	return said
}

// SayWhen says what dries until when, and when the bow can be handed over.
func (f Finishing) SayWhen() (when []string) {
	p := f.Progress
	if p.Dry.After(f.Now) {
		when = append(when, fmt.Sprintf("dries until %s", sayUntil(p.Dry, f.Now, f.Dates)))
	}
	if f.warm != "" {
		when = append(when, f.warm)
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

// leastWarm is the share of a weight by which a cold or hot shop must change it before that is told.
const leastWarm = 0.01

// sayWarmth tells what the last weighing in finishing would read at 70 °F, by the air of its day; "" where
// that wasn't measured or changes little.
func sayWarmth(story session.Story, place *time.Location) string {
	var celsius, peak measure.Optional[float64]
	var measured, weighed string // on which day
	for line := range session.Counting(story.Lines) {
		day := line.Entry.At.In(place).Format(time.DateOnly)
		switch what := line.What.(type) {
		case model.Moisture:
			if what.Celsius.Known() && what.Where != model.HomeAir {
				celsius, measured = what.Celsius, day
			}
		case model.Pull:
			if force, read := what.Peak.Get(); read {
				peak, weighed = measure.Some(float64(force)), day
			}
		}
	}
	air, known := celsius.Get()
	share := wood.Warm(1.8*air + 32)
	if !known || measured != weighed || !story.InFinishing() || math.Abs(1/share-1) <= leastWarm {
		return ""
	}
	bow := story.Bow()
	return fmt.Sprintf("weighed at %s: %s at %s", bow.SayWarmth(air),
		bow.Weigher().WithUnit(measure.Force(peak.Or(0)/share)), bow.SayWarmth((70-32)/1.8))
}

// SayMark is what to stamp, and where that comes from; or why nothing is, with from "".
func (f Finishing) SayMark() (stamp, from string) {
	m, known := f.Mark.Get()
	if !known {
		return fmt.Sprintf("no stamp yet: %s", f.MayStamp()), ""
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
	if f.Stamped != "" {
		return fmt.Sprintf("stamped: %s", plain.Line(f.Stamped)), from
	}
	if stamp = fmt.Sprintf("stamp: %s", m.Text); session.SayNumber(f.Bow) == "" {
		stamp += " + a number"
	}
	return stamp, from
}

// SayTakes is what finishing and first use take, and where the figures come from.
func (f Finishing) SayTakes() string {
	weight := f.Bow.Order.Weight.Or(f.Mark.Or(finish.Mark{}).Settled)
	print, unit := func(share float64) string { return f.Bow.Weigher().Print(weight * measure.Force(share)) },
		f.Bow.Units.Force.Symbol()
	if weight == 0 {
		print, unit = func(share float64) string { return fmt.Sprintf("%.1f", 100*share) }, "%"
	}
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
		said += fmt.Sprintf(", in %s: common practice", unit)
	}
	return said
}
