package finish

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
)

// State is how a stage stands.
type State int

// The states of a stage.
const (
	Ahead  State = iota // to come
	Next                // what the bow waits for
	Made                // done, as often as it must be
	Passed              // a later one was done before it, and it is not owed
	Owed                // a later one was done before it, and it must be
)

// Standing is a stage of one bow.
type Standing struct {
	Stage
	State State
	Done  []Fact // by what it was done, oldest first
}

// Progress is how far a bow is.
type Progress struct {
	Stages []Standing // in the shop's order
	// At is the index of the stage that the bow waits for; -1 where there is none.
	At int
	// Coat and Grit are which of the stage's coats or grits is next; 0 where it has none.
	Coat, Grit int
	// Dry is when what was done last has rested; zero where nothing rests.
	Dry time.Time
	// Handover is the earliest that the bow can be handed over, if the rest is done as soon as it can be;
	// zero for one that is away.
	Handover time.Time
	// CoatsLeft is how many coats are still to come.
	CoatsLeft int
	Away      bool // handed over, and not in hand again
}

// Waits names what the bow waits for; "" where that is nothing.
func (p Progress) Waits() string {
	if p.At < 0 {
		return ""
	}
	return spell(p.Stages[p.At].Name, p.Coat, p.Grit)
}

// spell names one doing of a stage.
func spell(name string, coat, grit int) string {
	switch {
	case coat > 0:
		return fmt.Sprintf("%s, coat %d", name, coat)
	case grit > 0:
		return fmt.Sprintf("%s, grit %d", name, grit)
	}
	return name
}

