package strung

import "math"

// straightString finds the braced bow for a target: from the one before, or by small slopes.
func (s *Solver) straightString(t target, height float64) (unknowns, bool) {
	if s.haveBefore {
		if x, ok := s.newton(t, s.before); ok && s.sound(t, x) == nil {
			return x, true
		}
	}
	guess := s.guessBrace(height)
	if x, ok := s.newton(t, guess); ok && s.sound(t, x) == nil {
		return x, true
	}
	return guess, false
}

// guessBrace is the braced bow by the theory of small slopes: each limb bends by the moment of a string over
// a parabola of the wanted height.
func (s *Solver) guessBrace(height float64) unknowns {
	var phi, tension [2]float64
	for i := range s.chains {
		c := &s.chains[i]
		var restAngle, restRise, angle, rise float64
		for j := range c.turns {
			t, sigma := &c.turns[j], c.shares[j].sigma
			u := 1 - sigma/c.limb.Length
			d := height * (1 - u*u)
			restAngle += t.rest
			restRise += t.rest * sigma
			angle += t.give * d
			rise += t.give * d * sigma
		}
		tension[i] = max((height-restRise)/rise, 0.01*c.pull)
		phi[i] = restAngle + tension[i]*angle
	}
	mean := (tension[0] + tension[1]) / 2
	return unknowns{phi[0], mean, phi[1], mean}
}

// slackHeight is the height at the middle of the handle of a string that just hangs between the nocks of
// limbs at rest, and freeLength its length.
func (s *Solver) slackHeight(rest *[2]end) (height, freeLength float64) {
	u, l := &rest[0], &rest[1]
	width, rise := u.x+l.x+s.handle, l.y-u.y
	return u.y + (u.x+s.handle/2)*rise/width, math.Hypot(width, rise)
}

// easyRise is a brace, over that of a slack string and as a share of a limb, from which others are reached
// when no first guess leads to them.
const easyRise = 0.15

// brace finds the bow braced to a height.
func (s *Solver) brace(height float64) (unknowns, error) {
	rest := s.atRest()
	slack, _ := s.slackHeight(&rest)
	if height <= slack {
		return unknowns{}, limited(ErrBraceLow, "string.brace", height, slack)
	}
	t := target{closing: bracedHeight, value: height}
	if x, ok := s.straightString(t, height); ok {
		return x, nil
	}
	x, err := s.braceByStrides(height, &rest)
	if err == nil {
		return x, nil
	}
	// Another height may be easier, and this one reached from there.
	reached := 0.0
	for _, share := range [...]float64{0.5, 1.3, 1.8, 2.5, easyRise * s.size / (height - slack)} {
		from := slack + share*(height-slack)
		t.value = from
		x, ok := s.straightString(t, from)
		if !ok {
			var fromErr *Error
			if x, fromErr = s.braceByStrides(from, &rest); fromErr != nil {
				continue
			}
		}
		best, ok := follow(from, height, func(v float64) bool {
			t.value = v
			return s.advance(t, &x, true)
		})
		if ok {
			return x, nil
		}
		if best < height {
			reached = max(reached, best)
		}
	}
	if err.Err != ErrTouch && reached > 0 {
		err = limited(ErrBraceHigh, "string.brace", height, reached)
	}
	return x, err
}

// braceLength finds the bow braced by a string of a length that is shorter than the distance between the
// nocks of the straightened bow.
func (s *Solver) braceLength(length float64, rest *[2]end) (unknowns, error) {
	lu, ll := s.chains[0].limb.Length, s.chains[1].limb.Length
	slack, _ := s.slackHeight(rest)
	// A shallow arc of rise b is shorter than its length L by 2b²/3L.
	height := math.Sqrt(1.5 * max(lu+ll+s.handle-length, 0) / (1/lu + 1/ll))
	t := target{closing: bracedLength, value: length}
	if x, ok := s.straightString(t, height); ok {
		return x, nil
	}
	x, err := s.brace(max(slack, 0) + easyRise*s.size)
	if err != nil {
		return x, err
	}
	s.traceBoth(x)
	u, l := &s.ends[0], &s.ends[1]
	easy := math.Hypot(u.x+l.x+s.handle, l.y-u.y)
	reached, ok := follow(easy, length, func(v float64) bool {
		t.value = v
		return s.advance(t, &x, true)
	})
	switch {
	case ok:
		return x, nil
	case length < easy:
		return x, limited(ErrStringShort, "string.length", length, reached)
	default:
		return x, limited(ErrStringLong, "string.length", length, reached)
	}
}

// advance moves x to the answer to t if one is found from there. Strict asks that it be sound in every way;
// else the string may lie behind the limb.
func (s *Solver) advance(t target, x *unknowns, strict bool) bool {
	next, ok := s.newton(t, *x)
	if !ok || !(next.upperT > 0) {
		return false
	}
	if err := s.sound(t, next); err != nil && (strict || err.Err != ErrTouch) {
		return false
	}
	*x = next
	return true
}

// braceByStrides finds the bow braced to a height where no first guess led there: straight limbs first, a
// little bent, then at a height that clears their rest, then with their rest bend, then the height.
func (s *Solver) braceByStrides(height float64, rest *[2]end) (unknowns, *Error) {
	high := max(height, rest[0].y+0.1*s.size, rest[1].y+0.1*s.size)
	t := target{closing: bracedHeight, value: easyRise * s.size}
	s.setRest(0)
	x := s.guessBrace(t.value)
	ok := s.advance(t, &x, false) && s.followHeight(&t, &x, high)
	if ok {
		_, ok = follow(0, 1, func(share float64) bool {
			s.setRest(share)
			return s.advance(t, &x, false)
		})
	}
	s.setRest(1)
	if !ok || !s.followHeight(&t, &x, height) {
		s.traceBoth(x)
		return x, stuck(s.faults())
	}
	return x, s.sound(t, x)
}

// followHeight moves a braced bow to another height, behind the string or not.
func (s *Solver) followHeight(t *target, x *unknowns, height float64) bool {
	_, ok := follow(t.value, height, func(v float64) bool {
		t.value = v
		return s.advance(*t, x, false)
	})
	return ok
}

// setRest bends both unstrung limbs by a share of their rest bend.
func (s *Solver) setRest(share float64) {
	for i := range s.chains {
		s.chains[i].setRest(share)
	}
}

// stuck is the error of a search that ended at a bow with the given fault.
func stuck(fault *Error) *Error {
	if fault != nil && fault.Err == ErrTouch {
		return fault
	}
	return &Error{Err: ErrNotConverged}
}
