package finish

import (
	"fmt"
	"slices"
	"time"
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
	// Dry is when what was done last has rested; zero where nothing rests.
	Dry time.Time
	// Handover is the earliest that the bow can be handed over, if the rest is done as soon as it can be;
	// zero for one that is away.
	Handover time.Time
	// CoatsLeft is how many coats are still to come.
	CoatsLeft int
	Away      bool // handed over, and not in hand again
}

// Waits names what the bow waits for, with its coat or grit; "" where that is nothing.
func (p Progress) Waits() string {
	if p.At < 0 {
		return ""
	}
	stage := p.Stages[p.At]
	switch coat, grit := stage.Next(); {
	case coat > 0:
		return fmt.Sprintf("%s, coat %d", stage.Name, coat)
	case grit > 0:
		return fmt.Sprintf("%s, grit %d", stage.Name, grit)
	}
	return stage.Name
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
	var tree *Fact  // the last weighing since the bow was scraped
	for i := range log {
		fact := log[i]
		at := s.stage(fact)
		if fact.What == Scraping {
			coated, tree, p.Dry = false, nil, time.Time{}
			p.takeBack(func(i int) bool { return tillered >= 0 && i >= tillered })
			continue
		}
		// A step after the tillering shows that the bow has left the tree.
		if tillered >= 0 && at > tillered && tree != nil && len(p.Stages[tillered].Done) == 0 {
			p.Stages[tillered].Done = []Fact{*tree}
		}
		for i := range p.Stages {
			if i == at || p.shows(fact, s.Stages[i].Seen, allowed) {
				p.Stages[i].Done = append(p.Stages[i].Done, fact)
			}
		}
		if fact.What == Weighing {
			tree = &log[i]
		}
		p.Away = p.Away && fact.What != Back
		if at >= 0 {
			coated = p.logged(fact, s.Stages[at], coated)
		}
	}
	p.settle()
	p.foresee(now)
	return p
}

// logged takes in what follows from a logged stage, and says whether the bow has a coat then.
func (p *Progress) logged(fact Fact, stage Stage, coated bool) bool {
	if dry := fact.At.Add(stage.rest()); stage.Rest > 0 && dry.After(p.Dry) {
		p.Dry = dry
	}
	p.Away = p.Away || stage.Seen == SignAway
	if stage.Wood && !coated { // what was weighed before says nothing now
		p.takeBack(func(i int) bool { return p.Stages[i].Seen == SignWeighed })
		return false
	}
	return coated || stage.Coats > 0
}

// takeBack leaves out what was done of the stages.
func (p *Progress) takeBack(of func(i int) bool) {
	for i := range p.Stages {
		if of(i) {
			p.Stages[i].Done = nil
		}
	}
}

// shows says whether a fact that logs no stage shows a sign.
func (p *Progress) shows(fact Fact, sign Sign, allowed Allowed) bool {
	left := p.Away || p.done(SignAway)
	switch fact.What {
	case Pulled:
		return sign == SignPulled
	case Braced:
		return sign == SignBraced
	case Back:
		return sign == SignBack
	case Weighing:
		switch sign {
		case SignTillered:
			most, ordered := allowed.Get()
			return ordered && fact.Weight <= most && !p.done(SignTillered) && !p.finishing()
		case SignWeighed:
			return !left && p.finishing()
		case SignReweigh:
			return left
		}
	}
	return false
}

// finishing says whether a stage that takes wood was done, or there is none in the shop's list.
func (p *Progress) finishing() bool {
	takes := func(stage Standing) bool { return stage.Wood }
	took := func(stage Standing) bool { return stage.Wood && len(stage.Done) > 0 }
	if !slices.ContainsFunc(p.Stages, takes) {
		return p.done(SignTillered)
	}
	return slices.ContainsFunc(p.Stages, took)
}

func (p *Progress) done(sign Sign) bool {
	for i := range p.Stages { // a stage is large, and this is asked for each fact
		if stage := &p.Stages[i]; stage.Seen == sign && len(stage.Done) > 0 {
			return true
		}
	}
	return false
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
	if stage := &p.Stages[p.At]; stage.State == Ahead {
		stage.State = Next
	}
}

// Next is the coat or the grit that comes next: the first that is finer than the last used. Both are 0 where
// there is none.
func (s Standing) Next() (coat, grit int) {
	n := len(s.Done)
	if s.Coats > 0 {
		return n + 1, 0
	}
	used := 0
	if n > 0 {
		used = s.Done[n-1].Grit
	}
	for _, grit := range s.Grits {
		if grit > used {
			return 0, grit
		}
	}
	return 0, 0
}

// foresee finds the earliest handover.
func (p *Progress) foresee(now time.Time) {
	if p.Away {
		p.Dry = time.Time{}
		return
	}
	at := p.From(now)
	if !p.Dry.After(now) {
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
		at = at.Add(time.Duration(left) * stage.rest())
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
func (p Progress) From(now time.Time) time.Time {
	if p.Dry.After(now) {
		return p.Dry
	}
	return now
}

// Today says whether what the bow waits for can be done on the day of now, where now is.
func (p Progress) Today(now time.Time) bool {
	return p.At >= 0 && p.From(now).In(now.Location()).Format(time.DateOnly) == now.Format(time.DateOnly)
}
