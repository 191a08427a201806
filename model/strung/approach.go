package strung

import (
	"errors"
	"math"
)

// approach finds the bow at a draw from the start, or where that fails, by way of a shorter string.
func (s *Solver) approach(t target) (unknowns, error) {
	if reach := s.reach() * (1 - slight); t.value > reach {
		beyond := &Error{Err: ErrReach, Value: t.value}
		t.value = reach
		var short *Error
		if _, err := s.approach(t); errors.As(err, &short) && short.HasLimit {
			beyond.Limit, beyond.HasLimit = short.Limit, true
		}
		return unknowns{}, beyond
	}
	direct := func() (unknowns, *Error) { return s.stride(t, s.start.draw, s.start.x) }
	around := func() (unknowns, *Error) {
		middle := t
		middle.value = min(t.value, easyDraw*s.size)
		x, ok := s.roundabout(middle)
		if !ok {
			return x, &Error{Err: ErrNotConverged}
		}
		return s.stride(t, middle.value, x)
	}
	if s.startsStraight() {
		direct, around = around, direct
	}
	x, err := direct()
	if err != nil && err.Err != ErrFolded {
		if other, otherErr := around(); otherErr == nil || otherErr.HasLimit && !err.HasLimit {
			x, err = other, otherErr
		}
	}
	if err == nil {
		return x, nil // not err: a nil *Error makes a non-nil error
	}
	return x, err
}

// startsStraight tells whether a long string starts almost straight. From there the limbs may bend to either
// side, and only the roundabout way is sure to lead to the right one.
func (s *Solver) startsStraight() bool {
	rest := s.atRest()
	return !s.start.braced && s.start.draw-s.slackHeight(&rest) < almostStraight*s.size
}

// stride goes to a draw from the equilibrium x at the draw here, in strides that are halved where the search
// fails and doubled where it does not.
func (s *Solver) stride(t target, here float64, x unknowns) (unknowns, *Error) {
	s.equations(target{closing: drawn, value: here, length: t.length}, x)
	tangent := [4]float64{}
	if s.sys.factor() {
		tangent = s.byDraw()
	}
	if here == t.value {
		return x, s.sound(t, x)
	}
	last, goal := &Error{Err: ErrNotConverged}, t.value
	_, ok := follow(here, goal, finestStride*s.size, func(draw float64) bool {
		t.value = draw
		guess := s.apply(x, tangent, draw-here)
		found, ok := s.newton(t, guess)
		last = &Error{Err: ErrNotConverged}
		if !ok || !nearby(found, guess, mostSurprise) || !nearby(found, x, mostTurn) {
			return false
		}
		if err := s.accept(t, &found); err != nil && (err.Err != ErrTouch || draw == goal) {
			last = err // only where it ends must the string be clear of the limb
			return false
		}
		here, x, tangent = draw, found, s.tangent
		return true
	})
	if ok {
		return x, nil
	}
	if last.Err == ErrSlack {
		last.Err = ErrNotConverged // the way led where the string would have to push
	}
	if last.Err != ErrTouch {
		last.Value, last.Limit, last.HasLimit = goal, here, true
	}
	return x, last
}

// nearby tells whether the angles at both nocks differ by no more than within (rad).
func nearby(a, b unknowns, within float64) bool {
	return math.Abs(a[0].phi-b[0].phi) <= within && math.Abs(a[1].phi-b[1].phi) <= within
}

// roundabout draws the bow on a shorter string, which braces it well below the draw, and then lets that
// string grow. On a string that leaves the bow almost straight everything changes within the first hair of
// the draw.
func (s *Solver) roundabout(t target) (unknowns, bool) {
	rest := s.atRest()
	slack := s.slackHeight(&rest)
	rise := min(easyRise*s.size, 0.7*(t.value-slack))
	if !(rise > slight*s.size) {
		return unknowns{}, false
	}
	x, braceErr := s.brace(slack + rise)
	if braceErr != nil {
		return x, false
	}
	short := math.Hypot(s.nocks(&s.ends))
	here := s.hangs(&s.ends, short)
	if !(here < t.value) {
		return x, false
	}
	by := t
	by.length = short
	x, err := s.stride(by, here, x)
	if err != nil {
		return x, false
	}
	_, ok := follow(short, t.length, finest*math.Abs(t.length-short), func(length float64) bool {
		by.length = length
		next, ok := s.newton(by, x)
		if !ok {
			return false
		}
		if err := s.accept(by, &next); err != nil && (err.Err != ErrTouch || length == t.length) {
			return false
		}
		x = next
		return true
	})
	return x, ok
}

// reach is the draw that limbs and string could span if the limbs had no stiffness at all: where circles
// about the roots, of a limb and its part of the string, meet.
func (s *Solver) reach() float64 {
	u, l := s.parts(s.start.length)
	u, l = u+s.chains[0].limb.Length, l+s.chains[1].limb.Length
	// The hook at x from the middle is within u of the upper root and l of the lower.
	x := 0.0
	if s.handle > 0 {
		x = (l*l - u*u) / (2 * s.handle)
	}
	x = max(-s.handle/2, min(s.handle/2, x))
	h := math.Min(u*u-(x-s.handle/2)*(x-s.handle/2), l*l-(x+s.handle/2)*(x+s.handle/2))
	return math.Sqrt(max(h, 0))
}
