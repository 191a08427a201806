package finish

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/say"
)

// Format and Version stand at the head of a shop's settings.
const (
	Format  = "bendbook/shop"
	Version = 1
)

// The JSON shape of the settings, in the order in which it is written.
type (
	settingsDoc struct {
		Format     string        `json:"format"`
		Version    int           `json:"version"`
		Units      measure.Units `json:"units"`
		Every      Every         `json:"every_bow,omitzero"`
		Dates      string        `json:"dates"`
		Screen     screenDoc     `json:"screen"`
		Stages     []stageDoc    `json:"stages"`
		Mark       markDoc       `json:"mark"`
		Number     numberDoc     `json:"number"`
		Allowances allowancesDoc `json:"allowances"`
		Longbow    longbowDoc    `json:"longbow"`
		Tree       treeDoc       `json:"tree"`
		Card       cardDoc       `json:"card"`
	}
	screenDoc struct {
		Letters Letters `json:"letters"`
		Colours Colours `json:"colours"`
	}
	stageDoc struct {
		Name  string  `json:"name"`
		Seen  Sign    `json:"seen,omitempty"`
		Must  bool    `json:"must,omitempty"`
		Wood  bool    `json:"takes_wood,omitempty"`
		Coats int     `json:"coats,omitempty"`
		Grits []int   `json:"grits,omitempty"`
		Rest  float64 `json:"rest_hours,omitempty"`
	}
	markDoc struct {
		Text  string   `json:"text"`
		Round Rounding `json:"round"`
		Step  float64  `json:"to"`
	}
	numberDoc struct {
		Pattern string `json:"pattern"`
		Start   int    `json:"start"`
		Alone   bool   `json:"alone"`
	}
	allowancesDoc struct {
		Sanding  float64 `json:"sanding"`
		Settling float64 `json:"settling"`
	}
	longbowDoc struct {
		ArrowLimit float64 `json:"arrow_limit"`
	}
	treeDoc struct {
		Hold float64 `json:"hold_seconds"`
	}
	cardDoc struct {
		Maker string   `json:"maker"`
		Facts []string `json:"facts"`
		Care  []string `json:"care"`
	}
)

// The bounds keep out slips of the hand; none of them is a rule of the trade.
const (
	mostStages    = 60
	mostCoats     = 40
	mostGrits     = 20
	mostLines     = 60  // of the card
	longestLine   = 400 // letters
	longestMark   = 200
	heaviestTaken = 20 // lbf
	shortestHold  = time.Second
	longestHold   = 30 * time.Second
	mostBytes     = 1 << 20
)

// LongestRest is the longest that a bow may have to lie after a stage.
const LongestRest = 366 * 24 * time.Hour

// Parse reads settings from their document. A part that is missing is as usual. The error is a *model.FieldError that names the
// field and what was expected.
func Parse(doc []byte) (Settings, error) {
	if len(doc) > mostBytes {
		return Settings{}, &model.FieldError{Want: say.It("it is too long for a shop's settings")}
	}
	d := document(usualIn(doc))
	d.Format, d.Version = "", 0
	// A list that is given stands in the place of the usual one, never into it.
	usual := d
	d.Stages, d.Card.Facts, d.Card.Care = nil, nil, nil
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return Settings{}, unread(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Settings{}, &model.FieldError{Want: say.It("something stands behind the settings; expected one JSON object")}
	}
	switch {
	case d.Format != Format:
		return Settings{}, &model.FieldError{Field: "format", Want: say.F("%.40q is no shop's settings; expected %q", d.Format, Format)}
	case d.Version != Version:
		return Settings{}, &model.FieldError{Field: "version", Want: say.F("%d is not known here; expected %d", d.Version, Version)}
	}
	if d.Stages == nil {
		d.Stages = usual.Stages
	}
	if d.Card.Facts == nil {
		d.Card.Facts = usual.Card.Facts
	}
	if d.Card.Care == nil {
		d.Card.Care = usual.Card.Care
	}
	s, err := d.settings()
	if err != nil {
		return Settings{}, err
	}
	return s, s.Check()
}

// usualIn are the usual settings in the units that a document names, so that what it leaves out weighs as much as ever.
func usualIn(doc []byte) Settings {
	usual := Usual()
	head := struct {
		Units measure.Units `json:"units"`
	}{usual.Units}
	// What cannot be read is told when all is.
	if err := json.Unmarshal(doc, &head); err == nil && head.Units.Check() == nil {
		usual.Units = head.Units
	}
	return usual
}

// unread is an error of the decoder in the words of a FieldError.
func unread(err error) error {
	var mismatch *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &mismatch):
		return &model.FieldError{Field: mismatch.Field, Want: say.F("there is a %s; expected %s", mismatch.Value, kindOf(mismatch.Type.Kind().String()))}
	case errors.As(err, &syntax):
		return &model.FieldError{Want: say.F("it is no JSON at byte %d (%v); expected a shop's settings", syntax.Offset, err)}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return &model.FieldError{Want: say.It("it ends early; expected a shop's settings, a JSON object")}
	}
	if name, found := strings.CutPrefix(err.Error(), "json: unknown field "); found {
		return &model.FieldError{Field: strings.Trim(name, `"`), Want: say.It("there is no such setting; bendbook settings prints those that there are")}
	}
	return &model.FieldError{Want: err.Error()}
}

