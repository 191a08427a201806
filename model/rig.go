package model

import (
	"cmp"
	"math"

	"bendbook/model/measure"
)

// Rig is how a bow is drawn and read on the tree. The zero value has the scale at the hook, that at the
// string's middle, and the line on the wall.
type Rig struct {
	ScaleAt ScaleAt        `json:"scale_at,omitempty"`
	High    float64        `json:"reads_high,omitempty"` // of a scale on the rope, as a share; 0 for not known
	Tare    measure.Force  `json:"tare,omitempty"`       // what the scale shows with nothing drawn
	Hook    measure.Length `json:"hook_off,omitempty"`   // from the string's middle, towards the upper nock
	Line    LineOn         `json:"line,omitempty"`
}

// ScaleAt is where the scale hangs; "" is AtHook.
type ScaleAt string

// LineOn is what the line that limbs are read to is fixed to; "" is OnWall.
type LineOn string

// The places that a record may name.
const (
	AtHook ScaleAt = "hook"
	// OnRope is on the hauling rope, behind a pulley.
	OnRope ScaleAt = "rope"

	OnWall LineOn = "wall"
	// OnBow is a taut string or a straightedge on the handle: it moves with the bow.
	OnBow LineOn = "bow"
)

// A scale behind a pulley reads 5 to 15 % high by the pulley's friction (common practice): nine times in ten.
const (
	usualHigh = 0.10
	highError = 0.03 // 1 sd
)

// Same reports whether two rigs differ by no more than a change of units makes.
func (r Rig) Same(other Rig) bool {
	const slight = 1e-6
	differ := func(a, b float64) bool { return math.Abs(a-b) > slight }
	return r.ScaleAt == other.ScaleAt && r.Line == other.Line && !differ(r.High, other.High) &&
		!differ(float64(r.Tare), float64(other.Tare)) && !differ(float64(r.Hook), float64(other.Hook))
}

// gain is what the scale shows of each pound at the hook.
func (r Rig) gain() float64 {
	if r.ScaleAt != OnRope {
		return 1
	}
	return 1 + cmp.Or(r.High, usualHigh)
}

// Guessed reports whether nobody weighed both ways with a scale on the rope.
func (r Rig) Guessed() bool { return r.ScaleAt == OnRope && r.High == 0 }

// GainError is the error that all weights share, as a share of them (1 sd).
func (r Rig) GainError() float64 {
	if r.Guessed() {
		return highError / r.gain()
	}
	return 0
}

// Direct reports whether the scale shows the force at the hook itself.
func (r Rig) Direct() bool { return r.gain() == 1 && r.Tare == 0 }

// ToHook is the force at the hook by what the scale shows.
func (r Rig) ToHook(shown measure.Force) measure.Force {
	if r.Direct() {
		return shown
	}
	return max(shown-r.Tare, 0) / measure.Force(r.gain())
}

// OnScale is what the scale shows of a force at the hook.
func (r Rig) OnScale(atHook measure.Force) measure.Force {
	return atHook*measure.Force(r.gain()) + r.Tare
}

// StopAt is what the scale shows where the bow has to be let down for a weight at the hook: by the least that
// the scale may read high.
func (r Rig) StopAt(most measure.Force) measure.Force {
	return r.OnScale(most * measure.Force(1-within90*r.GainError()))
}

// within90 are the standard deviations that hold nine tenths of a normal distribution.
const within90 = 1.645

// OnItsScale marks a figure as the scale's own where that shows another force than that at the hook.
func (r Rig) OnItsScale() string {
	if r.Direct() {
		return ""
	}
	return " on the scale"
}

// AtTheHook marks a weight as that at the hook where the scale shows another.
func (r Rig) AtTheHook() string {
	if r.Direct() {
		return ""
	}
	return " at the hook"
}

// AtHook is an event as it counts: a pull with its peak at the hook.
func (r Rig) AtHook(what Event) Event {
	pull, isPull := what.(Pull)
	if peak, known := pull.Peak.Get(); isPull && known {
		pull.Peak = measure.Some(r.ToHook(peak))
		return pull
	}
	return what
}

// What a rig may be.
const (
	mostHigh                = 0.5 // share
	mostTare measure.Force  = 20
	mostOff  measure.Length = 3
)

func (r Rig) check(of Bow) error {
	switch {
	case !(r.High >= 0 && r.High <= mostHigh):
		return Fault("readings.reads_high", "write a share from 0 to %g", mostHigh)
	case !(r.Tare >= 0 && r.Tare <= mostTare):
		return Fault("readings.tare", "type a weight from 0 to %s", of.Weigher().WithUnit(mostTare))
	case !(math.Abs(float64(r.Hook)) <= float64(mostOff)):
		return Fault("readings.hook_off", "type at most %s either way", of.withUnit(mostOff))
	}
	return cmp.Or(oneOf("readings.scale_at", r.ScaleAt, AtHook, OnRope),
		oneOf("readings.line", r.Line, OnWall, OnBow))
}
