package verdict

import (
	"bendbook/model/estimate"
	"bendbook/model/measure"
)

// Do is what to do with a bow, in a word.
type Do string

// What a verdict may ask for, as the document spells it.
const (
	Tell      Do = "tell"       // type what is missing
	Check     Do = "check"      // read a doubtful reading again
	Draw      Do = "draw"       // farther than so far
	DrawAgain Do = "draw again" // no farther than so far
	Scrape    Do = "scrape"
	Exercise  Do = "exercise"
	Measure   Do = "measure" // a few further readings would settle it
	Finish    Do = "finish"  // the next stage
	Stop      Do = "stop"    // danger, or no wood to spare
	None      Do = "none"
)

// Verdict is what to do next with a bow. Every surface shows it, first and in these words.
type Verdict struct {
	Do  Do     `json:"do"`
	Say string `json:"say"` // what to do, in a sentence
	Why string `json:"why"` // the reason, in one to three short sentences
	// Word is the same across the shop, in capitals: SCRAPE, PULL 24.
	Word string `json:"word"`
	// Stretch is where to scrape or measure, and Draw how far to draw (in); unread for the rest.
	Stretch measure.Optional[Stretch] `json:"-"`
	Draw    measure.Optional[float64] `json:"-"`
	// Most is how far the bow may be drawn at all until the next reading (in), 0 where not at all.
	Most float64 `json:"-"`
	Rule string  `json:"-"` // the name of the rule that fired
}

// Stretch is a part of one limb, from and to in inches from its root.
type Stretch = estimate.Stretch