func kindOf(kind string) string {
	switch kind {
	case "string":
		return "text"
	case "bool":
		return say.It("true or false")
	case "slice":
		return "a list"
	case "struct":
		return say.It("an object")
	}
	return "a number"
}

func (d settingsDoc) settings() (Settings, error) {
	if err := model.CheckUnits(d.Units); err != nil {
		return Settings{}, err
	}
	s := Settings{
		Units: d.Units, Every: d.Every, Dates: datesOf(d.Dates), Screen: Screen(d.Screen),
		Mark:     Stamp{Text: d.Mark.Text, Round: d.Mark.Round, Step: d.Mark.Step},
		Number:   Numbering{Pattern: d.Number.Pattern, Start: d.Number.Start, Alone: d.Number.Alone},
		Sanding:  d.Units.Force.Force(d.Allowances.Sanding),
		Settling: d.Units.Force.Force(d.Allowances.Settling), ArrowLimit: d.Units.Length.Length(d.Longbow.ArrowLimit),
		Card: Card{Maker: d.Card.Maker, Facts: d.Card.Facts, Care: d.Card.Care},
	}
	hold, ok := measure.Seconds(d.Tree.Hold)
	if !ok {
		return s, wrong("tree.hold_seconds", "%s", holdWanted())
	}
	s.Hold = hold
	for i, stage := range d.Stages {
		if !(stage.Rest >= 0 && stage.Rest <= LongestRest.Hours()) {
			return s, wrong(fmt.Sprintf("stages[%d].rest_hours", i), "expected hours from 0 to %g", LongestRest.Hours())
		}
		s.Stages = append(s.Stages, Stage{
			Name: strings.TrimSpace(stage.Name), Seen: stage.Seen, Must: stage.Must, Wood: stage.Wood, Coats: stage.Coats, Grits: stage.Grits,
			Rest: time.Duration(stage.Rest * float64(time.Hour)),
		})
	}
	return s, nil
}

// datesAsTerminal stands in the document where the terminal's language decides.
const datesAsTerminal = "as the terminal"

func datesOf(text string) date.Order {
	if text == datesAsTerminal {
		return ""
	}
	return date.Order(text)
}

// Document is the settings as they are read and changed, lengths and forces in the shop's units.
func (s Settings) Document() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(document(s)); err != nil {
		return nil, say.Errorf("writing the settings: %w", err)
	}
	return b.Bytes(), nil
}

func document(s Settings) settingsDoc {
	units := s.Units
	d := settingsDoc{
		Format: Format, Version: Version, Units: units, Every: s.Every, Dates: cmp.Or(string(s.Dates), datesAsTerminal), Screen: screenDoc(s.Screen),
		Mark:       markDoc{s.Mark.Text, s.Mark.Round, s.Mark.Step},
		Number:     numberDoc{s.Number.Pattern, s.Number.Start, s.Number.Alone},
		Allowances: allowancesDoc{s.Sanding.In(units.Force), s.Settling.In(units.Force)},
		Longbow:    longbowDoc{s.ArrowLimit.In(units.Length)},
		Tree:       treeDoc{s.Hold.Seconds()},
		Card:       cardDoc{s.Card.Maker, s.Card.Facts, s.Card.Care},
	}
	for _, stage := range s.Stages {
		d.Stages = append(d.Stages, stageDoc{
			Name: stage.Name, Seen: stage.Seen, Must: stage.Must, Wood: stage.Wood, Coats: stage.Coats, Grits: stage.Grits, Rest: stage.Rest.Hours(),
		})
	}
	return d
}

