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

// Bow is the bow that is estimated.
func (st State) Bow() Bow { return st.bow }

// Longest is the longest draw that the bow was pulled to (in), 0 before the first.
func (st State) Longest() float64 { return st.longest }

// Weighed says whether any peak was read.
func (st State) Weighed() bool { return st.weighed }

// Wild are the readings of the last pass that do not fit the others, the farthest off first.
func (st State) Wild() []Wild { return st.wild }
