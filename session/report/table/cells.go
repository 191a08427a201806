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

// cells are those of one row. A kind's exchange passes each value through one of the methods here, which
// writes it into its cell or reads it from there. The first fault is kept.
type cells struct {
	bow      model.Bow
	writing  bool
	fields   map[string]string // by column
	readings []reading
	fault    error
	// What a file is read by.
	columns map[string]column // of the fields, as the file heads them
	used    map[string]bool   // the fields that were asked for
}

// reading is a station's cell.
type reading struct {
	column
	l     measure.Length
	named string // the column, by the file
}

func (c *cells) failf(format string, args ...any) {
	if c.fault == nil {
		c.fault = fmt.Errorf(format, args...)
	}
}

// take returns a field's cell and counts it as used.
func (c *cells) take(field string) string {
	c.used[field] = true
	return c.fields[field]
}

// pass writes a value that is known, or reads it from a cell that isn't empty.
func pass[T any](
	c *cells, field string, v *measure.Optional[T], write func(T) string, read func(cell string) (T, error),
) {
	if c.writing {
		if known, ok := v.Get(); ok {
			c.fields[field] = write(known)
		}
		return
	}
	cell := strings.TrimSpace(c.take(field))
	if cell == "" {
		return
	}
	got, err := read(cell)
	if err != nil {
		c.failf("%s: %w", field, err)
	}
	*v = measure.Some(got)
}

// must passes a value that no row can do without.
func must[T any](c *cells, field, example string, v *T, pass func(string, *measure.Optional[T])) {
	var o measure.Optional[T]
	if c.writing {
		o = measure.Some(*v)
	}
	pass(field, &o)
	got, known := o.Get()
	if !known {
		c.failf("%s: missing; expected %s", field, example)
	}
	*v = got
}

func (c *cells) length(field string, v *measure.Optional[measure.Length]) {
	write := func(l measure.Length) string { return decimal(l.In(c.bow.Units.Length)) }
	read := func(cell string) (measure.Length, error) { return c.parseLength(c.columns[field], cell) }
	pass(c, field, v, write, read)
}

func (c *cells) mustLength(field string, v *measure.Length) {
	must(c, field, "a length like 6 3/8", v, c.length)
}

func (c *cells) force(field string, v *measure.Optional[measure.Force]) {
	unit := c.bow.Units.Force
	if other := c.columns[field].force; other != "" {
		unit = other
	}
	pass(c, field, v, func(f measure.Force) string { return decimal(f.In(unit)) },
		func(cell string) (measure.Force, error) { return number(cell, unit, unit.Force, measure.ParseForce) })
}

func (c *cells) seconds(field string, v *measure.Optional[time.Duration]) {
	pass(c, field, v, func(d time.Duration) string { return decimal(d.Seconds()) }, measure.ParseSeconds)
}

func (c *cells) count(field string, v *measure.Optional[int]) {
	pass(c, field, v, strconv.Itoa, func(cell string) (int, error) {
		n, err := strconv.ParseFloat(cell, 64)
		if err != nil || n != math.Trunc(n) || math.Abs(n) > 1e9 {
			return 0, fmt.Errorf("%q is no whole number", short(plain.Line(cell)))
		}
		return int(n), nil
	})
}

func (c *cells) mustCount(field string, v *int) { must(c, field, "how many", v, c.count) }

func (c *cells) number(field string, v *measure.Optional[float64]) {
	pass(c, field, v, decimal, func(cell string) (float64, error) {
		n, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return 0, fmt.Errorf("%q is no number", short(plain.Line(cell)))
		}
		return n, nil
	})
}

func (c *cells) text(field string, v *string) {
	if c.writing {
		c.fields[field] = defuse(*v)
		return
	}
	*v = restore(c.take(field))
}

func (c *cells) limb(field string, v *model.Side) {
	if c.writing {
		c.fields[field] = v.String()
		return
	}
	switch strings.ToLower(strings.TrimSpace(c.take(field))) {
	case "upper", "u":
		*v = model.Upper
	case "lower", "l":
		*v = model.Lower
	default:
		c.failf("%s: expected upper or lower", field)
	}
}

// datum passes what readings are measured to; an empty cell means the usual.
func (c *cells) datum(v *model.Datum, usual model.Datum) {
	if c.writing {
		c.fields[columnMeasured] = string(*v)
		return
	}
	word := strings.TrimPrefix(strings.ToLower(strings.TrimSpace(c.take(columnMeasured))), "the ")
	*v = usual
	switch model.Datum(word) {
	case "":
	case model.FromLine, model.FromString:
		*v = model.Datum(word)
	default:
		c.failf("%s: %q; expected line or string", columnMeasured, short(plain.Line(word)))
	}
}

// parseLength reads a length in the unit of its column's heading.
func (c *cells) parseLength(in column, cell string) (measure.Length, error) {
	unit := c.bow.Units.Length
	if in.length != "" {
		unit = in.length
	}
	return number(cell, unit, unit.Length, measure.ParseLength)
}

// number reads plain numbers exactly, and what people write by parse.
func number[T, U any](
	cell string, unit U, plain func(float64) T, parse func(string, U) (T, error),
) (T, error) {
	cell = strings.TrimSpace(restore(cell))
	if strings.Trim(cell, "0123456789.+-eE") == "" { // e of a power of ten, as spreadsheets write it
		if v, err := strconv.ParseFloat(cell, 64); err == nil {
			return plain(v), nil
		}
	}
	return parse(cell, unit)
}