// Check says whether a shop can work by the settings. The error is a *model.FieldError.
func (s Settings) Check() error {
	if err := model.CheckUnits(s.Units); err != nil {
		return err
	}
	switch s.Dates {
	case "", date.ISO, date.DayFirst, date.MonthFirst:
	default:
		return wrong("dates", "expected %s, %s, %s or %s", datesAsTerminal, date.DayFirst, date.MonthFirst, date.ISO)
	}
	switch s.Screen.Letters {
	case LettersAsTerminal, LettersASCII:
	default:
		return wrong("screen.letters", "expected %s or %s", LettersAsTerminal, LettersASCII)
	}
	switch s.Screen.Colours {
	case ColoursAsTerminal, Colours16, ColoursNone:
	default:
		return wrong("screen.colours", "expected %s, %s or %s", ColoursAsTerminal, Colours16, ColoursNone)
	}
	if err := s.checkStages(); err != nil {
		return err
	}
	switch s.Mark.Round {
	case RoundDown, RoundNearest, RoundUp:
	default:
		return wrong("mark.round", "expected down, nearest or up")
	}
	if !(s.Mark.Step >= 0.01 && s.Mark.Step <= 20) {
		return wrong("mark.to", "expected the step that the weight is rounded to, from 0.01 to 20 of the bow's unit")
	}
	if err := checkLine("mark.text", s.Mark.Text, longestMark); err != nil {
		return err
	}
	if !strings.Contains(s.Mark.Text, "{weight}") || !strings.Contains(s.Mark.Text, "{draw}") {
		return wrong("mark.text", "expected {weight} and {draw} in it: a weight says nothing without its draw")
	}
	for _, place := range placeholder.FindAllString(s.Mark.Text, -1) {
		switch place {
		case "{weight}", "{force}", "{draw}", "{length}", "{number}":
		default:
			return wrong("mark.text", "%.40s is not known; expected {weight}, {force}, {draw}, {length} or {number}", place)
		}
	}
	if err := s.Number.Check(); err != nil {
		return wrong("number", "%v", err)
	}
	for field, taken := range map[string]measure.Force{"allowances.sanding": s.Sanding, "allowances.settling": s.Settling} {
		if !(taken >= 0 && taken <= heaviestTaken) {
			return wrong(field, "expected a weight from 0 to %d lb", heaviestTaken)
		}
	}
	if !(s.ArrowLimit > 0 && s.ArrowLimit <= 60) {
		return wrong("longbow.arrow_limit", "expected an arrow's length, 60 in at most")
	}
	if s.Hold < shortestHold || s.Hold > longestHold {
		return wrong("tree.hold_seconds", "%s", holdWanted())
	}
	return s.Card.check()
}

// holdWanted is what is expected of the hold clock, and why.
func holdWanted() string {
	return say.F("expected seconds from %g to %g: longer at a draw sets the wood, and shorter no scale is read", shortestHold.Seconds(), longestHold.Seconds())
}

func (s Settings) checkStages() error {
	if len(s.Stages) == 0 || len(s.Stages) > mostStages {
		return wrong("stages", "expected from 1 to %d stages", mostStages)
	}
	names, seen := map[string]bool{}, map[Sign]bool{}
	away := false
	for i, stage := range s.Stages {
		at := fmt.Sprintf("stages[%d]", i)
		if err := checkLine(at+".name", stage.Name, 40); err != nil {
			return err
		}
		name := strings.ToLower(stage.Name)
		switch {
		case name == "":
			return wrong(at+".name", "missing; expected the stage's name")
		case names[name]:
			return wrong(at+".name", "%q stands twice", stage.Name)
		case stage.Seen != "" && !known(stage.Seen):
			return wrong(at+".seen", "%.40q is no sign; expected one of %s, or none", string(stage.Seen), signList())
		case stage.Seen != "" && seen[stage.Seen]:
			return wrong(at+".seen", "%q stands twice", string(stage.Seen))
		case away && !stage.afterwards():
			return wrong(at, "it stands after the handing over, but belongs before it")
		case stage.Coats < 0 || stage.Coats > mostCoats:
			return wrong(at+".coats", "expected a number of coats, %d at most", mostCoats)
		case stage.Coats > 0 && len(stage.Grits) > 0:
			return wrong(at, "a stage has coats or grits, not both")
		case len(stage.Grits) > mostGrits:
			return wrong(at+".grits", "expected %d grits at most", mostGrits)
		}
		for k, grit := range stage.Grits {
			if grit < 1 || grit > 10_000 || k > 0 && grit <= stage.Grits[k-1] {
				return wrong(fmt.Sprintf("%s.grits[%d]", at, k), "expected grits from coarse to fine, as 80, 120, 240")
			}
		}
		names[name], seen[stage.Seen] = true, stage.Seen != ""
		away = away || stage.Seen == SignAway
	}
	if !away {
		return wrong("stages", `expected one with "seen": "handed over": by it a bow leaves the shop`)
	}
	return nil
}

func known(sign Sign) bool {
	for _, s := range signs {
		if s == sign {
			return true
		}
	}
	return false
}

func signList() string {
	names := make([]string, len(signs))
	for i, sign := range signs {
		names[i] = string(sign)
	}
	return strings.Join(names, ", ")
}

func (c Card) check() error {
	if err := checkLine("card.maker", c.Maker, longestLine); err != nil {
		return err
	}
	for name, lines := range map[string][]string{"card.facts": c.Facts, "card.care": c.Care} {
		if len(lines) > mostLines {
			return wrong(name, "expected %d lines at most", mostLines)
		}
		for i, line := range lines {
			if err := checkLine(fmt.Sprintf("%s[%d]", name, i), line, longestLine); err != nil {
				return err
			}
		}
	}
	return nil
}

func checkLine(field, text string, most int) error {
	if len(text) > most {
		return wrong(field, "it is longer than %d bytes", most)
	}
	if text != plain.Line(text) {
		return wrong(field, "expected a line of plain letters")
	}
	return nil
}

func wrong(field string, format say.Word, args ...any) error {
	return &model.FieldError{Field: field, Want: say.F(format, args...)}
}
