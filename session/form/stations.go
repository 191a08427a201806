package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func (d description) stationsField() field[model.Bow] {
	return field[model.Bow]{
		Question: Question{
			Name: "stations", Label: "stations", Group: "limbs", measures: aRow,
			Hint: fmt.Sprintf("where both limbs are read, from the handle out: %s",
				exampleStations(d.was.Units.Length)),
			check: func(s *Sheet, text string) error {
				if text == s.filled["stations"] {
					return nil
				}
				return d.checkStations(text, d.table().made(s, s.answer).Limbs[model.Upper].Length)
			},
		},
		path: "stations", print: func(_, bow model.Bow) string { return stationList(bow) },
		// They follow the limbs' lengths, so description.table sets them when it has those.
		set: func(model.Bow, *model.Bow, string) error { return nil },
	}
}

// withStations is the bow with the stations that text names, or with what is left of its own on a limb that
// was cut shorter; filled is what text was to begin with. What was measured at a station moves with it.
func (d description) withStations(b model.Bow, text, filled string) model.Bow {
	unit, upper := d.was.Units.Length, b.Limbs[model.Upper].Length
	isNew := d.was.Limbs[model.Upper].Length == 0
	if d.read {
		return b
	}
	var named []measure.Length // nil where the bow's own stay
	switch {
	case text == "" && (isNew || filled != ""):
		named = usualStations(unit)
	case text != filled:
		// What cannot be is refused where it is answered; here the other answers are wanted.
		named, _ = parseStations(text, d.was, upper)
	}
	for _, side := range model.Sides {
		limb, was := b.Limbs[side], d.was.Limbs[side]
		switch {
		case named != nil:
			limb.Stations = within(named, limb.Length)
		case limb.Length < was.Length:
			limb.Stations = within(was.Stations, limb.Length)
		default:
			continue
		}
		limb.Widths, limb.Depths = moved(limb.Widths, was.Stations, limb.Stations),
			moved(limb.Depths, was.Stations, limb.Stations)
		b.Limbs[side] = limb
	}
	return b
}

// moved is a row of measures at stations as it stands at others.
func moved(row []maybeLength, from, to []measure.Length) []maybeLength {
	if len(row) == 0 {
		return row
	}
	out := make([]maybeLength, len(to))
	for i, at := range to {
		for j, v := range row {
			if session.SameStation(at, from[j]) {
				out[i] = v
			}
		}
	}
	return out
}

func (d description) checkStations(text string, upper measure.Length) error {
	if text == "" {
		if d.read {
			return d.stay()
		}
		return nil
	}
	stations, err := parseStations(text, d.was, upper)
	if err != nil {
		return err
	}
	if last := stations[len(stations)-1]; upper > 0 && last > upper {
		return fmt.Errorf("%s lies beyond the upper limb's %s", d.was.Ruler().Print(last),
			d.was.Ruler().WithUnit(upper))
	}
	if d.read && !slices.EqualFunc(stations, d.was.Limbs[model.Upper].Stations, session.SameStation) {
		return d.stay()
	}
	return nil
}

func (d description) stay() error {
	return fmt.Errorf("stations that were read stay where they are: %s", stationList(d.was))
}

// wasRead says whether any station was read, if only by an entry that is void now and may count again.
func wasRead(story session.Story) bool {
	return slices.ContainsFunc(story.Lines, func(line session.Line) bool {
		switch what := line.Entry.What.(type) {
		case model.Relaxed:
			return what.Readings.Any()
		case model.Braced:
			return what.Readings.Any()
		case model.Pull:
			return what.Readings.Any()
		}
		return false
	})
}

// parseStations reads "6, 8, 12" or "6 8 12 1/2" or "every 4": places on a limb of the given length, 0
// where that is not known yet. A bare number is in the bow's unit.
func parseStations(text string, bow model.Bow, limb measure.Length) ([]measure.Length, error) {
	if step, isEvery := everyStep(text); isEvery {
		return stationsEvery(step, bow, limb)
	}
	var stations []measure.Length
	for _, word := range stationWords(text) {
		at, err := bow.ParseLength(word)
		if err != nil {
			return nil, err
		}
		if n := len(stations); at <= 0 || (n > 0 && at <= stations[n-1]) {
			return nil, fmt.Errorf("stations go outwards from the handle; %s does not", strings.TrimSpace(word))
		}
		stations = append(stations, at)
	}
	switch n := len(stations); {
	case n == 0:
		return nil, fmt.Errorf("expected places like %s", exampleStations(bow.Units.Length))
	case n > model.MostStations:
		return nil, fmt.Errorf("%d stations are too many; expected %d at most", n, model.MostStations)
	}
	return stations, nil
}

// everyStep is the distance in a text like "every 4".
func everyStep(text string) (step string, isEvery bool) {
	step, isEvery = strings.CutPrefix(strings.ToLower(strings.TrimSpace(text)), "every ")
	return strings.TrimSpace(step), isEvery
}

func stationsEvery(step string, bow model.Bow, limb measure.Length) ([]measure.Length, error) {
	every, err := bow.ParseLength(step)
	switch {
	case err != nil:
		return nil, err
	case limb <= 0:
		return nil, errors.New("the upper limb's length comes first")
	case every <= 0 || every > limb:
		return nil, fmt.Errorf("expected a distance above 0, within the limb's %s",
			measure.Rule{Unit: bow.Units.Length}.WithUnit(limb))
	case every < limb/model.MostStations:
		return nil, fmt.Errorf("a station every %s is too many; expected %d at most", step, model.MostStations)
	}
	var stations []measure.Length
	for n := 1; n <= model.MostStations && every*measure.Length(n) <= limb; n++ {
		stations = append(stations, every*measure.Length(n))
	}
	return stations, nil
}

// stationWords parts a list at its commas, or at its blanks where it has none; a fraction stays with its
// whole number.
func stationWords(text string) []string {
	if strings.ContainsAny(text, ",;") {
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	}
	var words []string
	for _, word := range strings.Fields(text) {
		if n := len(words); n > 0 && isFraction(word) {
			words[n-1] += " " + word
			continue
		}
		words = append(words, word)
	}
	return words
}

// isFraction says whether a word is a fraction without its whole number: 1/2 or ½.
func isFraction(word string) bool {
	first, _ := utf8.DecodeRuneInString(word)
	return strings.ContainsRune("½¼¾⅛⅜⅝⅞", first) ||
		(strings.ContainsAny(word, "/⁄") && !strings.Contains(word, "-"))
}

// usualStations are the places where the difference between the limbs is looked for, 6, 8 and 12 in, and then
// every 4 in (common practice); in other units the same places in whole centimetres.
func usualStations(unit measure.LengthUnit) []measure.Length {
	stations := []measure.Length{6, 8, 12, 16, 20, 24, 28, 32, 36, 40}
	if unit != measure.Inch {
		for i, at := range stations {
			stations[i] = measure.Centimetre.Length(2.5 * float64(at))
		}
	}
	return stations
}

// within are the stations that lie on a limb of the given length.
func within(stations []measure.Length, limb measure.Length) []measure.Length {
	for len(stations) > 0 && stations[len(stations)-1] > limb {
		stations = stations[:len(stations)-1]
	}
	return stations
}

// stationList is the upper limb's stations as they are typed.
func stationList(bow model.Bow) string {
	places := make([]string, len(bow.Limbs[model.Upper].Stations))
	for i, at := range bow.Limbs[model.Upper].Stations {
		places[i] = bow.Ruler().Short(at)
	}
	return strings.Join(places, ", ")
}
