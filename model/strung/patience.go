package strung

// A patience counts how often the equations were looked at in one search, and says when that was often
// enough.
type patience struct {
	spent, most int // most is 0 without a bound
}

// look takes one look at the equations; it is false where patience is at its end.
func (p *patience) look() bool {
	p.spent++
	return p.most == 0 || p.spent <= p.most
}

// verdict is the error of a search that failed: what it ended with says nothing where it was broken off.
func (p *patience) verdict(err error) error {
	if err != nil && p.most > 0 && p.spent > p.most {
		return &Error{Err: ErrNotConverged}
	}
	return err
}

// Patience bounds each search, for the braced bow and for each draw, to so many looks at the equations; 0 is
// no bound. A search that ends so is [ErrNotConverged]. Who tries bow after bow wants it, since what can be
// found mostly takes less than a hundred looks, and what cannot takes many thousand.
func Patience(looks int) Option {
	return func(s *Solver) { s.patience.most = max(looks, 0) }
}
