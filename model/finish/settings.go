// Package finish follows a bow from the tiller tree to the customer, by a shop's own practice: the stages and
// what each waits for, drying times, the weight that finishing and first use take off, the stamp and the
// number.
//
// A shop's practice is its Settings. They start from common practice, which has no published source. The
// package knows no clock: callers pass in the time. Forces are pounds-force, lengths inches.
package finish

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
)

// Settings are a shop's own practice.
type Settings struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	// Units are those of new bows, of lists and of the settings. A bow's record keeps its own.
	Units      measure.Units `json:"units"`
	Every      Every         `json:"every_bow,omitzero"`
	Dates      date.Order    `json:"dates"` // or DatesAsTerminal
	Screen     Screen        `json:"screen"`
	Stages     []Stage       `json:"stages"`
	Mark       stamp         `json:"mark"`
	Number     numbering     `json:"number"`
	Allowances takings       `json:"allowances"`
	Tree       Tree          `json:"tree"`
	Photo      Photo         `json:"photo"`
	Card       Card          `json:"card"`
	// Longbow is from older documents and ignored.
	Longbow json.RawMessage `json:"longbow,omitempty"`
}

// Tree is how bows are drawn and read; see [model.Rig]. New bows are described so.
type Tree struct {
	Hold    float64       `json:"hold_seconds"`
	Rest    float64       `json:"heat_rest_hours"` // after heat, before it is read
	ScaleAt model.ScaleAt `json:"scale_at"`
	High    percent       `json:"reads_high"` // 0 where nobody weighed both ways
	// Tare and Hook are typed, with their units.
	Tare   string       `json:"tare"`
	Hook   string       `json:"hook_off"`
	Cradle string       `json:"cradle"`
	Line   model.LineOn `json:"line"`
}

// Rig is the tree as a bow's description has it, with what is usual left out.
func (t Tree) Rig() (rig model.Rig) {
	rig.High = t.High.Share()
	rig.Tare, _ = measure.ParseForce(t.Tare, measure.PoundForce)
	rig.Hook, _ = measure.ParseLength(t.Hook, measure.Inch)
	if t.ScaleAt == model.OnRope {
		rig.ScaleAt = t.ScaleAt
	}
	if t.Line == model.OnBow {
		rig.Line = t.Line
	}
	return rig
}

// Rocking is the cradle of a bow that can tilt; "" of one that is clamped.
func (t Tree) Rocking() string {
	if t.Cradle == rocking {
		return t.Cradle
	}
	return ""
}

const rocking = "rocking"

// Every says whether the shop's unit of length or force replaces each bow's own. Inches and pounds are the
// default and replace nothing unless Every says so; any other unit was chosen, and always does.
type Every struct {
	Length bool `json:"length"`
	Force  bool `json:"force"`
}

// DatesAsTerminal stands for the order of dates in the terminal's language.
const DatesAsTerminal date.Order = "as the terminal"

// Screen limits what screens use; a terminal that can do less still gets less.
type Screen struct {
	Letters string `json:"letters"`
	Colours string `json:"colours"`
	Picture string `json:"picture"` // that the bench opens with
}

// What settings may name beside "as the terminal".
const (
	LettersASCII = "ASCII"
	Colours16    = "16"
	ColoursLight = "light"
	ColoursDark  = "dark"
	ColoursNone  = "none"
	// The bench's pictures.
	PictureEvenness = "evenness"
	PictureShape    = "shape"
)

// percent is a share in hundredths.
type percent float64

// Share is the percentage as a fraction.
func (p percent) Share() float64 { return float64(p) / 100 }

// takings is what finishing and first use take of the weight until the shop's own bows tell.
type takings struct {
	Sanding  percent `json:"finishing"`
	Settling percent `json:"first_use"`
	// In older documents these were weights, in the document's unit.
	OldSanding  *float64 `json:"sanding,omitempty"`
	OldSettling *float64 `json:"settling,omitempty"`
}

// usualWeight is the bow of which the weights in older documents are taken as shares.
const usualWeight measure.Force = 40

// inShares takes weights of an older document for shares of a usual bow.
func (t takings) inShares(unit measure.ForceUnit) takings {
	for old, share := range map[*float64]*percent{t.OldSanding: &t.Sanding, t.OldSettling: &t.Settling} {
		if old != nil {
			*share = percent(100 * unit.Force(*old) / usualWeight)
		}
	}
	t.OldSanding, t.OldSettling = nil, nil
	return t
}

// Card is the wording of the card that goes with a bow. A line with a place that can't be filled is left out.
type Card struct {
	Maker   string   `json:"maker"`   // the maker's mark or name
	Contact string   `json:"contact"` // where the maker is found
	Facts   []string `json:"facts"`   // what this bow is
	Care    []string `json:"care"`    // how it is kept and shot
}

// HeatRest is how long a bow rests after heat before it is read.
func (s Settings) HeatRest() time.Duration { return time.Duration(s.Tree.Rest * float64(time.Hour)) }

// Hold is how long a bow may stand drawn before the hold clock rings.
func (s Settings) Hold() time.Duration {
	hold, _ := measure.Seconds(s.Tree.Hold)
	return hold
}

// ShownUnits are the units in which every bow is shown and typed; "" leaves each bow to its own.
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

// usualDocument is common practice, without a source: finishing takes 2 to 3 %, first use as much; nocks
// go on before the last tillering, since the last foot of each limb stays stiff until then; at least two
// coats, a day apart; let down as soon as the scale is read.
//
//go:embed usual.json
var usualDocument []byte

// Usual returns the settings that a new shop starts with.
func Usual() (s Settings) {
	_ = json.Unmarshal(usualDocument, &s) // part of the program, and tested
	return s
}

// What stands at the head of a shop's settings.
const (
	ourFormat  = "bendbook/shop"
	ourVersion = 1
)

// mostBytes is the longest document that is read.
const mostBytes = 1 << 20

// Document writes the settings as JSON.
func (s Settings) Document() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(s); err != nil {
		return nil, fmt.Errorf("writing the settings: %w", err)
	}
	return b.Bytes(), nil
}

// Parse reads settings from their document; what is left out is as usual. The error is a *model.FieldError.
func Parse(doc []byte) (Settings, error) {
	if len(doc) > mostBytes {
		return Settings{}, model.Fault("", "it is too long for a shop's settings")
	}
	s := Usual()
	stages := s.Stages
	// Without nil here, fields that a stage leaves out would be those of the usual stage in its place.
	s.Format, s.Version, s.Stages = "", 0, nil
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return Settings{}, model.JSONFault(err, "the settings that bendbook settings prints")
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Settings{}, model.Fault("", "something follows the settings: leave one JSON object in the file")
	}
	if err := cmp.Or(s.checkHead(), model.CheckUnits(s.Units)); err != nil {
		return Settings{}, err
	}
	s.Allowances, s.Longbow = s.Allowances.inShares(s.Units.Force), nil
	if s.Stages == nil {
		s.Stages = stages
	}
	for i := range s.Stages {
		s.Stages[i].Name = strings.TrimSpace(s.Stages[i].Name)
	}
	return s, s.Check()
}

func (s Settings) checkHead() error {
	switch {
	case s.Format != ourFormat:
		return model.Fault("format", "%.40q isn't a shop's settings: write %q", s.Format, ourFormat)
	case s.Version != ourVersion:
		return model.Fault("version", "%d isn't known here: write %d", s.Version, ourVersion)
	}
	return nil
}
