package model

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/measure"
)

// A scale behind a pulley that shows 44 lb for 40 at the hook, and half a pound for the rope.
func TestWhatTheScaleShowsIsTakenToTheHook(t *testing.T) {
	guess := Rig{ScaleAt: OnRope}
	for _, c := range []struct {
		rig                  Rig
		shown, atHook, letGo measure.Force // letGo is where a pull for 42 lb ends
	}{
		{Rig{}, 40, 40, 42},
		{Rig{Tare: 0.5}, 40.5, 40, 42.5},
		{Rig{High: 0.1}, 40, 40, 42}, // it hangs at the hook
		{Rig{ScaleAt: OnRope, High: 0.1, Tare: 0.5}, 44.5, 40, 46.7},
		// 10 % high, give or take 5: at 5 % high 42 lb show 44.1.
		{guess, 44, 40, 44.127},
	} {
		if got := c.rig.ToHook(c.shown); math.Abs(float64(got-c.atHook)) > 1e-9 {
			t.Errorf("%+v: %v on the scale is %v at the hook, want %v", c.rig, c.shown, got, c.atHook)
		}
		if got := c.rig.StopAt(42); math.Abs(float64(got-c.letGo)) > 1e-3 {
			t.Errorf("%+v: 42 lb are reached at %v on the scale, want %v", c.rig, got, c.letGo)
		}
	}
	if !guess.Guessed() || math.Abs(guess.GainError()*1.1-0.03) > 1e-12 || (Rig{ScaleAt: OnRope, High: 0.08}).GainError() != 0 {
		t.Errorf("the guess is off by %v", guess.GainError())
	}
}

// Whatever the rig, what the scale shows of a weight is that weight; and who lets down where he is told never has
// more at the hook, wherever from 5 to 15 % the scale truly reads high.
func TestNoPullGoesPastItsWeightByTheScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := Rig{Tare: measure.Force(rapid.Float64Range(0, 5).Draw(t, "tare"))}
		if rapid.Bool().Draw(t, "rope") {
			rig.ScaleAt, rig.High = OnRope, rapid.SampledFrom([]float64{0, 0.05, 0.12}).Draw(t, "high")
		}
		weight := measure.Force(rapid.Float64Range(1, 150).Draw(t, "weight"))
		if back := rig.ToHook(rig.OnScale(weight)); math.Abs(float64(back-weight)) > 1e-9 {
			t.Fatalf("%v comes back as %v", weight, back)
		}
		gain := rig.gain()
		if rig.Guessed() {
			gain = rapid.Float64Range(1.0507, 1.15).Draw(t, "gain")
		}
		if atHook := (rig.StopAt(weight) - rig.Tare) / measure.Force(gain); atHook > weight+1e-9 {
			t.Fatalf("let down at %v on the scale: %v at the hook, wanted %v", rig.StopAt(weight), atHook, weight)
		}
	})
}
