package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

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
		return nil, fmt.Errorf("type places like %s", examples(bow.Units, exampleStations))
	case n > model.MostStations:
		return nil, fmt.Errorf("%d stations are too many: type %d at most", n, model.MostStations)
	}
	return stations, nil
}

func stationsEvery(step string, bow model.Bow, limb measure.Length) ([]measure.Length, error) {
	every, err := bow.ParseLength(step)
	switch {
	case err != nil:
		return nil, err
	case limb <= 0:
		return nil, errors.New("the upper limb's length comes first")
	case every <= 0 || every > limb:
		return nil, fmt.Errorf("type a distance above 0, within the limb's %s",
			measure.Rule{Unit: bow.Units.Length}.WithUnit(limb))
	case every < limb/model.MostStations:
		return nil, fmt.Errorf("a station every %s is too many: type %d at most", step, model.MostStations)
	}
	var stations []measure.Length
	for n := 1; n <= model.MostStations && every*measure.Length(n) <= limb; n++ {
		stations = append(stations, every*measure.Length(n))
	}
	return stations, nil
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

func within(stations []measure.Length, limb measure.Length) []measure.Length {
	for len(stations) > 0 && stations[len(stations)-1] > limb {
		stations = stations[:len(stations)-1]
	}
	return stations
}

// moved returns a row of measures at stations as it stands at others.
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

func placeList(at []measure.Length, print func(measure.Length) string) string {
	texts := make([]string, len(at))
	for i, l := range at {
		texts[i] = print(l)
	}
	return strings.Join(texts, ", ")
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
