package estimate

// A State is what is known of a bow after some passes. Folding a pass into it gives another.
type State struct {
	bow   Bow
	frame frame
	g     gaussian
	// unread is the same bow had it been scraped but never read: the difference is what the readings said.
	unread gaussian
	folded bool // a pass at least
	// braced says that the string of the last pass with one braces the bow, so that the next pass finds it on
	// the bow.
	braced bool
	// longest is the longest draw so far, and first the follow at the first relaxed reading.
	longest float64
	first   *follow
	weighed bool
	wild    []Wild
	// scraped are the scrapings of the last pass, and unmeasured the bow after them and before its readings.
	scraped    []Scrape
	unmeasured gaussian
}

// A Wild is a reading that does not fit the others.
type Wild struct {
	Where Where
	Value float64
	// Expected is what the bow's other readings predict.
	Expected float64
	// Off is how many standard deviations of its own error and of the expectation it lies from that.
	Off float64
}

// A follow is how far the unstrung nocks stand off the line, the mean of both limbs (in), and its standard
// deviation; longest is the longest draw by then (in).
type follow struct{ mean, sd, longest float64 }

// Bow is the bow that is estimated.
func (st State) Bow() Bow { return st.bow }

// Longest is the longest draw that the bow was pulled to (in), 0 before the first.
func (st State) Longest() float64 { return st.longest }

// Weighed says whether any peak was read.
func (st State) Weighed() bool { return st.weighed }

// Wild are the readings of the last pass that do not fit the others, the farthest off first.
func (st State) Wild() []Wild { return st.wild }

// usualSet is the set that a first full draw brings to a bow and that neither relaxed readings nor those at
// its draws show (in, 1 sd). Common practice says that half an inch of set is usual; allowing for all of it
// makes the bands of bows that take none too wide where only gaps and peaks are read, and gains nothing on
// virtual staves that take an inch.
const usualSet = 0.15

// leastFresh is the share of a set that no reading shows.
const leastFresh = 0.02

// setBy is the share of that set that a pass brings: each draw beyond all before adds some, which earlier
// readings did not see.
func (st State) setBy(p Pass) float64 {
	return st.bow.SetShare(p.longest(st.longest)) - st.bow.SetShare(st.longest)
}
