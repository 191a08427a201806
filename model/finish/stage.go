package finish

import (
	"time"

	"bendbook/model"
)

// Stage is one step on a bow's way, as a shop takes them.
type Stage struct {
	Name string `json:"name"`
	// Seen is the sign in the story that it is done; "" where only the maker can say so.
	Seen Sign `json:"seen,omitempty"`
	// Must says that the stage is owed also when a later one was done before it.
	Must bool `json:"must,omitempty"`
	// Wood says that the stage takes wood off, so that the weight before it is not the weight after it.
	Wood bool `json:"takes_wood,omitempty"`
	// Coats is how often it is done at least, each time a day's work of its own; 0 where it is done once.
	Coats int `json:"coats,omitempty"`
	// Grits are those that it goes through, in order; nil for none.
	Grits []int `json:"grits,omitempty"`
	// Rest is for how many hours the bow must lie after it: a coat dries, glue sets.
	Rest float64 `json:"rest_hours,omitempty"`
}

// rest is for how long the bow must lie after it.
func (s Stage) rest() time.Duration { return time.Duration(s.Rest * float64(time.Hour)) }

// Sign is what shows that a stage is done.
type Sign string

// The signs that a shop's list may name, in the order of a bow's life.
const (
	signPulled   Sign = "pulled"        // drawn on a long string, before it was ever braced
	signBraced   Sign = "braced"        // read while braced
	signTillered Sign = "at weight"     // weighs, at the ordered draw, what it may weigh on the tree
	SignWeighed  Sign = "weighed"       // weighed at the ordered draw since wood last came off
	SignMarked   Sign = "marked"        // the maker's word; the finish screen stamps at this stage
	SignAway     Sign = "handed over"   // the bow leaves the shop
	SignBack     Sign = "came back"     // in hand again after it was handed over
	SignReweigh  Sign = "weighed again" // weighed at the ordered draw after it came back
)

// afterwards says whether the stage belongs to the time after the bow was handed over.
func (s Stage) afterwards() bool { return s.Seen == SignBack || s.Seen == SignReweigh }

// Step is the name by which the stage is logged. A bow is handed over by the step of that name, however a
// shop calls it, so that every book knows it.
func (s Stage) Step() string {
	if s.Seen == SignAway {
		return model.HandedOver
	}
	return s.Name
}
