package finish

import (
	_ "embed"
	"encoding/json"
	"time"

	"bendbook/model/date"
	"bendbook/model/measure"
)

// Settings are a shop's own practice, as their document has it.
type Settings struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	// Units are those of new bows, of lists in which bows stand side by side, and of the settings themselves.
	// A bow's record keeps its own.
	Units      measure.Units `json:"units"`
	Every      Every         `json:"every_bow,omitzero"`
	Dates      date.Order    `json:"dates"` // or DatesAsTerminal
	Screen     Screen        `json:"screen"`
	Stages     []Stage       `json:"stages"`
	Mark       Stamp         `json:"mark"`
	Number     Numbering     `json:"number"`
	Allowances Taken         `json:"allowances"`
	Tree       struct {
		Hold float64 `json:"hold_seconds"`
	} `json:"tree"`
	Card Card `json:"card"`
	// Longbow is read where an older document has it, and says nothing.
	Longbow *struct {
		ArrowLimit float64 `json:"arrow_limit"`
	} `json:"longbow,omitempty"`
}

// Every says that every bow is shown and typed in the shop's unit of length, or of force, where that is the
// usual one. Any other is the unit of every bow without being said, for it was chosen.
type Every struct {
	Length bool `json:"length"`
	Force  bool `json:"force"`
}

// DatesAsTerminal stands for the order of dates in the terminal's language.
const DatesAsTerminal date.Order = "as the terminal"

// Screen is what a shop's screens are held to. What a terminal cannot do is left out without being asked.
type Screen struct {
	Letters Letters `json:"letters"`
	Colours Colours `json:"colours"`
}

// Letters are the characters that a screen is drawn with.
type Letters string

// Colours are how many colours a screen uses.
type Colours string

// The letters and colours that settings may name.
const (
	LettersAsTerminal Letters = "as the terminal" // whatever its locale has
	LettersASCII      Letters = "ASCII"

	ColoursAsTerminal Colours = "as the terminal" // as many as it has
	Colours16         Colours = "16"
	ColoursNone       Colours = "none"
)

// Taken is what finishing and first use take off the weight until the shop's bows tell.
type Taken struct {
	Sanding  measure.Force `json:"sanding"`
	Settling measure.Force `json:"settling"`
}

// times gives pounds as numbers of another unit, as the document has them, and back.
func (t Taken) times(factor float64) Taken {
	return Taken{t.Sanding * measure.Force(factor), t.Settling * measure.Force(factor)}
}

// Card is the wording of the card that goes with a bow. Lines whose places cannot be filled are left out.
type Card struct {
	Maker string   `json:"maker"` // the maker's mark or name
	Facts []string `json:"facts"` // what this bow is
	Care  []string `json:"care"`  // how it is kept and shot
}

// Hold is after how long at a draw the hold clock rings.
func (s Settings) Hold() time.Duration {
	hold, _ := measure.Seconds(s.Tree.Hold)
	return hold
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

// usualDocument is common practice, without a source: about a pound for finishing, about another in first
// use; the nocks before the last tillering, since the last foot of each limb is left stiff until they are on;
// at least two coats, with a day's drying after each; let down as soon as the scale is read.
//
//go:embed usual.json
var usualDocument []byte

// Usual are the settings to begin with.
func Usual() (s Settings) {
	_ = json.Unmarshal(usualDocument, &s) // it is part of the program, and tested
	return s
}
