package strung

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

// Patience limits the evaluations of the equations in each search, for the braced bow and for each draw; 0 is
// no limit. A search that reaches it fails with [ErrNotConverged]. Set it where many bows are tried: a bow
// that can be strung mostly takes less than a hundred, one that can't takes many thousand.
func Patience(looks int) Option {
	return func(s *Solver) { s.patience.most = max(looks, 0) }
}
