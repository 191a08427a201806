package strung

import "math"

// begin finds the start, once for each bow.
func (s *Solver) begin() error {
	if !s.start.known {
		s.start = start{known: true}
		s.patience.spent = 0
		s.start.err = s.patience.verdict(s.findStart())
	}
	return s.start.err
}

func (s *Solver) findStart() error {
	if s.string.byBrace {
		x, err := s.brace(s.string.value)
		if err != nil {
			return err
		}
		return s.startBraced(x)
	}
	length, rest := s.string.value, s.atRest()
	straight := s.chains[0].limb.Length + s.chains[1].limb.Length + s.handle
	switch {
	case length >= straight:
	case length < math.Hypot(s.nocks(&rest)):
		x, err := s.braceLength(length, &rest)
		if err != nil {
			return err
		}
		return s.startBraced(x)
	default:
		// Limbs that are reflexed hold a string that is longer than the distance of their nocks at rest.
		t := target{closing: bracedLength, value: length}
		if x, ok := s.straightString(t, easyRise*s.size); ok && x[0].tension > slight*s.pull {
			return s.startBraced(x)
		}
	}
	s.startSlack(length, &rest)
	return nil
}

// startBraced takes the braced bow x as the start. See accept for the determinant.
func (s *Solver) startBraced(x unknowns) error {
	s.traceBoth(x)
	u := &s.ends[0]
	b := &s.start
	b.braced, b.x = true, x
	if s.string.byBrace {
		b.brace, b.length = s.string.value, math.Hypot(s.nocks(&s.ends))
	} else {
		b.brace, b.length = u.y+(u.x+s.handle/2)*u.sin/u.cos, s.string.value
	}
	b.draw = s.hangs(&s.ends, b.length)
	b.energy = s.traces[0].energy + s.traces[1].energy
	s.equations(target{closing: drawn, value: b.draw, length: b.length}, x)
	if !s.sys.factor() || s.sys.det > 0 {
		return &Error{Err: ErrUnsteady}
	}
	return nil
}

// startSlack starts a long string at the draw where it is just taut.
func (s *Solver) startSlack(length float64, rest *[2]end) {
	u, l := &rest[0], &rest[1]
	width, rise := s.nocks(rest)
	span := math.Hypot(width, rise)
	// The hook is where circles of both parts of the string about the nocks meet.
	off := s.hook * length / span // from the middle of the nocks, along their line
	short, _ := s.parts(length)
	height := math.Sqrt(max(short*short-(span/2-off)*(span/2-off), 0))
	x := (u.x-l.x)/2 + (height*rise+off*width)/span
	y := (u.y+l.y)/2 + (height*width-off*rise)/span
	b := &s.start
	b.length, b.draw = length, y
	b.x[0].phi = u.nockPhi + math.Atan2(y-u.y, s.handle/2+u.x-x)
	b.x[1].phi = l.nockPhi + math.Atan2(y-l.y, s.handle/2+l.x+x)
}
