package finish

import (
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// Fact is one event that moves a bow through its stages, as a cached row keeps it.
type Fact struct {
	What FactKind  `json:"what"`
	At   time.Time `json:"at,omitzero"`    // zero where the record does not say
	Step string    `json:"step,omitempty"` // name of a Step, with its coat or grit; 0 where none was given
	On   model.Day `json:"on,omitempty"`   // the day that a Step names for itself; "" where At tells it
	Coat int       `json:"coat,omitempty"`
	Grit int       `json:"grit,omitempty"`

	Weight measure.Force `json:"weight,omitempty"` // of a Weighing, at the ordered draw
}

// FactKind is a sort of fact.
type FactKind byte

// The sorts of fact.
const (
	Step     FactKind = iota + 1 // a stage that the maker logged
	Weighing                     // a pull to the ordered draw whose peak was read
	Scraping                     // wood off at the bench
	Pulled                       // the first pull before the bow was braced
	Braced                       // the first reading of the braced bow
	Shot                         // arrows to shoot the bow in
	Back                         // taken in hand after it was handed over
)

// Log are a bow's facts in the order in which they happened.
type Log []Fact

// Weighings are a bow's weights at the ordered draw; unread where it was not weighed then.
type Weighings struct {
	Tree     measure.Optional[measure.Force] // last on the tree, before finishing takes wood
	Finished measure.Optional[measure.Force] // last after wood was taken, before the bow left the shop
	Used     measure.Optional[measure.Force] // last after it was in use
}

// Sanding is what was lost in finishing, as a share of what was left; unread without both weighings.
func (w Weighings) Sanding() measure.Optional[float64] { return lost(w.Tree, w.Finished) }

// Settling is that of first use.
func (w Weighings) Settling() measure.Optional[float64] { return lost(w.Finished, w.Used) }

func lost(before, after measure.Optional[measure.Force]) measure.Optional[float64] {
	b, known := before.Get()
	a, also := after.Get()
	if !known || !also || a <= 0 {
		return measure.Optional[float64]{}
	}
	return measure.Some(float64(b/a - 1))
}

// stage is the index of the stage that a fact logs; -1 for none.
func (s Settings) stage(fact Fact) int {
	if fact.What != Step {
		return -1
	}
	step := strings.TrimSpace(fact.Step)
	return slices.IndexFunc(s.Stages, func(stage Stage) bool {
		return strings.EqualFold(step, stage.Name) || stage.Seen == SignAway && step == model.HandedOver
	})
}

// Weighings finds the weights in a log. Allowances are learnt from those of the bow's first life, and its
// mark follows from those of its present one; the two differ if wood came off again after the bow left the
// shop. Scraping at the bench cancels earlier weighings. Rubbing down between coats takes too little to
// weigh.
func (s Settings) Weighings(log Log) (first, present Weighings) {
	lives, wood, left, coated := make([]Weighings, 1), false, false, false
	for _, fact := range log {
		var stage Stage
		if i := s.stage(fact); i >= 0 {
			stage = s.Stages[i]
		}
		takes := fact.What == Scraping || stage.Wood && !coated
		if left && takes {
			lives, left = append(lives, Weighings{}), false
		}
		present := &lives[len(lives)-1]
		switch {
		case fact.What == Scraping:
			*present, wood, coated = Weighings{}, false, false
		case takes:
			wood, present.Finished = true, measure.Optional[measure.Force]{}
		case stage.Coats > 0:
			coated = true
		case stage.Seen == SignAway, fact.What == Back:
			left, coated = true, false
		case fact.What != Weighing:
		case left:
			present.Used = measure.Some(fact.Weight)
		case wood:
			present.Finished = measure.Some(fact.Weight)
		default:
			present.Tree = measure.Some(fact.Weight)
		}
	}
	return lives[0], lives[len(lives)-1]
}

// Stage is one step on a bow's way through the shop.
type Stage struct {
	Name  string  `json:"name"`
	Seen  sign    `json:"seen,omitempty"`       // shows that it is done; "" where only the maker can say so
	Must  bool    `json:"must,omitempty"`       // owed even when a later one is done
	Wood  bool    `json:"takes_wood,omitempty"` // so the bow weighs less after it
	Coats int     `json:"coats,omitempty"`      // at least, on a day each; 0 where it is done once
	Grits []int   `json:"grits,omitempty"`      // from coarse to fine; nil for none
	Rest  float64 `json:"rest_hours,omitempty"` // while a coat dries or glue sets
}

func (s Stage) rest() time.Duration { return time.Duration(s.Rest * float64(time.Hour)) }

// sign is what shows that a stage is done.
type sign string

// The signs that a shop's list may name, in the order of a bow's life.
const (
	signPulled   sign = "pulled"        // drawn on a long string, before it was ever braced
	signBraced   sign = "braced"        // read while braced
	signTillered sign = "at weight"     // weighs, at the ordered draw, what it may weigh on the tree
	SignShot     sign = "shot in"       // arrows were shot from it
	SignWeighed  sign = "weighed"       // weighed at the ordered draw since wood last came off
	SignMarked   sign = "marked"        // the maker's word; the finish screen stamps at this stage
	SignAway     sign = "handed over"   // the bow leaves the shop
	SignBack     sign = "came back"     // in hand again after it was handed over
	SignReweigh  sign = "weighed again" // weighed at the ordered draw after it came back
)

// afterwards reports whether the stage comes after the handing over.
func (s Stage) afterwards() bool { return s.Seen == SignBack || s.Seen == SignReweigh }

// Step is the name under which the stage is logged: of the handing over, one that every book understands.
func (s Stage) Step() string {
	if s.Seen == SignAway {
		return model.HandedOver
	}
	return s.Name
}
