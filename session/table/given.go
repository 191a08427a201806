package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// given are the cells of one row that say something, by what they say. What is wrong is kept as the first fault.
type given struct {
	bow      model.Bow
	fields   map[string]string
	columns  map[string]column // of the fields
	readings []reading
	used     map[string]bool
	fault    error
}

// reading is a station's cell.
type reading struct {
	side model.Side
	at   measure.Length
	l    measure.Length
	name string
}

func (g *given) failf(format string, args ...any) {
	if g.fault == nil {
		g.fault = fmt.Errorf(format, args...)
	}
}

// take is the text of a field, which then counts as used.
func (g *given) take(field string) string {
	g.used[field] = true
	return g.fields[field]
}

func (g *given) text(field string) string { return restore(g.take(field)) }

func (g *given) length(field string) measure.Optional[measure.Length] {
	cell := g.take(field)
	if cell == "" {
		return measure.Optional[measure.Length]{}
	}
	l, err := lengthIn(g.bow, g.columns[field], cell)
	if err != nil {
		g.failf("%s: %w", field, err)
	}
	return measure.Some(l)
}

func (g *given) mustLength(field string) measure.Length {
	l, known := g.length(field).Get()
	if !known {
		g.failf("%s: missing; expected a length like 6 3/8", field)
	}
	return l
}

func (g *given) force(field string) measure.Optional[measure.Force] {
	cell := g.take(field)
	if cell == "" {
		return measure.Optional[measure.Force]{}
	}
	f, err := forceIn(g.bow, g.columns[field], cell)
	if err != nil {
		g.failf("%s: %w", field, err)
	}
	return measure.Some(f)
}

func (g *given) count(field string) measure.Optional[int] {
	cell := strings.TrimSpace(g.take(field))
	if cell == "" {
		return measure.Optional[int]{}
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || v != math.Trunc(v) || math.Abs(v) > 1e9 {
		g.failf("%s: %q is no whole number", field, short(plain.Line(cell)))
	}
	return measure.Some(int(v))
}

func (g *given) seconds(field string) measure.Optional[time.Duration] {
	cell := strings.TrimSpace(g.take(field))
	if cell == "" {
		return measure.Optional[time.Duration]{}
	}
	d, err := measure.ParseSeconds(cell)
	if err != nil {
		g.failf("%s: %w", field, err)
	}
	return measure.Some(d)
}

func (g *given) number(field string) measure.Optional[float64] {
	cell := strings.TrimSpace(g.take(field))
	if cell == "" {
		return measure.Optional[float64]{}
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		g.failf("%s: %q is no number", field, short(plain.Line(cell)))
	}
	return measure.Some(v)
}

// time is that of the row; zero where it says none.
func (g *given) time(place *time.Location) time.Time {
	day, hour := strings.TrimSpace(g.take(fieldDate)), strings.TrimSpace(g.take(fieldTime))
	text := strings.TrimSpace(day + " " + hour)
	if text == "" {
		return time.Time{}
	}
	if day == "" && len(hour) < len("2006-01-02") {
		g.failf("time: %q names no day; expected one like 2027-01-10 09:30", short(plain.Line(hour)))
		return time.Time{}
	}
	at, err := parseTime(text, place)
	if err != nil {
		g.failf("time: %w", err)
	}
	return at.UTC()
}

func (g *given) datum(usual model.Datum) model.Datum {
	word := strings.TrimPrefix(strings.ToLower(strings.TrimSpace(g.take(fieldMeasured))), "the ")
	switch model.Datum(word) {
	case "":
		return usual
	case model.FromLine, model.FromString:
		return model.Datum(word)
	}
	g.failf("%s: %q; expected line or string", fieldMeasured, short(plain.Line(word)))
	return usual
}

func lengthIn(bow model.Bow, c column, cell string) (measure.Length, error) {
	unit := bow.Units.Length
	if c.length != "" {
		unit = c.length
	}
	cell = strings.TrimSpace(restore(cell))
	if v, err := strconv.ParseFloat(cell, 64); err == nil && isPlain(cell) {
		return unit.Length(v), nil
	}
	return measure.ParseLength(cell, unit)
}

func forceIn(bow model.Bow, c column, cell string) (measure.Force, error) {
	unit := bow.Units.Force
	if c.force != "" {
		unit = c.force
	}
	cell = strings.TrimSpace(restore(cell))
	if v, err := strconv.ParseFloat(cell, 64); err == nil && isPlain(cell) {
		return unit.Force(v), nil
	}
	return measure.ParseForce(cell, unit)
}

// isPlain says whether a cell is a plain number: digits, a point, a sign, perhaps a power of ten from a spreadsheet.
func isPlain(cell string) bool { return strings.Trim(cell, "0123456789.+-eE") == "" }
