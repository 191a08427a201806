package strung

// A Solver solves one bow with one string over and over, without allocating once it is warm. It is not safe
// for use by several goroutines at once.
type Solver struct {
	string   String
	segments int

	chains [2]chain
	handle float64
	hook   float64 // from the middle of the string towards the upper nock
	size   float64 // the scale of lengths: the mean limb
	pull   float64 // the scale of tensions

	// version counts the bows set, so that answers for an earlier one can be refused.
	version  uint64
	start    start
	patience patience // of the present search

	before     unknowns // the start of the bow before this one, the first guess for this
	haveBefore bool

	ends   [2]end
	traces [2]trace
	res    [4]float64
	by     [4]gradient
	sys    system
	// tangent is the change of the unknowns with the draw where newton last ended, in the columns of the
	// equations.
	tangent [4]float64

	places      [2]placed
	sens        [2]sensitivity
	startChange startDerivative
	drawnChange []unknowns // of a drawn bow, by column
}

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

// A startDerivative is how the start depends on the parameters, by column, for the version of the bow given.
type startDerivative struct {
	version               uint64
	x                     []unknowns
	length, brace, energy []float64
}

// A patience counts the evaluations of the equations in one search, and ends the search at a limit.
type patience struct {
	spent, most int // most is 0 without a bound
}

// look counts one evaluation; it is false beyond the limit.
func (p *patience) look() bool {
	p.spent++
	return p.most == 0 || p.spent <= p.most
}

// verdict is the error of a search that failed; one that was broken off did not converge.
func (p *patience) verdict(err error) error {
	if err != nil && p.most > 0 && p.spent > p.most {
		return &Error{Err: ErrNotConverged}
	}
	return err
}

// An Option changes how a Solver works.
type Option func(*Solver)

// Segments sets the number of segments to a limb, at least 1 and at most maxSegments. The error falls with
// its fourth power; time rises in proportion.
func Segments(n int) Option {
	return func(s *Solver) { s.segments = min(max(n, 1), maxSegments) }
}

// Patience limits the evaluations of the equations in each search, for the braced bow and for each draw; 0 is
// no limit. A search that reaches it fails with [ErrNotConverged]. Set it where many bows are tried: a bow
// that can be strung mostly takes less than a hundred, one that can't takes many thousand.
func Patience(looks int) Option {
	return func(s *Solver) { s.patience.most = max(looks, 0) }
}

// New checks a bow and its string and makes a Solver for them. The error is an [ErrInput].
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
	limbs := [...]*Limb{&bow.Upper, &bow.Lower}
	for i, limb := range limbs {
		if err := s.places[i].want.check(sideOf(i), limb.Length); err != nil {
			return err
		}
	}
	s.version++
	s.string, s.handle, s.hook = str, bow.Handle, bow.Hook
	for i, limb := range limbs {
		s.chains[i].build(*limb, bow.Between, s.segments)
		s.places[i].lay(&s.chains[i])
	}
	s.size = (bow.Upper.Length + bow.Lower.Length) / 2
	s.pull = (s.chains[0].pull + s.chains[1].pull) / 2
	if s.start.known && s.start.err == nil && s.start.braced {
		s.before, s.haveBefore = s.start.x, true
	}
	s.start = start{}
	return nil
}

// SetPlaces sets the stations; they are copied. Errors are [ErrInput].
func (s *Solver) SetPlaces(p Places) error {
	for i, want := range p {
		if err := want.check(sideOf(i), s.chains[i].limb.Length); err != nil {
			return err
		}
	}
	for i, want := range p {
		at := &s.places[i]
		at.want.At = append(at.want.At[:0], want.At...)
		at.want.BlockAt = append(at.want.BlockAt[:0], want.BlockAt...)
		at.want.Block = want.Block
		at.lay(&s.chains[i])
	}
	return nil
}
