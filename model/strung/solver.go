package strung

// A Solver solves one bow with one string over and over, without allocating once it is warm. It is not safe
// for use by several goroutines at once.
type Solver struct {
	string   String
	segments int

	chains [2]chain
	handle float64
	size   float64 // the scale of lengths: the mean limb
	pull   float64 // the scale of tensions

	// version counts the bows set, so that answers for an earlier one can be refused.
	version uint64
	start   start
	// patience is that of the present search.
	patience patience
	// before is the start of the bow before this one, the first guess for this.
	before     unknowns
	haveBefore bool

	ends   [2]end
	traces [2]trace
	res    [4]float64
	by     [4]gradient
	sys    system
	// odd is the sign of the determinant where newton last ended, tangent the change of the unknowns with the
	// draw there, in the columns of the equations.
	odd     bool
	tangent [4]float64
	// growth is how a turn at each nock has grown at the root there.
	growth [2]float64

	places      [2]placed
	sens        [2]sensitivity
	startChange startDerivative
	// changes and spare are room for derivatives.
	changes changes
	spare   []float64
}

// An Option changes how a Solver works.
type Option func(*Solver)

// Segments sets the number of segments to a limb, at least 1 and at most 4096. The error falls with its
// fourth power; time rises in proportion.
func Segments(n int) Option {
	return func(s *Solver) { s.segments = min(max(n, 1), 4096) }
}

// New checks a bow and its string and makes a Solver for them. Errors are [ErrInput] and [ErrStiffness].
func New(bow Bow, str String, options ...Option) (*Solver, error) {
	s := &Solver{segments: DefaultSegments}
	for _, option := range options {
		option(s)
	}
	if err := s.Set(bow, str); err != nil {
		return nil, err
	}
	return s, nil
}

// Set gives the Solver another bow or string; it copies what it keeps. When the knots stay where they were,
// solutions of the bow before serve as the start for those of this one. After an error the bow before stays.
func (s *Solver) Set(bow Bow, str String) error {
	if err := bow.check(); err != nil {
		return err
	}
	if err := str.check(); err != nil {
		return err
	}
	for i, limb := range [...]*Limb{&bow.Upper, &bow.Lower} {
		if err := s.places[i].want.check(Upper+Side(i), limb.Length); err != nil {
			return err
		}
	}
	s.version++
	s.string, s.handle = str, bow.Handle
	s.chains[0].build(bow.Upper, bow.Between, s.segments)
	s.chains[1].build(bow.Lower, bow.Between, s.segments)
	s.size = (bow.Upper.Length + bow.Lower.Length) / 2
	s.pull = (s.chains[0].pull + s.chains[1].pull) / 2
	if s.start.known && s.start.err == nil && s.start.braced {
		s.before, s.haveBefore = s.start.x, true
	}
	s.start = start{}
	for i := range s.places {
		s.places[i].lay(&s.chains[i])
	}
	return nil
}
