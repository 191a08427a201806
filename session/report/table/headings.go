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

// heading returns a column's heading in a bow's table.
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
	several := len(words) > 1
	words = slices.DeleteFunc(words, func(w string) bool {
		return several && (w == "limb" || w == "at") || w == "station"
	})
	if side, place, ok := stationHeading(words); ok {
		at, err := measure.ParseLength(place, bow.Units.Length)
		return column{station: true, side: side, at: at}, err == nil
	}
	words, length, force := cutUnit(words)
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

// cutUnit cuts off a unit at the end. A heading that is only a unit, such as lb, means the peak.
func cutUnit(words []string) (rest []string, length measure.LengthUnit, force measure.ForceUnit) {
	last := len(words) - 1
	if last < 0 {
		return words, "", ""
	}
	length, force = lengthUnits[words[last]], forceUnits[words[last]]
	switch {
	case force != "" && last == 0:
		return []string{"peak"}, "", force
	case force != "", length != "" && last > 0:
		return words[:last], length, force
	}
	return words, "", ""
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
