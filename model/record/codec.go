package record

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// A codec visits the fields of an object of the format, in their order, and reads or writes each. Numbers in
// the record are in its units. The first fault is kept.
type codec struct {
	units   measure.Units
	writing bool
	partial bool                       // reading: a missing field is no fault
	fields  map[string]json.RawMessage // reading: the object
	names   map[string]bool            // reading: unless nil, collects the names of all fields
	out     []member                   // writing: the object so far
	err     error
}

func reader(doc json.RawMessage, units measure.Units) *codec {
	c := &codec{units: units}
	c.err = unmarshal(doc, &c.fields)
	return c
}

func (c *codec) fail(field, format string, args ...any) {
	if c.err == nil {
		c.err = model.Fault(field, format, args...)
	}
}

func (c *codec) keep(path string, err error) {
	if c.err == nil && err != nil {
		c.err = within(path, err)
	}
}

// get reads a field; ok is false where it is missing or null.
func (c *codec) get(name string, into any) (ok bool) {
	if c.names != nil {
		c.names[name] = true
	}
	doc := c.fields[name]
	if len(doc) == 0 || string(doc) == "null" || c.err != nil {
		return false
	}
	c.keep(name, unmarshal(doc, into))
	return c.err == nil
}

func (c *codec) put(name string, v any) {
	doc, err := Marshal(v)
	c.keep(name, err)
	c.out = append(c.out, member{name, doc})
}

// object visits the fields of an inner object; ok is false where it is missing.
func (c *codec) object(name string, fields func(c *codec)) (ok bool) {
	inner := &codec{units: c.units, writing: c.writing, partial: c.partial, names: c.names}
	if !c.writing && !c.get(name, &inner.fields) && c.names == nil {
		return false
	}
	fields(inner)
	c.keep(name, inner.err)
	if c.writing {
		c.out = append(c.out, member{name, object(inner.out)})
	}
	return true
}

// text is left out where it is empty.
func text[T ~string](c *codec, name string, v *T) {
	if !c.writing || *v != "" {
		fullText(c, name, v)
	}
}

// fullText is written also where it is empty.
func fullText[T ~string](c *codec, name string, v *T) {
	if c.writing {
		c.put(name, *v)
	} else {
		c.get(name, v)
	}
}

// optional visits a value that is a number in the record; from and to convert it.
func optional[T any](c *codec, name string, v *measure.Optional[T], from func(float64) T,
	to func(T) float64) {
	if c.writing {
		if known, ok := v.Get(); ok {
			c.put(name, to(known))
		}
		return
	}
	var n float64
	if c.get(name, &n) {
		*v = measure.Some(from(n))
	}
}

func (c *codec) MaybeLength(name string, v *measure.Optional[measure.Length]) {
	optional(c, name, v, c.units.Length.Length, c.inLength)
}

func (c *codec) MaybeForce(name string, v *measure.Optional[measure.Force]) {
	optional(c, name, v, c.units.Force.Force, func(f measure.Force) float64 { return f.In(c.units.Force) })
}

func (c *codec) MaybeNumber(name string, v *measure.Optional[float64]) {
	same := func(n float64) float64 { return n }
	optional(c, name, v, same, same)
}

func (c *codec) MaybeCount(name string, v *measure.Optional[int]) {
	optional(c, name, v, func(n float64) int {
		if n != math.Trunc(n) || n < 0 || n > 1e6 {
			c.fail(name, "%v isn't a count: write a whole number", n)
		}
		return int(n)
	}, func(n int) float64 { return float64(n) })
}

func (c *codec) MaybeSeconds(name string, v *measure.Optional[time.Duration]) {
	optional(c, name, v, func(n float64) time.Duration {
		d, ok := measure.Seconds(n)
		if !ok {
			c.fail(name, "%v isn't a time: write a number of seconds", n)
		}
		return d
	}, time.Duration.Seconds)
}

func (c *codec) inLength(l measure.Length) float64 { return l.In(c.units.Length) }

// bare is a number that is 0 where it is missing, and written where write says so.
func bare[T any](name string, v *T, write bool, maybe func(string, *measure.Optional[T])) (ok bool) {
	var known measure.Optional[T]
	if write {
		known = measure.Some(*v)
	}
	maybe(name, &known)
	*v, ok = known.Get()
	return ok
}

func (c *codec) Length(name string, v *measure.Length) {
	if !bare(name, v, c.writing, c.MaybeLength) {
		c.missing(name, "a number of %s", c.units.Length)
	}
}

func (c *codec) Number(name string, v *float64) {
	if !bare(name, v, c.writing, c.MaybeNumber) {
		c.missing(name, "a number")
	}
}

func (c *codec) Count(name string, v *int) { bare(name, v, c.writing, c.MaybeCount) }

func (c *codec) Flag(name string, v *bool) {
	if c.writing {
		c.put(name, *v)
	} else if !c.get(name, v) {
		c.missing(name, "true or false")
	}
}

func (c *codec) Name(name, want string, v *string) {
	fullText(c, name, v)
	if *v == "" && !c.writing {
		c.missing(name, "%s", want)
	}
}

func (c *codec) Text(name string, v *string) { text(c, name, v) }

func (c *codec) FullText(name string, v *string) { fullText(c, name, v) }

func (c *codec) Word(name string, v *string) { fullText(c, name, v) }

func (c *codec) Day(name string, v *model.Day) { text(c, name, v) }

func (c *codec) missing(name, want string, args ...any) {
	if !c.partial {
		c.fail(name, "missing: write "+want, args...)
	}
}

// numbers reads a list of numbers and nulls; a fault names the place in it.
func (c *codec) numbers(name string) (all []*float64) {
	var each []json.RawMessage
	if c.get(name, &all) || json.Unmarshal(c.fields[name], &each) != nil || c.err == nil {
		return all
	}
	for i, number := range each {
		if err := unmarshal(number, new(*float64)); err != nil {
			c.err = within(fmt.Sprintf("%s[%d]", name, i), err)
			return nil
		}
	}
	return nil
}

// lengths is a list in which none is missing.
func (c *codec) lengths(name string, v *[]measure.Length) {
	if c.writing {
		all := make([]float64, len(*v))
		for i, l := range *v {
			all[i] = c.inLength(l)
		}
		c.put(name, all)
		return
	}
	numbers := c.numbers(name)
	*v = make([]measure.Length, len(numbers))
	for i, n := range numbers {
		if n == nil {
			c.missing(fmt.Sprintf("%s[%d]", name, i), "a number of %s", c.units.Length)
			return
		}
		(*v)[i] = c.units.Length.Length(*n)
	}
}

// row is a list in which some may be missing; it is left out where it is empty.
func (c *codec) row(name string, v *[]measure.Optional[measure.Length]) {
	if c.writing {
		var all []*float64
		for _, l := range *v {
			if known, ok := l.Get(); ok {
				all = append(all, new(c.inLength(known)))
			} else {
				all = append(all, nil)
			}
		}
		if len(all) > 0 {
			c.put(name, all)
		}
		return
	}
	for _, n := range c.numbers(name) {
		var l measure.Optional[measure.Length]
		if n != nil {
			l = measure.Some(c.units.Length.Length(*n))
		}
		*v = append(*v, l)
	}
}
