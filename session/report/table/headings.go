package table

import (
	"slices"
	"strings"
	"unicode"

	"bendbook/model"
	"bendbook/model/measure"
)

var (
	lengthUnits = map[string]measure.LengthUnit{
		"in": measure.Inch, "inch": measure.Inch, "inches": measure.Inch, "\"": measure.Inch,
		"cm": measure.Centimetre, "mm": measure.Millimetre,
	}
	forceUnits = map[string]measure.ForceUnit{
		"lb": measure.PoundForce, "lbs": measure.PoundForce, "lbf": measure.PoundForce, "#": measure.PoundForce,
		"pounds": measure.PoundForce, "kg": measure.KilogramForce, "kgf": measure.KilogramForce,
		"n": measure.Newton,
	}
)

// heading is how a column is headed in a bow's table.
func heading(bow model.Bow, c column) string {
	switch {
	case c.station:
		return c.side.String() + " " + decimal(c.at.In(bow.Units.Length))
	case c.in == lengths:
		return c.name + " (" + string(bow.Units.Length) + ")"
	case c.in == forces:
		return c.name + " (" + bow.Units.Force.Symbol() + ")"
	case c.in == seconds:
		return c.name + " (s)"
	}
	return c.name
}

// parseHeading finds the column that a heading means; known is false where it means none.
func parseHeading(bow model.Bow, text string) (c column, known bool) {
	words := strings.FieldsFunc(strings.ToLower(restore(text)), func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("()[],_@:", r)
	})
	words = slices.DeleteFunc(words, func(w string) bool {
		return w == "limb" && len(words) > 1 || w == "at" && len(words) > 1 || w == "station"
	})
	if side, place, ok := stationHeading(words); ok {
		at, err := measure.ParseLength(place, bow.Units.Length)
		if err != nil {
			return column{}, false
		}
		return column{station: true, side: side, at: at}, true
	}
	var length measure.LengthUnit
	var force measure.ForceUnit
	if n := len(words); n > 0 {
		if unit, ok := lengthUnits[words[n-1]]; ok && n > 1 {
			length, words = unit, words[:n-1]
		} else if unit, ok := forceUnits[words[n-1]]; ok {
			// A heading that is only a unit, such as lb, means a weight.
			if force, words = unit, words[:n-1]; len(words) == 0 {
				words = []string{"peak"}
			}
		}
	}
	name := strings.Join(words, " ")
	i := slices.IndexFunc(columns, func(c column) bool {
		return c.name == name || slices.Contains(strings.Split(c.also, ","), name)
	})
	if name == "" || i < 0 {
		return column{}, false
	}
	c = columns[i]
	c.length, c.force = length, force
	return c, true
}

// stationHeading reads "upper 6", "u 6 in", "upper6" or "u6".
func stationHeading(words []string) (side model.Side, place string, ok bool) {
	for _, s := range model.Sides {
		for _, name := range []string{s.String(), s.String()[:1]} {
			place, found := strings.CutPrefix(strings.Join(words, " "), name)
			place = strings.TrimSpace(place)
			if found && place != "" && place[0] >= '0' && place[0] <= '9' {
				return s, place, true
			}
		}
	}
	return 0, "", false
}