// Progress tells how far a bow with this log is at the time now. The stages go in the shop's order; one that
// was skipped is passed, unless it must be. Wood that is scraped off at the bench takes back what was done
// after the tillering.
//
// The earliest handover supposes that each step is done as soon as the bow has rested from the one before,
// and takes no time of its own.
func (s Settings) Progress(log Log, allowed Allowed, now time.Time) Progress {
	p := Progress{At: -1, Stages: make([]Standing, len(s.Stages))}
	for i, stage := range s.Stages {
		p.Stages[i].Stage = stage
	}
	tillered := slices.IndexFunc(s.Stages, func(stage Stage) bool { return stage.Seen == SignTillered })
	coated := false // rubbing down between coats takes no wood that a scale shows
	for n, fact := range log {
		if fact.What == Scraping {
			coated = false
			p.Dry = time.Time{}
			if tillered >= 0 {
				for i := tillered; i < len(p.Stages); i++ {
					p.Stages[i].Done = nil
				}
			}
			continue
		}
		if last := s.left(fact, tillered, log[:n]); last >= 0 && !p.done(SignTillered) {
			p.Stages[tillered].Done = append(p.Stages[tillered].Done, log[last])
		}
		for i, stage := range s.Stages {
			if !s.shows(fact, stage, p, allowed) {
				continue
			}
			p.Stages[i].Done = append(p.Stages[i].Done, fact)
			if fact.What == Step && stage.Rest > 0 {
				p.Dry = later(p.Dry, fact.At.Add(stage.Rest))
			}
		}
		stage, _ := s.stage(fact)
		switch {
		case fact.What == Step && stage.Wood && !coated:
			for i := range p.Stages { // what was weighed before says nothing now
				if p.Stages[i].Seen == SignWeighed {
					p.Stages[i].Done = nil
				}
			}
		case fact.What == Step && stage.Coats > 0:
			coated = true
		}
		p.Away = fact.What == Step && stage.Seen == SignAway || p.Away && fact.What != Back
	}
	p.settle()
	p.foresee(now)
	return p
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// left is the index of the last weighing on the tree where a fact shows that the bow has left it: a step
// after the tillering; -1 for none.
func (s Settings) left(fact Fact, tillered int, before Log) int {
	stage, known := s.stage(fact)
	if !known || tillered < 0 || slices.IndexFunc(s.Stages, func(other Stage) bool { return other.Name == stage.Name }) <= tillered {
		return -1
	}
	for i := len(before) - 1; i >= 0 && before[i].What != Scraping; i-- {
		if before[i].What == Weighing {
			return i
		}
	}
	return -1
}

// shows says whether a fact shows that a stage was done.
func (s Settings) shows(fact Fact, stage Stage, p Progress, allowed Allowed) bool {
	if fact.What == Step {
		return stage.named(fact.Step)
	}
	left := p.Away || p.done(SignAway)
	switch stage.Seen {
	case SignPulled:
		return fact.What == Pulled
	case SignBraced:
		return fact.What == Braced
	case SignTillered:
		most, ordered := allowed.Get()
		return fact.What == Weighing && ordered && fact.Weight <= most && !p.done(SignTillered) && !s.finishing(p)
	case SignWeighed:
		return fact.What == Weighing && !left && s.finishing(p)
	case SignBack:
		return fact.What == Back
	case SignReweigh:
		return fact.What == Weighing && left
	}
	return false
}

// finishing says whether a stage that takes wood was done, or there is none in the shop's list.
func (s Settings) finishing(p Progress) bool {
	any := false
	for _, stage := range p.Stages {
		if stage.Wood {
			any = true
			if len(stage.Done) > 0 {
				return true
			}
		}
	}
	return !any && p.done(SignTillered)
}

func (p Progress) done(sign Sign) bool {
	for i := range p.Stages { // a stage is large, and this is asked for each fact
		if stage := &p.Stages[i]; stage.Seen == sign && len(stage.Done) > 0 {
			return true
		}
	}
	return false
}

// named says whether a logged step is this stage. A bow is handed over by the step of that name, however a
// shop calls it, so that every book knows it.
func (s Stage) named(step string) bool {
	step = strings.TrimSpace(step)
	return strings.EqualFold(step, s.Name) || s.Seen == SignAway && step == model.HandedOver
}

// Step is the name by which the stage is logged.
func (s Stage) Step() string {
	if s.Seen == SignAway {
		return model.HandedOver
	}
	return s.Name
}

// stage is the stage that a step names; ok is false where the list has none of that name.
func (s Settings) stage(fact Fact) (stage Stage, ok bool) {
	if fact.What != Step {
		return Stage{}, false
	}
	at := slices.IndexFunc(s.Stages, func(stage Stage) bool { return stage.Name == fact.Step })
	if at < 0 {
		at = slices.IndexFunc(s.Stages, func(stage Stage) bool { return stage.named(fact.Step) })
	}
	if at < 0 {
		return Stage{}, false
	}
	return s.Stages[at], true
}

// full says whether the stage was done as often as it must be. Coats are counted; of grits the last one
// closes, as does the stage logged without any.
func (s Standing) full() bool {
	n := len(s.Done)
	switch {
	case n == 0:
		return false
	case s.Coats > 0:
		return n >= s.Coats
	case len(s.Grits) > 0:
		last := s.Done[n-1].Grit
		return last == 0 || last >= s.Grits[len(s.Grits)-1]
	}
	return true
}

// settle gives each stage its state and finds the next one.
func (p *Progress) settle() {
	furthest := -1
	for i, stage := range p.Stages {
		if len(stage.Done) > 0 {
			furthest = i
		}
	}
	for i := range p.Stages {
		stage := &p.Stages[i]
		switch {
		case stage.full():
			stage.State = Made
		case i < furthest && stage.Must && !p.Away && !p.done(SignAway):
			stage.State = Owed
		case i < furthest:
			stage.State = Passed
		}
	}
	if p.Away {
		return
	}
	p.At = slices.IndexFunc(p.Stages, func(stage Standing) bool { return stage.State == Owed })
	for i := max(furthest, 0); p.At < 0 && i < len(p.Stages); i++ {
		if p.Stages[i].State == Ahead && (!p.Stages[i].afterwards() || p.done(SignAway)) {
			p.At = i
		}
	}
	if p.At < 0 {
		return
	}
	stage := &p.Stages[p.At]
	if stage.State == Ahead {
		stage.State = Next
	}
	switch {
	case stage.Coats > 0:
		p.Coat = len(stage.Done) + 1
	case len(stage.Grits) > 0:
		p.Grit = stage.NextGrit()
	}
}

// NextGrit is the first grit finer than the last that was used; 0 where there is none.
func (s Standing) NextGrit() int {
	used := 0
	if n := len(s.Done); n > 0 {
		used = s.Done[n-1].Grit
	}
	for _, grit := range s.Grits {
		if grit > used {
			return grit
		}
	}
	return 0
}

// foresee finds the earliest handover.
func (p *Progress) foresee(now time.Time) {
	if p.Away {
		p.Dry = time.Time{}
		return
	}
	at := later(now, p.Dry)
	if p.Dry.Before(now) || p.Dry.Equal(now) {
		p.Dry = time.Time{}
	}
	for i, stage := range p.Stages {
		if stage.afterwards() || stage.Seen == SignAway {
			continue
		}
		if stage.State == Made || stage.State == Passed || stage.State == Ahead && i < p.At {
			continue
		}
		left := 1
		if stage.Coats > 0 {
			left = max(0, stage.Coats-len(stage.Done))
			p.CoatsLeft += left
		}
		at = at.Add(time.Duration(left) * stage.Rest)
	}
	p.Handover = at
}

// Tillered says whether the bow came to its weight on the tree, and was not scraped since.
func (p Progress) Tillered() bool { return p.done(SignTillered) }

// AtTheTree says whether the bow waits for what is done and seen at the tree.
func (p Progress) AtTheTree() bool {
	if p.At < 0 {
		return false
	}
	switch p.Stages[p.At].Seen {
	case SignPulled, SignBraced, SignTillered:
		return true
	}
	return false
}

// From is when what the bow waits for can be done: now, or when it is dry.
func (p Progress) From(now time.Time) time.Time { return later(now, p.Dry) }

// Today says whether what the bow waits for can be done on the day of now, where now is.
func (p Progress) Today(now time.Time) bool {
	return p.At >= 0 && p.From(now).In(now.Location()).Format(time.DateOnly) == now.Format(time.DateOnly)
}
