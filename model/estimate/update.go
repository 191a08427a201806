package estimate

import (
	"errors"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// Fold takes one pass into account: wood off first, then all of its readings at once.
//
// An error that wraps [ErrInput] leaves the state before the readings, with the scrapes. One that wraps
// [ErrUnsolved] says that no strung bow could have been read so; the state then has only the pass's peaks,
// strings and brace heights, if these fit a bow.
func (st State) Fold(p Pass) (State, error) {
	if p.Shorten != [2]float64{} {
		short, err := st.shortened(p.Shorten)
		if err != nil {
			return st, err
		}
		// It needs another string.
		st = short.freeBrace()
	}
	if st.folded || len(p.Scrapes)+len(p.Heats) > 0 {
		st.g, st.unread, st.marked = st.aged(st.g, p), st.aged(st.unread, p), st.agedMarks(p)
	}
	st = st.unpulled()
	st.folded, st.scraped, st.fit = true, p.Scrapes, Fit{Good: true, Ratio: 1}
	next, err := st.update(p)
	if st.marked.stickers != nil && (err != nil || !next.fit.Good) {
		// The stickers may have been put on anew.
		bare := st
		bare.marked = marked{}
		if anew, failed := bare.update(p); failed == nil && anew.fit.Good {
			return anew, nil
		}
	}
	if !errors.Is(err, ErrUnsolved) {
		return next, err
	}
	if only, failed := st.update(p.onlyPeaks()); failed == nil {
		return only, err
	}
	return next, err
}

// aged is a Gaussian of the bow after wood came off, and after the set that the pass may bring.
func (st State) aged(g gaussian, p Pass) gaussian {
	f := st.frame
	mean, cov := slices.Clone(g.mean), g.covariance()
	share := st.setBy(p)
	for _, s := range model.Sides {
		length := st.bow.Limbs[s].Length
		addCurve(cov, f.stiffness(s), f.knots[s], passStiffness())
		addCurve(cov, f.rest(s), f.knots[s], passRest())
		addCurve(cov, f.rest(s), f.knots[s], curve{level: share * st.set.sd * 2 / (length * length)})
		floats.AddConst(share*st.set.mean*2/(length*length), f.rests(s, mean))
	}
	addTo(cov, f.brace(), f.brace(), passBrace*passBrace)
	for _, scrape := range p.Scrapes {
		st.scrape(scrape, mean, cov)
	}
	for _, heat := range p.Heats {
		st.heat(heat, mean, cov)
	}
	if next, ok := from(mean, cov); ok {
		return next
	}
	return g
}

// scrape takes wood off.
func (st State) scrape(s Scrape, mean []float64, cov *mat.SymDense) {
	first, knots := st.frame.stiffness(s.Side), st.frame.knots[s.Side]
	loss, sd := st.bow.loss(s)
	covered := covers(knots, s.From, s.To)
	floats.AddScaled(mean[first:first+len(knots)], loss, covered)
	addUneven(cov, first, knots, covered, sd, scrapeUneven, scrapeReach)
}

// update takes the readings of a pass into account.
func (st State) update(p Pass) (State, error) {
	m, err := newPredictor(st, p)
	if err != nil {
		return st, err
	}
	before := st.weighed
	st = st.hang(p)
	if len(m.rows) == 0 {
		return st, nil
	}
	f := newFit(st.prior(), m)
	if err := f.run(); err != nil {
		return st, err
	}
	fit, err := f.scatter()
	if err == nil {
		err = f.settle(before)
	}
	if err != nil {
		return st, err
	}
	g, ok := f.values(f.z, f.cov)
	if !ok {
		return st, ErrUnsolved
	}
	st.g, st.unmeasured, st.marked = g.first(st.frame.len()), st.g, m.marks(g)
	st.pulled, st.shared = g, m.shared
	if m.taken != none {
		st.set = f.marginal(m.taken)
	}
	st.wild, st.disputed, st.leftOut = f.wild(), f.disputed(), f.leftOut(before)
	st.fit = f.judge(fit)
	if len(p.Relaxed) > 0 && st.first == nil {
		if now, err := st.follow(); err == nil {
			st.first, st.setSince = &now, st.longest
		}
	}
	return st, nil
}

// hang frees the brace height where the pass brings another string, and keeps the longest draw.
func (st State) hang(p Pass) State {
	fresh := false
	for _, h := range p.Hangs {
		fresh = fresh || !h.Long && (h.Length > 0 || h.Brace > 0 || !st.braced)
		st.braced = st.braced || !h.Long
	}
	st.weighed = st.weighed || slices.ContainsFunc(p.pulls(), func(pull Pull) bool { return pull.Peak > 0 })
	st.longest = p.longest(st.longest)
	if fresh {
		return st.freeBrace()
	}
	return st
}

// freeBrace is the state on a string of which nothing is known.
func (st State) freeBrace() State {
	st.g = st.g.reset(st.frame.brace(), st.bow.usualBrace(), braceError)
	if st.marked.stickers != nil {
		st.marked.gaussian = st.marked.reset(st.frame.brace(), st.bow.usualBrace(), braceError)
	}
	st.unread = st.unread.reset(st.frame.brace(), st.bow.usualBrace(), braceError)
	return st
}
