package table

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// column says what stands under a heading.
type column struct {
	name  string
	also  string // other names that it is read under, with commas between
	in    string // what its numbers are: a length, a force, seconds; "" for anything else
	words bool   // free text, in which blanks count

	// Of a station's column, which has no name.
	station bool
	side    model.Side
	at      measure.Length

	// The unit that a heading in a file names; "" is the bow's own.
	length measure.LengthUnit
	force  measure.ForceUnit
}

// What a column's numbers can be.
const (
	lengths = "lengths"
	forces  = "forces"
	seconds = "seconds"
)

// Columns that several kinds share, or that stand for the row itself.
const (
	columnTime     = "time"
	columnDate     = "date" // only read: time has both
	columnPass     = "pass"
	columnKind     = "kind"
	columnMeasured = "measured to"
	columnNote     = "note"
	columnEntry    = "entry"
)

// kindBlock is a row with the gaps under a straight block, which a record keeps in the braced entry.
const kindBlock = "block"

// cells is a row of a table. As a model.Codec it writes an event's fields into cells or reads them.
type cells struct {
	bow      model.Bow
	as       map[string]string // by field: its column, where the names differ
	writing  bool
	fields   map[string]string // by column; reading a cell removes it
	readings []reading
	fault    error
	columns  map[string]column // of the fields, with the units in the file's headings
	asked    []column          // the columns that were read, with what their fields hold
}

// reading is a station's cell.
type reading struct {
	column
	l     measure.Length
	named string // the column's heading in the file
}

func (c *cells) failf(format string, args ...any) {
	if c.fault == nil {
		c.fault = fmt.Errorf(format, args...)
	}
}

// column is the name of a field's column.
func (c *cells) column(field string) string {
	return cmp.Or(c.as[field], strings.ReplaceAll(field, "_", " "))
}

// take removes a cell and returns it.
func (c *cells) take(name string) string { return c.ask(column{name: name}) }

func (c *cells) ask(of column) string {
	c.asked = append(c.asked, of)
	cell := c.fields[of.name]
	delete(c.fields, of.name)
	return cell
}

// pass writes a value that is known, or reads it from a cell that isn't empty.
func pass[T any](
	c *cells, field, in string, v *measure.Optional[T], write func(T) string, read func(cell string) (T, error),
) {
	name := c.column(field)
	if c.writing {
		if known, ok := v.Get(); ok {
			c.fields[name] = write(known)
		}
		return
	}
	cell := strings.TrimSpace(c.ask(column{name: name, in: in}))
	if cell == "" {
		return
	}
	got, err := read(cell)
	if err != nil {
		c.failf("%s: %w", name, err)
	}
	*v = measure.Some(got)
}

// must is pass for a value that has to be there.
func must[T any](c *cells, field, example string, v *T, pass func(string, *measure.Optional[T])) {
	var o measure.Optional[T]
	if c.writing {
		o = measure.Some(*v)
	}
	pass(field, &o)
	got, known := o.Get()
	if !known {
		c.failf("%s: missing; expected %s", c.column(field), example)
	}
	*v = got
}

func (c *cells) MaybeLength(field string, v *measure.Optional[measure.Length]) {
	write := func(l measure.Length) string { return decimal(l.In(c.bow.Units.Length)) }
	read := func(cell string) (measure.Length, error) { return c.parseLength(c.columns[c.column(field)], cell) }
	pass(c, field, lengths, v, write, read)
}

func (c *cells) Length(field string, v *measure.Length) {
	must(c, field, "a length like 6 3/8", v, c.MaybeLength)
}

func (c *cells) MaybeForce(field string, v *measure.Optional[measure.Force]) {
	unit := cmp.Or(c.columns[c.column(field)].force, c.bow.Units.Force)
	pass(c, field, forces, v, func(f measure.Force) string { return decimal(f.In(unit)) },
		func(cell string) (measure.Force, error) { return number(cell, unit, unit.Force, measure.ParseForce) })
}

func (c *cells) MaybeSeconds(field string, v *measure.Optional[time.Duration]) {
	write := func(d time.Duration) string { return decimal(d.Seconds()) }
	pass(c, field, seconds, v, write, measure.ParseSeconds)
}

func (c *cells) MaybeCount(field string, v *measure.Optional[int]) {
	pass(c, field, "", v, strconv.Itoa, func(cell string) (int, error) {
		n, err := strconv.ParseFloat(cell, 64)
		if err != nil || n != math.Trunc(n) || math.Abs(n) > 1e9 {
			return 0, fmt.Errorf("%q is no whole number", short(plain.Line(cell)))
		}
		return int(n), nil
	})
}

func (c *cells) Count(field string, v *int) { must(c, field, "how many", v, c.MaybeCount) }

func (c *cells) MaybeNumber(field string, v *measure.Optional[float64]) {
	pass(c, field, "", v, decimal, func(cell string) (float64, error) {
		n, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return 0, fmt.Errorf("%q isn't a number", short(plain.Line(cell)))
		}
		return n, nil
	})
}

func (c *cells) Number(field string, v *float64) { must(c, field, "a number", v, c.MaybeNumber) }

func (c *cells) text(field string, v *string, words bool) {
	name := c.column(field)
	if c.writing {
		c.fields[name] = defuse(*v)
		return
	}
	if *v = restore(c.ask(column{name: name, words: words})); !words {
		*v = strings.TrimSpace(*v)
	}
}

func (c *cells) Text(field string, v *string) { c.text(field, v, true) }

func (c *cells) FullText(field string, v *string) { c.Text(field, v) }

func (c *cells) Name(field, _ string, v *string) { c.Text(field, v) }

func (c *cells) Day(field string, v *model.Day) { c.text(field, (*string)(v), false) }

func (c *cells) Word(field string, v *string) {
	c.text(field, v, false)
	*v = strings.ToLower(*v)
}

func (c *cells) Flag(field string, v *bool) {
	word := map[bool]string{true: "yes", false: "no"}[*v]
	c.Word(field, &word)
	if *v = word == "yes"; word != "yes" && word != "no" {
		c.failf("%s: expected yes or no", c.column(field))
	}
}

func (c *cells) Side(field string, v *model.Side) {
	word := v.String()
	c.Word(field, &word)
	switch word {
	case "upper", "u":
		*v = model.Upper
	case "lower", "l":
		*v = model.Lower
	default:
		c.failf("%s: expected upper or lower", c.column(field))
	}
}

// Datum implements model.Codec. An empty cell means the usual.
func (c *cells) Datum(v *model.Datum, usual model.Datum) {
	word := string(*v)
	c.Word(columnMeasured, &word)
	word = strings.TrimPrefix(word, "the ")
	switch *v = cmp.Or(model.Datum(word), usual); *v {
	case model.FromLine, model.FromString:
	default:
		c.failf("%s: %q; expected line or string", columnMeasured, short(plain.Line(word)))
	}
}

// Patch implements model.Codec: a table has no place for one.
func (c *cells) Patch(string, *[]byte) {}

// Block implements model.Codec: the gaps under a block are rows of their own.
func (c *cells) Block(**model.Block) {}

// parseLength reads a length in the unit of its column's heading.
func (c *cells) parseLength(in column, cell string) (measure.Length, error) {
	unit := cmp.Or(in.length, c.bow.Units.Length)
	return number(cell, unit, unit.Length, measure.ParseLength)
}

// number reads a plain number exactly, and leaves anything else to parse.
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
