package estimate

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model"
	"bendbook/model/section"
)

// Every error of this package wraps one of these.
var (
	// ErrInput: the bow or a reading makes no sense.
	ErrInput = errors.New("bad input")
	// ErrUnsolved: no strung bow could be found near the estimate; the error says why.
	ErrUnsolved = errors.New("the estimated bow can't be strung")
	// ErrDraw: a draw is out of reach of the estimated bow.
	ErrDraw = errors.New("the draw is out of reach")
)

// A Bow is what is known of a bow apart from its readings.
type Bow struct {
	// Handle is the rigid length between the limb roots (in).
	Handle float64
	Limbs  [2]Limb
	// Section is the shape of the limbs' cross section, a D by default. It says what a scraping takes off,
	// and how stiff a limb of known widths and depths is.
	Section section.Kind
	Modulus float64 // of the wood (psi), 0 where unknown
	// Draw (in, of the hook from the belly line) and Weight (lbf) are those ordered, 0 where unknown. They
	// only say how strong a stave to expect.
	Draw, Weight float64
	Errors       Errors
	// Hook is how far the hook sits from the string's middle, towards the upper nock (in).
	Hook float64
	// GainError is the error that all peaks share as a share of them (1 sd), of a scale that reads high by a
	// guess.
	GainError float64
	// LineMoves says that the line that limbs are read to, and draws are measured from, moves with the bow.
	LineMoves bool
}

// A Limb is one limb from its root to its nock.
type Limb struct {
	Length float64 // along the limb (in)
	// Sizes were measured before any wood came off, outwards: the limb's expected stiffness follows from
	// them. Later were measured after it: depths and strains follow from them.
	Sizes, Later []Size
}

// A Size is the cross section at one place of a limb (in).
type Size struct{ At, Width, Depth float64 }

// latest are the widths and depths as last measured.
func (l Limb) latest() []Size {
	if len(l.Later) > 0 {
		return l.Later
	}
	return l.Sizes
}

// length is the bow's length from nock to nock along the belly.
func (b Bow) length() float64 {
	return b.Handle + b.Limbs[model.Upper].Length + b.Limbs[model.Lower].Length
}

// usualBrace is the brace height where none was read.
func (b Bow) usualBrace() float64 { return braceOf72 * b.length() / 72 }

// UsualDraw is the draw where none was ordered.
func (b Bow) UsualDraw() float64 { return drawOf72 * b.length() / 72 }

// orderedDraw is the ordered draw, or the usual one where that is too near the brace to say anything.
func (b Bow) orderedDraw() float64 {
	if b.Draw > 1.5*b.usualBrace() {
		return b.Draw
	}
	return b.UsualDraw()
}

// SetShare is the share of the set of a first full draw that a bow has taken once it was drawn to a draw
// (in). It grows with the square of the draw over brace, nearly; this project's own.
func (b Bow) SetShare(draw float64) float64 {
	s := max((draw-b.usualBrace())/(b.orderedDraw()-b.usualBrace()), 0)
	return min(s*s, 1)
}

// Errors are standard deviations of single readings, the rounding of rule and scale included.
type Errors struct {
	Line, Block   float64 // of line, string-gap and relaxed readings; of gaps under a block (in)
	Peak          float64 // of the scale's peak (lbf)
	Brace, String float64 // of brace height and string length (in)
	Photo         float64 // of a station off a photograph (in)
	Tilt          float64 // of the bow's tilt on a cradle that rocks (rad), 0 on a clamped one
}

// UsualErrors are those by common practice. The step of the rule (in) or scale (lbf) adds step²/12 to the
// variance; 0 is the usual one.
func UsualErrors(rule, scale float64, rocking bool) Errors {
	rounded := func(sd, step, usual float64) float64 {
		if !(step > 0) {
			step = usual
		}
		return math.Sqrt(sd*sd + step*step/12)
	}
	braced := rounded(bracedError, rule, usualRule)
	e := Errors{Line: rounded(lineError, rule, usualRule), Block: gaugeError,
		Peak: rounded(scaleError, scale, usualScale), Brace: braced, String: braced,
		Photo: photoError}
	if rocking {
		e.Tilt = rockingTilt
	}
	return e
}

// of is the error of a kind of reading.
func (e Errors) of(k Kind) float64 {
	switch k {
	case Block:
		return e.Block
	case Peak:
		return e.Peak
	case Brace:
		return e.Brace
	case String:
		return e.String
	}
	return e.Line
}

// check refuses a bow that is not one.
func (b Bow) check() error {
	e := b.Errors
	upper, lower := b.Limbs[model.Upper].Length, b.Limbs[model.Lower].Length
	for _, v := range []float64{upper, lower, e.Line, e.Block, e.Peak, e.Brace, e.String} {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("a length of a limb or an error of readings is %v: %w", v, ErrInput)
		}
	}
	for _, v := range []float64{b.Handle, e.Tilt} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("the handle or its tilt is %v: %w", v, ErrInput)
		}
	}
	return nil
}
