package form

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
)

// Question is one field of a sheet.
type Question struct {
	Name  string              // in drafts
	Label string              // what is read or said: "peak", "6 in"
	Group string              // heading that it stands under, the same for neighbours: "upper limb"
	Hint  string              // what would be accepted, in a few words; {28in} in a table is an example
	Unit  string              // unit of a bare number; "" for none
	must  bool                // may not be left out
	needs func(s *Sheet) bool // that it may not, by the other answers; nil for never
	// atOnce says that a doubt is settled before the next question: all that follows hangs on this answer.
	atOnce bool
	// Preset is taken by Enter alone; "" leaves the question out.
	Preset string
	// Choices are what may be answered, each by its start, or its place in the list from 1; nil for free
	// answers. The answer is the English word.
	Choices []string
	seldom  bool // only a line or a correction asks for it
	free    bool // an answer may also be none of these; a line gives it by the field's name alone

	path  string     // of the value, as a model.FieldError names it; "" is Name
	long  bool       // a text of any length, kept to the letter
	most  float64    // of a percentage; 0 for another number
	below string     // what is wrong with a reading below 0; "" takes it
	side  model.Side // of the station it asks for
	place int        // of that on the limb

	otherwise func(s *Sheet) string    // what leaving it out means; nil for no more than that
	hear      func(text string) string // how a text that is no measure is understood; nil as it stands

	pictured bool // a picture shows it

	measures quantity // what it asks for, where its unit does not say that

	hint  func(s *Sheet) string                 // Hint by the other answers; nil for always the same
	was   func(s *Sheet) string                 // what it was last time; nil for nothing
	check func(s *Sheet, text string) error     // nil accepts any text
	doubt func(s *Sheet, text string) string    // of a text that check took; "" for none
	where func(s *Sheet) (estimate.Where, bool) // the reading it asks for; nil for none that can be predicted
	say   func(v float64) string                // that reading as it is typed
}

func (q Question) sayFigure(f estimate.Figure) string {
	return fmt.Sprintf("%s (%s to %s)", q.say(f.Estimate), q.say(f.Low), q.say(f.High))
}

func (q Question) Foretold() bool { return q.where != nil }

func (q Question) quantity() quantity {
	switch q.Unit {
	case string(measure.Inch), string(measure.Centimetre), string(measure.Millimetre):
		return max(q.measures, aLength)
	case measure.PoundForce.Symbol(), measure.KilogramForce.Symbol(), measure.Newton.Symbol():
		return aForce
	}
	return q.measures
}

func (q Question) takesText() bool {
	return q.Unit == "" && q.Choices == nil && q.measures == noQuantity
}

// limb names the limb that the question is about; "" for none.
func (q Question) limb() string {
	for _, side := range sideNames() {
		if strings.HasPrefix(q.Group, side) {
			return side
		}
	}
	return ""
}

// named is the question as a message names it: "peak", "upper limb, 8 in".
func (q Question) named() string {
	if q.limb() == "" {
		return q.Label
	}
	return q.Group + ", " + q.Label
}

func (q Question) wants() string {
	if q.Choices != nil {
		return "choose " + strings.Join(q.Choices, " or ")
	}
	hint, _, _ := strings.Cut(q.Hint, ";")
	return hint
}

func sideNames() []string { return []string{model.Upper.String(), model.Lower.String()} }

// choose finds the choice that text means: its place from 1, itself, or its unambiguous start.
func choose(choices []string, text string) (choice string, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	starts := 0
	for i, c := range choices {
		if text == fmt.Sprint(i+1) || text == strings.ToLower(c) {
			return c, true
		}
		if begins(c, text) {
			choice = c
			starts++
		}
	}
	if starts != 1 {
		return "", false
	}
	return choice, true
}

// expected lists the choices that text begins where there are several, else all.
func expected(choices []string, text string) string {
	var could []string
	for i, c := range choices {
		if begins(c, strings.ToLower(strings.TrimSpace(text))) {
			could = append(could, fmt.Sprintf("%d %s", i+1, c))
		}
	}
	if len(could) > 1 {
		return fmt.Sprintf("it could be %s", strings.Join(could, ", "))
	}
	return fmt.Sprintf("choose %s", list(1, choices))
}

func list(first int, choices []string) string {
	numbered := make([]string, len(choices))
	for i, c := range choices {
		numbered[i] = fmt.Sprintf("%d %s", first+i, c)
	}
	return strings.Join(numbered, ", ")
}

func begins(choice, text string) bool { return strings.HasPrefix(strings.ToLower(choice), text) }

// IsAnother says whether what is typed at a confirmed answer begins another measure or count, not more of it.
func (q Question) IsAnother(typed string) bool {
	one := q.quantity() != noQuantity && q.measures != aRow
	return one && strings.IndexAny(typed, "0123456789=+-") == 0
}

// BeginsAnew says whether more typed behind text begins another answer: text is a whole choice, and no choice
// begins with both.
func (q Question) BeginsAnew(text, more string) bool {
	text, more = strings.ToLower(text), strings.ToLower(more)
	whole := false
	for _, c := range q.Choices {
		if begins(c, text+more) {
			return false
		}
		c = strings.ToLower(c)
		whole = whole || text == c || q.free && strings.HasPrefix(text, c+" ")
	}
	return whole
}
