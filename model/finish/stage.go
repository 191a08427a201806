package finish

import (
	"time"

	"bendbook/model"
)

// Stage is one step on a bow's way through the shop.
type Stage struct {
	Name  string  `json:"name"`
	Seen  Sign    `json:"seen,omitempty"`       // shows that it is done; "" where only the maker can say so
	Must  bool    `json:"must,omitempty"`       // owed even when a later one is done
	Wood  bool    `json:"takes_wood,omitempty"` // so the bow weighs less after it
	Coats int     `json:"coats,omitempty"`      // at least, on a day each; 0 where it is done once
	Grits []int   `json:"grits,omitempty"`      // from coarse to fine; nil for none
	Rest  float64 `json:"rest_hours,omitempty"` // while a coat dries or glue sets
}

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

// afterwards reports whether the stage comes after the handing over.
func (s Stage) afterwards() bool { return s.Seen == SignBack || s.Seen == SignReweigh }

// Step is the name under which the stage is logged. The handing over is always logged under its own name,
// whatever the shop calls it, so that every book understands it.
func (s Stage) Step() string {
	if s.Seen == SignAway {
		return model.HandedOver
	}
	return s.Name
}
