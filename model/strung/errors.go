package strung

import (
	"cmp"
	"errors"
	"fmt"
)

// What can be wrong. Every error of this package is a *[Error] that unwraps to one of these.
var (
	// ErrInput: a value is missing, out of order, not finite or out of bounds.
	ErrInput = errors.New("bad input")
	// ErrStringShort: no braced bow holds so short a string; Limit is the shortest that was solved.
	ErrStringShort = errors.New("the string is too short")
	// ErrStringLong: the string is too long to be held at any draw; Limit is a length that is not.
	ErrStringLong = errors.New("the string is too long")
	// ErrBraceLow: at so low a brace the string is slack; Limit is the lowest.
	ErrBraceLow = errors.New("the brace height is too low, the string would be slack")
	// ErrBraceHigh: the limbs cannot be braced so high; Limit is the highest that was solved.
	ErrBraceHigh = errors.New("the brace height is too high")
	// ErrUnsteady: the equilibrium would not last: at the least nudge one limb would tip over. Bows with much
	// reflex do that at low brace; Limit is the longest draw before it, if any.
	ErrUnsteady = errors.New("the bow would tip over")
	// ErrSlack: the string is slack at that draw; Limit is the shortest draw at which it is not.
	ErrSlack = errors.New("the string is slack")
	// ErrReach: the draw is beyond the reach of string and limbs; Limit is the longest draw that was solved.
	ErrReach = errors.New("the draw is beyond the reach of string and limbs")
	// ErrFolded: a limb is folded until it points along the string to the hook, or it turns too sharply at At
	// to be followed; Limit is the longest draw that was solved, if any.
	ErrFolded = errors.New("a limb folds past the string or bends too sharply to follow")
	// ErrTouch: the string would lie on the limb, or behind it, from At on. Such bows are not modelled.
	ErrTouch = errors.New("the string would touch the limb, which is not modelled")
	// ErrNotConverged: the search found no answer; Limit is the longest draw that was solved, if any.
	ErrNotConverged = errors.New("no equilibrium found")
	// errStale: the solution belongs to another bow or to none.
	errStale = errors.New("the solution does not belong to this bow")
)

// An Error says what is wrong, where, and where the limit lies.
type Error struct {
	// Err is one of the errors above.
	Err error
	// Field names the input at fault, such as "upper.stiffness[3]", or is empty.
	Field string
	// Want says in words what was expected of Field, or is empty.
	Want string
	// Side is "upper" or "lower", and At the distance from the root of that limb, where known.
	Side string
	At   float64
	// Value is what was asked for and Limit the nearest that could be had, in the unit of the quantity;
	// HasLimit says whether Limit is known.
	Value, Limit float64
	HasLimit     bool
}

// limited is the error of a value that lies beyond a limit.
func limited(err error, field string, value, limit float64) *Error {
	return &Error{Err: err, Field: field, Value: value, Limit: limit, HasLimit: true}
}

func (e *Error) Unwrap() error { return e.Err }

func (e *Error) Error() string {
	msg := cmp.Or(e.Want, e.Err.Error())
	if e.Field != "" {
		msg = e.Field + ": " + msg
	}
	if e.Side != "" {
		msg = fmt.Sprintf("%s, %s limb at %.6g", msg, e.Side, e.At)
	}
	switch {
	case !e.HasLimit:
		return msg
	case e.Err == ErrNotConverged:
		return fmt.Sprintf("%s: asked for %.6g, solved up to %.6g", msg, e.Value, e.Limit)
	}
	return fmt.Sprintf("%s: asked for %.6g, the limit is %.6g", msg, e.Value, e.Limit)
}

// inputError is bad input in a named field.
func inputError(field, want string, args ...any) *Error {
	return &Error{Err: ErrInput, Field: field, Want: fmt.Sprintf(want, args...)}
}
