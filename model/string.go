package model

import (
	"fmt"

	"bendbook/model/measure"
)

// OnString says on which kind of string a bow was drawn; "" where nobody said.
type OnString string

// The kinds of string that a record may name.
const (
	LongString   OnString = "long"   // it reaches from nock to nock and does not brace the bow
	BracedString OnString = "braced" // it braces the bow
)

// StringOf is the kind of a string of a length between the nocks.
func (b Bow) StringOf(length measure.Length) OnString {
	if length >= b.Length() {
		return LongString
	}
	return BracedString
}

// StringLength is the string's length between nocks.
type StringLength struct{ Length measure.Length }

func (StringLength) Kind() Kind { return "string" }

func (e *StringLength) Fields(c Codec) { c.Length("length", &e.Length) }

func (e StringLength) Say(of Bow) string {
	return fmt.Sprintf("string %s between the nocks", of.Ruler().WithUnit(e.Length))
}

func (e StringLength) check(of Bow) error {
	return of.checkString("length", e.Length)
}

func (b Bow) checkString(field string, length measure.Length) error {
	return b.checkLength(field, length, 1, 2*b.Length())
}
