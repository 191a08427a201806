package finish

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/plain"
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
)

// LongestRest is the longest that a bow may have to lie after a stage.
const LongestRest = 366 * 24 * time.Hour

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
	return fmt.Sprintf("expected seconds from %g to %g: longer at a draw sets the wood, and shorter no scale is read", shortestHold.Seconds(), longestHold.Seconds())
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
		case stage.Seen != "" && !slices.Contains(signs, stage.Seen):
			return wrong(at+".seen", "%.40q is no sign; expected one of %s, or none", string(stage.Seen), strings.Join(SignNames(), ", "))
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

func wrong(field string, format string, args ...any) error {
	return &model.FieldError{Field: field, Want: fmt.Sprintf(format, args...)}
}
