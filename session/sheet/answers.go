package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// length reads a length of the bow's units and judges it.
func length(bow model.Bow, within func(measure.Length) error) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		l, err := measure.ParseLength(text, bow.Units.Length)
		if err != nil {
			return err
		}
		return within(l)
	}
}

// weight reads a force of the bow's units and judges it.
func weight(bow model.Bow, within func(measure.Force) error) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		f, err := measure.ParseForce(text, bow.Units.Force)
		if err != nil {
			return err
		}
		return within(f)
	}
}

// count reads a whole number from least on.
func count(least, most int) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return fmt.Errorf("%q is no count; expected a whole number from %d to %d", text, least, most)
		}
		return nil
	}
}

func shortText(_ *Sheet, text string) error {
	if const400 := 400; len(text) > const400 {
		return fmt.Errorf("that is longer than %d letters", const400)
	}
	return nil
}

// lengthOf is the length that question name was answered with; unread where it was left out or is none.
func (s *Sheet) lengthOf(bow model.Bow, name string) measure.Optional[measure.Length] {
	if text := s.answer(name); text != "" {
		if l, err := measure.ParseLength(text, bow.Units.Length); err == nil {
			return measure.Some(l)
		}
	}
	return measure.Optional[measure.Length]{}
}

// weightOf is the force that question name was answered with; unread where it was left out or is none.
func (s *Sheet) weightOf(bow model.Bow, name string) measure.Optional[measure.Force] {
	if text := s.answer(name); text != "" {
		if f, err := measure.ParseForce(text, bow.Units.Force); err == nil {
			return measure.Some(f)
		}
	}
	return measure.Optional[measure.Force]{}
}

// countOf is the number that question name was answered with; unread where it was left out or is none.
func (s *Sheet) countOf(name string) measure.Optional[int] {
	if n, err := strconv.Atoi(s.answer(name)); err == nil {
		return measure.Some(n)
	}
	return measure.Optional[int]{}
}

// sideOf is the limb that question "limb" was answered with.
func (s *Sheet) sideOf() (side model.Side, ok bool) {
	choice, ok := choose(sideNames(), s.answer("limb"))
	if ok && choice == model.Lower.String() {
		return model.Lower, true
	}
	return model.Upper, ok
}

func sideNames() []string { return []string{model.Upper.String(), model.Lower.String()} }

// parseStations reads "6, 8, 12" or "6 8 12 1/2" or "every 4": places on a limb of the given length.
func parseStations(text string, unit measure.LengthUnit, limb measure.Length) ([]measure.Length, error) {
	if step, isEvery := strings.CutPrefix(strings.ToLower(strings.TrimSpace(text)), "every "); isEvery {
		every, err := measure.ParseLength(step, unit)
		if err != nil {
			return nil, err
		}
		if every < limb/100 {
			return nil, fmt.Errorf("a station every %s is too many", strings.TrimSpace(step))
		}
		var stations []measure.Length
		for at := every; at <= limb; at += every {
			stations = append(stations, at)
		}
		return stations, nil
	}
	var stations []measure.Length
	for _, word := range stationWords(text) {
		at, err := measure.ParseLength(word, unit)
		if err != nil {
			return nil, err
		}
		if n := len(stations); at <= 0 || (n > 0 && at <= stations[n-1]) {
			return nil, fmt.Errorf("stations go outwards from the handle; %s does not", word)
		}
		stations = append(stations, at)
	}
	if len(stations) == 0 {
		return nil, fmt.Errorf("expected places like 6, 8, 12 or every 4")
	}
	return stations, nil
}

// stationWords parts a list at its commas, or at its blanks where it has none; a fraction stays with its whole number.
func stationWords(text string) []string {
	if strings.ContainsAny(text, ",;") {
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	}
	var words []string
	for _, word := range strings.Fields(text) {
		if n := len(words); strings.Contains(word, "/") && !strings.Contains(word, "-") && n > 0 {
			words[n-1] += " " + word
			continue
		}
		words = append(words, word)
	}
	return words
}
