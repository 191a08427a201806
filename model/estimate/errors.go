package estimate

import (
	"errors"
	"fmt"
	"math"
)

// What can be wrong. Every error of this package wraps one of these.
var (
	// ErrInput: the bow or a reading has no sense.
	ErrInput = errors.New("bad input")
	// ErrUnsolved: no strung bow could be found near the estimate; the error names why.
	ErrUnsolved = errors.New("the estimated bow can't be strung")
	// ErrDraw: a draw is out of reach of the estimated bow.
	ErrDraw = errors.New("the draw is out of reach")
)

// The usual errors of readings (1 sd), by common practice: a rule held by hand reads to 1/32 in, a feeler or
// wedge gauge to 0.004 in, a scale to 0.3 lb, brace height and string to 1/16 in, and a rocking cradle tilts
// by half a degree.
const (
	usualLine   = 1.0 / 32
	usualBlock  = 0.004
	usualPeak   = 0.3
	usualBraced = 1.0 / 16
	usualTilt   = 0.5 * math.Pi / 180
)

// UsualErrors are the usual errors of readings taken with a rule of the given step (in), which adds step²/12
// to the variance, and a scale of the given step (lbf). A step of 0 is not known: a rule then counts as
// in 1/16 in and a scale in 1/2 lb. On a cradle that rocks the bow may tilt.
func UsualErrors(rule, scale float64, rocking bool) Errors {
	if !(rule > 0) {
		rule = 1.0 / 16
	}
	if !(scale > 0) {
		scale = 0.5
	}
	e := Errors{
		Line:   rounded(usualLine, rule),
		Block:  usualBlock,
		Peak:   rounded(usualPeak, scale),
		Brace:  rounded(usualBraced, rule),
		String: rounded(usualBraced, rule),
	}
	if rocking {
		e.Tilt = usualTilt
	}
	return e
}

// rounded is the standard deviation of a reading with the given one, rounded to a step.
func rounded(sd, step float64) float64 { return math.Sqrt(sd*sd + step*step/12) }

// check refuses a bow that is not one.
func (b Bow) check() error {
	if !(b.Handle >= 0) || math.IsInf(b.Handle, 0) {
		return fmt.Errorf("handle %v: %w", b.Handle, ErrInput)
	}
	for _, l := range b.Limbs {
		if !(l.Length > 0) || math.IsInf(l.Length, 0) {
			return fmt.Errorf("limb of length %v: %w", l.Length, ErrInput)
		}
	}
	e := b.Errors
	for _, v := range [...]float64{e.Line, e.Block, e.Peak, e.Brace, e.String} {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("error of readings %v: %w", v, ErrInput)
		}
	}
	if !(e.Tilt >= 0) || math.IsInf(e.Tilt, 0) {
		return fmt.Errorf("tilt %v: %w", e.Tilt, ErrInput)
	}
	return nil
}
