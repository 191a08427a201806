package estimate

import "math"

// A State is what is known of a bow after some passes. Folding a pass into it gives another.
type State struct {
	bow   Bow
	frame frame
	g     gaussian
	// unread is the same bow, scraped but never read. What g says beyond it the readings said.
	unread gaussian
	// marked is g with what the stickers of photographs are off, nothing before there are any.
	marked   marked
	folded   bool    // at least one pass
	braced   bool    // the last string braces the bow, so that the next pass finds it there
	longest  float64 // draw so far
	first    *Figure // the follow at the first relaxed reading
	setSince float64 // longest draw by then
	set      extra   // that a first full draw brings in all (in)
	weighed  bool
	wild     []Wild
	disputed []Wild
	fit      Fit
	wide     float64 // see [State.Widened]; 0 is 1
	// pulled are all values of the last pass that has pulls, shared those that its pulls share; nil once wood
	// came off. leftOut are the values by all but one of its peaks, where that one may decide much.
	pulled  gaussian
	shared  *shared
	leftOut []gaussian
	// scraped are the scrapings of the last pass, unmeasured is the bow after them and before its readings.
	scraped    []Scrape
	unmeasured gaussian
}

// A Wild is a reading that does not fit the others.
type Wild struct {
	Where    Where
	Value    float64
	Expected float64 // by the bow's other readings
	Off      float64 // from that, in standard deviations of its own error and of the expectation together
}

// Bow is the bow that is estimated.
func (st State) Bow() Bow { return st.bow }

// Brace is the height of the string that it hangs on, or the usual one (in).
func (st State) Brace() float64 { return st.g.mean[st.frame.brace()] }

// Longest is the longest draw that the bow was pulled to (in), 0 before the first.
func (st State) Longest() float64 { return st.longest }

// Weighed says whether any peak was read.
func (st State) Weighed() bool { return st.weighed }

// Wild are the readings of the last pass that do not fit the others, the farthest off first.
func (st State) Wild() []Wild { return st.wild }

// Disputed are the two peaks of the last pass that can't both be right while nothing says which is; nil
// where none are.
func (st State) Disputed() []Wild { return st.disputed }

// FirstSet is the set that a first full draw brings in all (in), as forecasts allow for it.
func (st State) FirstSet() Figure {
	return around(max(st.set.mean, 0)+setLater, math.Hypot(st.set.sd, setLaw))
}

// setBy is the share of the first set that a pass brings: each draw beyond all before adds some.
func (st State) setBy(p Pass) float64 {
	return st.bow.SetShare(p.longest(st.longest)) - st.bow.SetShare(st.longest)
}
