package table

import (
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// column says what stands in the cells under one heading.
type column struct {
	name string // of a field below; "" for a station's, and for one that is not known
	// Of a station's column.
	station bool
	side    model.Side
	at      measure.Length
	// The unit of its numbers; "" is the bow's own.
	length measure.LengthUnit
	force  measure.ForceUnit
}

// The fields that a row may have beside its stations, in the order of the columns.
const (
	fieldTime     = "time"
	fieldPass     = "pass"
	fieldKind     = "kind"
	fieldDraw     = "draw"
	fieldPeak     = "peak"
	fieldHeld     = "held"
	fieldBrace    = "brace height"
	fieldString   = "string"
	fieldBlock    = "block"
	fieldMeasured = "measured to"
	fieldLimb     = "limb"
	fieldFrom     = "from"
	fieldTo       = "to"
	fieldTool     = "tool"
	fieldStrokes  = "strokes"
	fieldDepth    = "depth"
	fieldShare    = "depth share"
	fieldPulls    = "pulls"
	fieldStep     = "step"
	fieldCoat     = "coat"
	fieldGrit     = "grit"
	fieldDay      = "done on"
	fieldStamped  = "stamped"
	fieldWhere    = "where"
	fieldContent  = "moisture content"
	fieldCelsius  = "celsius"
	fieldHumidity = "humidity"
	fieldNote     = "note"
	fieldEntry    = "entry"
	fieldDate     = "date" // only read: time says both
)

// before and behind are the columns on either side of the stations'.
var (
	before = []string{fieldTime, fieldPass, fieldKind, fieldDraw, fieldPeak, fieldHeld, fieldBrace, fieldString, fieldBlock, fieldMeasured}
	behind = []string{
		fieldLimb, fieldFrom, fieldTo, fieldTool, fieldStrokes, fieldDepth, fieldShare, fieldPulls, fieldStep, fieldCoat, fieldGrit, fieldDay, fieldStamped,
		fieldWhere, fieldContent, fieldCelsius, fieldHumidity, fieldNote, fieldEntry,
	}
)

// always are columns that are written also where all their cells are empty.
var always = []string{fieldTime, fieldPass, fieldKind, fieldDraw, fieldPeak}

// What is a length, a force or the maker's own words among the fields.
var (
	lengthFields = []string{fieldDraw, fieldBrace, fieldString, fieldBlock, fieldFrom, fieldTo, fieldDepth}
	forceFields  = []string{fieldPeak}
	textFields   = []string{fieldTool, fieldStep, fieldStamped, fieldNote, fieldEntry}
)

// alike are other names under which a field is found.
var alike = map[string]string{
	"when": fieldTime, "at": fieldTime, "date": fieldDate, "day": fieldDate, "what": fieldKind, "type": fieldKind, "reading": fieldKind,
	"draw length": fieldDraw, "weight": fieldPeak, "draw weight": fieldPeak, "force": fieldPeak, "scale": fieldPeak, "pull": fieldPeak,
	"brace": fieldBrace, "height": fieldBrace, "fistmele": fieldBrace, "string length": fieldString, "block length": fieldBlock,
	"datum": fieldMeasured, "side": fieldLimb, "exercise": fieldPulls, "notes": fieldNote, "text": fieldNote, "remark": fieldNote, "remarks": fieldNote,
	"comment": fieldNote, "id": fieldEntry, "finish": fieldStep, "coats": fieldCoat, "stroke": fieldStrokes,
	"content": fieldContent, "wood moisture": fieldContent, "relative humidity": fieldHumidity, "stamp": fieldStamped, "on": fieldDay, "air": fieldWhere,
	"held s": fieldHeld, "held sec": fieldHeld, "held seconds": fieldHeld, "hold": fieldHeld, "seconds": fieldHeld,
}

// heading is how a column is headed for a bow.
func heading(bow model.Bow, c column) string {
	switch {
	case c.station:
		return c.side.String() + " " + decimal(c.at.In(bow.Units.Length))
	case slices.Contains(lengthFields, c.name):
		return c.name + " (" + string(bow.Units.Length) + ")"
	case slices.Contains(forceFields, c.name):
		return c.name + " (" + bow.Units.Force.Symbol() + ")"
	case c.name == fieldHeld:
		return c.name + " (s)"
	}
	return c.name
}

// parseHeading finds out what stands under a heading; known is false for one that means nothing here.
func parseHeading(bow model.Bow, text string) (c column, known bool) {
	words := strings.Fields(strings.ToLower(strings.NewReplacer("(", " ", ")", " ", "[", " ", "]", " ", ",", " ", "_", " ", "@", " ", ":", " ").Replace(restore(text))))
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
	if n := len(words); n > 0 {
		// A heading that is only a unit, such as lb, means a weight.
		if unit, ok := lengthUnits[words[n-1]]; ok && n > 1 {
			c.length, words = unit, words[:n-1]
		} else if unit, ok := forceUnits[words[n-1]]; ok {
			if c.force, words = unit, words[:n-1]; len(words) == 0 {
				words = []string{fieldPeak}
			}
		}
	}
	name := strings.Join(words, " ")
	if other, ok := alike[name]; ok {
		name = other
	}
	if name != fieldDate && !slices.Contains(before, name) && !slices.Contains(behind, name) {
		return column{}, false
	}
	c.name = name
	return c, true
}

var (
	lengthUnits = map[string]measure.LengthUnit{
		"in": measure.Inch, "inch": measure.Inch, "inches": measure.Inch, "\"": measure.Inch, "cm": measure.Centimetre, "mm": measure.Millimetre,
	}
	forceUnits = map[string]measure.ForceUnit{
		"lb": measure.PoundForce, "lbs": measure.PoundForce, "lbf": measure.PoundForce, "pounds": measure.PoundForce, "#": measure.PoundForce,
		"kg": measure.KilogramForce, "kgf": measure.KilogramForce, "n": measure.Newton,
	}
)

// stationHeading reads "upper 6", "u 6 in", "upper6" or "u6".
func stationHeading(words []string) (side model.Side, place string, ok bool) {
	if len(words) == 0 {
		return 0, "", false
	}
	for _, s := range model.Sides {
		for _, name := range []string{s.String(), s.String()[:1]} {
			rest, found := strings.CutPrefix(words[0], name)
			if !found {
				continue
			}
			place := strings.TrimSpace(rest + " " + strings.Join(words[1:], " "))
			if place != "" && place[0] >= '0' && place[0] <= '9' {
				return s, place, true
			}
		}
	}
	return 0, "", false
}

// stationOf is the index of the station of a limb at a place; ok is false where there is none.
func stationOf(bow model.Bow, side model.Side, at measure.Length) (i int, ok bool) {
	best := math.Inf(1)
	for n, s := range bow.Limbs[side].Stations {
		if off := math.Abs(float64(s - at)); off < best {
			i, best = n, off
		}
	}
	return i, best < math.Inf(1) && session.SameStation(bow.Limbs[side].Stations[i], at)
}
