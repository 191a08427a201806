package model

import (
	"fmt"

	"bendbook/model/measure"
)

// StringLength is the string's length between nocks.
type StringLength struct{ Length measure.Length }

func (StringLength) Kind() Kind { return "string" }

func (e *StringLength) Fields(c Codec) { c.Length("length", &e.Length) }

func (e StringLength) Say(of Bow) string {
	return fmt.Sprintf("string %s between the nocks", of.Ruler().WithUnit(e.Length))
}

func (e StringLength) check(of Bow) error {
	return of.checkLength("length", e.Length, 1, 2*of.Length())
}
