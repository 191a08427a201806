package strung

import "math"

// A start is where every draw begins: the braced bow, or for a long string the draw at which it is just taut
// and the limbs are at rest.
type start struct {
	known  bool
	err    error
	braced bool
	x      unknowns
	length float64 // of the string
	brace  float64 // height at the middle of the handle; 0 unless braced
	draw   float64 // of the hook
	energy float64
}

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
	length := s.string.value
	rest := s.atRest()
	_, free := s.slackHeight(&rest)
	straight := s.chains[0].limb.Length + s.chains[1].limb.Length + s.handle
	if length < free && length < straight {
		x, err := s.braceLength(length, &rest)
		if err != nil {
			return err
		}
		return s.startBraced(x)
	}
	if length < straight {
		// Limbs that are reflexed hold a string that is longer than the distance of their nocks at rest.
		t := target{closing: bracedLength, value: length}
		height := easyRise * s.size
		if x, ok := s.straightString(t, height); ok && x.upperT > slight*s.pull {
			return s.startBraced(x)
		}
	}
	return s.startSlack(length, &rest)
}

// startBraced takes the braced bow x as the start. accept says what the determinant tells.
func (s *Solver) startBraced(x unknowns) error {
	s.traceBoth(x)
	u, l := &s.ends[0], &s.ends[1]
	b := &s.start
	b.braced, b.x = true, x
	if s.string.byBrace {
		b.brace = s.string.value
		b.length = math.Hypot(u.x+l.x+s.handle, l.y-u.y)
	} else {
		b.length = s.string.value
		b.brace = u.y + (u.x+s.handle/2)*u.sin/u.cos
	}
	b.draw = (u.y + l.y) / 2
	b.energy = s.traces[0].energy + s.traces[1].energy
	s.equations(target{closing: drawn, value: b.draw, length: b.length}, x)
	if !s.sys.factor() || s.sys.positive() {
		return &Error{Err: ErrUnsteady}
	}
	return nil
}

// startSlack starts a long string at the draw that just takes up its slack.
func (s *Solver) startSlack(length float64, rest *[2]end) error {
	u, l := &rest[0], &rest[1]
	half := length / 2
	width, lean := u.x+l.x+s.handle, u.y-l.y
	span := math.Hypot(width, lean)
	// The hook is where circles of half the string about the nocks meet.
	height := math.Sqrt(max(half*half-span*span/4, 0))
	x := (u.x-l.x)/2 - height*lean/span
	y := (u.y+l.y)/2 + height*width/span
	b := &s.start
	b.length, b.draw = length, y
	b.x.upperPhi = u.nockPhi + math.Atan2(y-u.y, s.handle/2+u.x-x)
	b.x.lowerPhi = l.nockPhi + math.Atan2(y-l.y, s.handle/2+l.x+x)
	return nil
}

// atRest gives the limbs as they are without a string.
func (s *Solver) atRest() [2]end {
	var rest [2]end
	for i := range s.chains {
		angle := 0.0
		for j := range s.chains[i].turns {
			angle += s.chains[i].turns[j].rest
		}
		s.chains[i].ends(angle, 0, &rest[i])
	}
	return rest
}
