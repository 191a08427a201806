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
func (s *Solver) guessBrace(height float64) (x unknowns) {
	mean := 0.0
	for i := range s.chains {
		c := &s.chains[i]
		var restRise, angle, rise float64
		for j := range c.turns {
			t, sigma := &c.turns[j], c.shares[j].sigma
			u := 1 - sigma/c.limb.Length
			d := height * (1 - u*u)
			restRise += t.rest * sigma
			angle += t.give * d
			rise += t.give * d * sigma
		}
		tension := max((height-restRise)/rise, 0.01*c.pull)
		x[i].phi = c.restAngle() + tension*angle
		mean += tension / 2
	}
	x[0].tension, x[1].tension = mean, mean
	return x
}

// atRest gives the limbs as they are without a string.
func (s *Solver) atRest() (rest [2]end) {
	for i := range s.chains {
		s.chains[i].ends(s.chains[i].restAngle(), 0, &rest[i])
	}
	return rest
}

// slackHeight is the height at the middle of the handle of a string that just hangs between the nocks of
// limbs at rest.
func (s *Solver) slackHeight(rest *[2]end) float64 {
	width, rise := s.nocks(rest)
	return rest[0].y + (rest[0].x+s.handle/2)*rise/width
}

// brace finds the bow braced to a height.
func (s *Solver) brace(height float64) (unknowns, error) {
	rest := s.atRest()
	slack := s.slackHeight(&rest)
	if height <= slack {
		return unknowns{}, limited(ErrBraceLow, "string.brace", height, slack)
	}
	x, err := s.braceFromNothing(height, &rest)
	if err == nil {
		return x, nil
	}
	// Another height may be easier, and this one reached from there.
	reached := 0.0
	for _, share := range [...]float64{0.5, 1.3, 1.8, 2.5, easyRise * s.size / (height - slack)} {
		t := target{closing: bracedHeight, value: slack + share*(height-slack)}
		x, err := s.braceFromNothing(t.value, &rest)
		if err != nil {
			continue
		}
		best, ok := s.lead(&t, &x, height, true)
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
	// A shallow arc of rise b is shorter than its length L by 2b²/3L.
	height := math.Sqrt(1.5 * max(lu+ll+s.handle-length, 0) / (1/lu + 1/ll))
	t := target{closing: bracedLength, value: length}
	if x, ok := s.straightString(t, height); ok {
		return x, nil
	}
	x, err := s.brace(max(s.slackHeight(rest), 0) + easyRise*s.size)
	if err != nil {
		return x, err
	}
	s.traceBoth(x)
	easy := math.Hypot(s.nocks(&s.ends))
	t.value = easy
	reached, ok := s.lead(&t, &x, length, true)
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
	if !ok || !(next[0].tension > 0) {
		return false
	}
	if err := s.sound(t, next); err != nil && (strict || err.Err != ErrTouch) {
		return false
	}
	*x = next
	return true
}

// lead advances a braced bow from t to a target of another value. It returns the last value that was reached,
// and whether that is the one.
func (s *Solver) lead(t *target, x *unknowns, to float64, strict bool) (float64, bool) {
	return follow(t.value, to, finest*math.Abs(to-t.value), func(v float64) bool {
		t.value = v
		return s.advance(*t, x, strict)
	})
}

// braceFromNothing finds the bow braced to a height by a first guess, or where none leads there in strides:
// straight limbs first, a little bent, then at a height that clears their rest, then with their rest bend,
// then the height.
func (s *Solver) braceFromNothing(height float64, rest *[2]end) (unknowns, *Error) {
	t := target{closing: bracedHeight, value: height}
	if x, ok := s.straightString(t, height); ok {
		return x, nil
	}
	t.value = easyRise * s.size
	s.setRest(0)
	x := s.guessBrace(t.value)
	ok := s.advance(t, &x, false)
	if ok {
		high := max(height, rest[0].y+0.1*s.size, rest[1].y+0.1*s.size)
		_, ok = s.lead(&t, &x, high, false)
	}
	if ok {
		_, ok = follow(0, 1, finest, func(share float64) bool {
			s.setRest(share)
			return s.advance(t, &x, false)
		})
	}
	s.setRest(1)
	if ok {
		_, ok = s.lead(&t, &x, height, false)
	}
	if ok {
		return x, s.sound(t, x)
	}
	s.traceBoth(x)
	if fault := s.fault(); fault != nil && fault.Err == ErrTouch {
		return x, fault
	}
	return x, &Error{Err: ErrNotConverged}
}

// setRest bends both unstrung limbs by a share of their rest bend.
func (s *Solver) setRest(share float64) {
	for i := range s.chains {
		s.chains[i].setRest(share)
	}
}
