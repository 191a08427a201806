package model

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
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

// StringLength is the string's length between nocks, and what it is made of, where that was said.
type StringLength struct {
	Length   measure.Length
	Material string
}

func (StringLength) Kind() Kind { return "string" }

func (e *StringLength) Fields(c Codec) {
	c.Length("length", &e.Length)
	c.Text("material", &e.Material)
}

func (e StringLength) Say(of Bow) string {
	said := fmt.Sprintf("string %s between the nocks", of.Ruler().WithUnit(e.Length))
	return strings.TrimSuffix(said+", "+plain.Line(e.Material), ", ")
}

func (e StringLength) check(of Bow) error {
	return cmp.Or(of.checkString("length", e.Length), checkText("material", e.Material, LongestName))
}

func (b Bow) checkString(field string, length measure.Length) error {
	return b.checkLength(field, length, 1, 2*b.Length())
}
