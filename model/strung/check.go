package strung

import (
	"fmt"
	"math"
)

func (b Bow) check() error {
	switch {
	case !(b.Handle >= 0 && b.Handle <= maxMagnitude):
		return inputError("handle", "must be a length of 0 or more, not %v", b.Handle)
	case !(math.Abs(b.Hook) <= mostOff*min(b.Upper.Length, b.Lower.Length)):
		return inputError("hook", "must be near the string's middle, not %v off", b.Hook)
	case b.Between > LogLinear:
		return inputError("between", "must be linear or log-linear")
	}
	low, high := math.Inf(1), 0.0
	for i, limb := range [...]*Limb{&b.Upper, &b.Lower} {
		if err := limb.check(sideOf(i)); err != nil {
			return err
		}
		for _, v := range limb.Stiffness {
			low, high = min(low, v), max(high, v)
		}
	}
	switch r := b.Upper.Length / b.Lower.Length; {
	case b.Handle > maxContrast*b.Upper.Length:
		return inputError("handle", "is out of all proportion to the limbs")
	case r > maxContrast || r < 1/maxContrast:
		return inputError("lower.length", "is out of all proportion to the upper limb")
	case high > maxContrast*low:
		return inputError("stiffness", "must not vary by more than a factor of %g over the bow",
			float64(maxContrast))
	}
	return nil
}

// check refuses a limb that makes no sense. Errors name its fields with name in front.
func (l *Limb) check(name string) error {
	n := len(l.At)
	switch {
	case !(l.Length >= minMagnitude && l.Length <= maxMagnitude):
		return inputError(name+".length", "must be a positive length, not %v", l.Length)
	case n < 2 || n > maxKnots:
		return inputError(name+".at", "must have 2 to %d places, not %d", maxKnots, n)
	case len(l.Stiffness) != n:
		return inputError(name+".stiffness", "must have %d values, one for each place, not %d", n, len(l.Stiffness))
	case l.RestBend != nil && len(l.RestBend) != n:
		return inputError(name+".rest_bend", "must have %d values, one for each place, not %d", n, len(l.RestBend))
	case l.At[0] != 0:
		return inputError(name+".at[0]", "must be 0, the root, not %v", l.At[0])
	}
	for i := 1; i < n; i++ {
		// Places nearer to each other than this cannot be told apart in the arithmetic.
		if !(l.At[i] > l.At[i-1]+1e-9*l.Length) {
			return inputError(fmt.Sprintf("%s.at[%d]", name, i),
				"must be beyond the place before it, not %v after %v", l.At[i], l.At[i-1])
		}
	}
	if l.At[n-1] != l.Length {
		return inputError(fmt.Sprintf("%s.at[%d]", name, n-1), "must be the limb's length %v, not %v", l.Length,
			l.At[n-1])
	}
	return l.checkKnots(name)
}

// checkKnots refuses what can't be the stiffness or the rest bend of a limb.
func (l *Limb) checkKnots(name string) error {
	for i, v := range l.Stiffness {
		switch {
		case math.IsNaN(v) || v > maxMagnitude:
			return inputError(fmt.Sprintf("%s.stiffness[%d]", name, i), "must be a positive number, not %v", v)
		case v < minMagnitude:
			return inputError(fmt.Sprintf("%s.stiffness[%d]", name, i), "must be positive, not %v", v)
		}
	}
	for i, v := range l.RestBend {
		// One full turn within a hundredth of the limb isn't a limb any more.
		if !(math.Abs(v) <= 200*math.Pi/l.Length) {
			return inputError(fmt.Sprintf("%s.rest_bend[%d]", name, i), "must be a curvature, not %v", v)
		}
	}
	return nil
}

func (s String) check() error {
	switch {
	case s.value >= minMagnitude && s.value <= maxMagnitude:
		return nil
	case s.byBrace:
		return inputError("string.brace", "must be a positive height, not %v", s.value)
	}
	return inputError("string.length", "must be a positive length, not %v", s.value)
}
