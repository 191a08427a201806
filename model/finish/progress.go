package finish

import (
	"fmt"
	"slices"
	"time"

	"bendbook/model/measure"
)

// State is how a stage stands.
type State int

// The states of a stage.
const (
	ahead  State = iota // to come
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
	// Dry is when the last coat is dry or the last glue has set; zero where nothing rests.
	Dry time.Time
	// Handover is the earliest day the bow can leave, if each step is done as soon as the bow has rested from
	// the one before and takes no time of its own; zero for a bow that is away.
	Handover  time.Time
	CoatsLeft int  // still to come
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

// Progress says how far a bow with this log is at the time now. Stages follow the shop's order; a skipped
// one is passed, unless the shop's list says that it must be done. Scraping at the bench undoes everything
// from tillering on.
func (s Settings) Progress(log Log, wanted measure.Optional[Wanted], now time.Time) Progress {
	p := Progress{At: -1, Stages: make([]Standing, len(s.Stages))}
	for i, stage := range s.Stages {
		p.Stages[i].Stage = stage
	}
	tillered := slices.IndexFunc(s.Stages, func(stage Stage) bool { return stage.Seen == signTillered })
	coated := false // rubbing down between coats takes no wood that a scale shows
	var tree *Fact  // the last weighing since the bow was scraped
	for i, fact := range log {
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
			if i == at || p.shows(fact, s.Stages[i].Seen, wanted) {
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

// logged notes what follows from a logged stage and reports whether the bow has a coat after it.
func (p *Progress) logged(fact Fact, stage Stage, coated bool) bool {
	if dry := fact.At.Add(stage.rest()); stage.Rest > 0 && dry.After(p.Dry) {
		p.Dry = dry
	}
	p.Away = p.Away || stage.Seen == SignAway
	if stage.Wood && !coated { // an earlier weighing no longer counts
		p.takeBack(func(i int) bool { return p.Stages[i].Seen == SignWeighed })
		return false
	}
	return coated || stage.Coats > 0
}

func (p *Progress) takeBack(of func(i int) bool) {
	for i := range p.Stages {
		if of(i) {
			p.Stages[i].Done = nil
		}
	}
}

// shownBy is the fact that shows a sign, if the rest is as shows wants it.
var shownBy = map[sign]FactKind{
	signPulled: Pulled, signBraced: Braced, SignString: Strung, SignShot: Shot, SignBack: Back,
	signTillered: Weighing, SignWeighed: Weighing, SignReweigh: Weighing,
}

// shows reports whether a fact that logs no stage shows a sign.
func (p *Progress) shows(fact Fact, sign sign, wanted measure.Optional[Wanted]) bool {
	if kind, known := shownBy[sign]; !known || fact.What != kind {
		return false
	}
	left := p.Away || p.done(SignAway)
	switch sign {
	case SignString:
		return p.done(signTillered)
	case signTillered:
		right, ordered := wanted.Get()
		return ordered && right.holds(fact.Weight) && !p.done(signTillered) && !p.finishing()
	case SignWeighed:
		return !left && p.finishing()
	case SignReweigh:
		return left
	}
	return true
}

// finishing reports whether a stage that takes wood is done; where the shop lists none, the tillering.
func (p *Progress) finishing() bool {
	listed := false
	for _, stage := range p.Stages {
		if listed = listed || stage.Wood; stage.Wood && len(stage.Done) > 0 {
			return true
		}
	}
	return !listed && p.done(signTillered)
}

func (p *Progress) done(sign sign) bool {
	for i := range p.Stages { // by index: stages are large, and each fact asks this
		if stage := &p.Stages[i]; stage.Seen == sign && len(stage.Done) > 0 {
			return true
		}
	}
	return false
}

// full reports whether the stage was done as often as it must be. One logged without a grit is done too.
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
	if !p.Away {
		p.At = p.next(furthest)
	}
}

// next is the index of the stage that the bow waits for, behind the furthest that was begun; -1 for none.
func (p *Progress) next(furthest int) int {
	if owed := slices.IndexFunc(p.Stages, func(s Standing) bool { return s.State == Owed }); owed >= 0 {
		return owed
	}
	left := p.done(SignAway)
	for i := max(furthest, 0); i < len(p.Stages); i++ {
		if stage := &p.Stages[i]; stage.State == ahead && (left || !stage.afterwards()) {
			return i
		}
	}
	return -1
}

// Next is the coat that comes next, or the first grit finer than the last one used; 0 for none.
func (s Standing) Next() (coat, grit int) {
	n, used := len(s.Done), 0
	if s.Coats > 0 {
		return n + 1, 0
	}
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

func (p *Progress) foresee(now time.Time) {
	if p.Away || !p.Dry.After(now) {
		p.Dry = time.Time{}
	}
	if p.Away {
		return
	}
	at := p.from(now)
	for i, stage := range p.Stages {
		due := stage.State == Owed || stage.State == ahead && i >= p.At
		if !due || stage.afterwards() || stage.Seen == SignAway {
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

// AtTheTree reports whether the next stage is one that the tree shows.
func (p Progress) AtTheTree() bool {
	signs := []sign{signPulled, signBraced, signTillered}
	return p.At >= 0 && slices.Contains(signs, p.Stages[p.At].Seen)
}

// from is when the next stage can be done: now, or when the bow is dry.
func (p Progress) from(now time.Time) time.Time {
	if p.Dry.After(now) {
		return p.Dry
	}
	return now
}

// Today reports whether the next thing can be done on the day of now: whether the bow is dry by then.
func (p Progress) Today(now time.Time) bool {
	return p.from(now).In(now.Location()).Format(time.DateOnly) == now.Format(time.DateOnly)
}

// Leaves says whether the stage comes after the tillering, so that logging it takes the bow off the tree.
func (p Progress) Leaves(stage int) bool {
	tillered := slices.IndexFunc(p.Stages, func(s Standing) bool { return s.Seen == signTillered })
	return tillered >= 0 && stage > tillered
}
