package finish

import (
	"time"

	"bendbook/model/date"
	"bendbook/model/measure"
)

// Settings are a shop's own practice.
type Settings struct {
	// Units are those of new bows, of lists in which bows stand side by side, and of the settings themselves.
	// A bow's record keeps its own.
	Units  measure.Units
	Every  Every
	Dates  date.Order // "" goes by the language of the terminal
	Screen Screen
	Stages []Stage
	Mark   Stamp
	Number Numbering
	// Sanding and Settling are what finishing and first use take off the weight until the shop's bows tell.
	Sanding, Settling measure.Force
	// ArrowLimit is up to which arrow a target longbow may be 5 ft long; for longer ones it is 5 ft 6 in.
	ArrowLimit measure.Length
	// Hold is after how long at a draw the hold clock rings.
	Hold time.Duration
	Card Card
}

// Every says that every bow is shown and typed in the shop's unit of length, or of force, where that is the
// usual one. Any other is the unit of every bow without being said, for it was chosen.
type Every struct {
	Length bool `json:"length"`
	Force  bool `json:"force"`
}

// ShownUnits are the units in which every bow is shown and typed; "" for that of each bow's record.
func (s Settings) ShownUnits() (units measure.Units) {
	usual := measure.Imperial()
	if s.Every.Length || s.Units.Length != usual.Length {
		units.Length = s.Units.Length
	}
	if s.Every.Force || s.Units.Force != usual.Force {
		units.Force = s.Units.Force
	}
	return units
}

// Screen is what a shop's screens are held to. What a terminal cannot do is left out without being asked.
type Screen struct {
	Letters Letters `json:"letters"`
	Colours Colours `json:"colours"`
}

// Letters are the characters that a screen is drawn with.
type Letters string

// The letters that settings may name.
const (
	LettersAsTerminal Letters = "as the terminal" // whatever its locale has
	LettersASCII      Letters = "ASCII"
)

// Colours are how many colours a screen uses.
type Colours string

// The colours that settings may name.
const (
	ColoursAsTerminal Colours = "as the terminal" // as many as it has
	Colours16         Colours = "16"
	ColoursNone       Colours = "none"
)

// Usual are the settings to begin with: common practice, without a source where none is named.
func Usual() Settings {
	return Settings{
		Units:  measure.Imperial(),
		Screen: Screen{LettersAsTerminal, ColoursAsTerminal},
		Stages: usualStages(),
		Mark:   Stamp{Text: "{weight} {force} @ {draw} {length} {number}", Round: RoundDown, Step: 1},
		Number: Numbering{Pattern: usualNumbering, Start: 1},
		// About a pound for finishing, about another in first use.
		Sanding: 1, Settling: 1,
		// A coach's manual (read; see testdata/reference). National rules have 27 in (from memory).
		ArrowLimit: 26,
		// Common practice: let down as soon as the scale is read.
		Hold: 5 * time.Second,
		Card: usualCard(),
	}
}
