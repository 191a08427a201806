package estimate

// A State is what is known of a bow after some passes. Folding a pass into it gives another.
type State struct {
	bow   Bow
	frame frame
	g     gaussian
	// unread is the same bow had it been scraped but never read: what it takes to tell what the readings said
	// from what was expected of any stave.
	unread gaussian
	// passes counts the passes folded in. braced says that the string of the last pass with one braces the
	// bow, so that the next pass finds it on the bow.
	passes int
	braced bool
	// longest is the longest draw so far, and first the rest of the bow at its first relaxed reading.
	longest float64
	first   *follow
	// weighed says that a peak was read.
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

// Wild are the readings of the last pass that the estimate finds out of place, the farthest off first.
func (st State) Wild() []Wild { return st.wild }

// A Figure is an estimate with its 90 % band.
type Figure struct{ Estimate, Low, High float64 }

// BandWidth is how many standard deviations a 90 % band reaches either way.
const BandWidth = 1.6448536269514722

// around is the figure with a standard deviation.
func around(mean, sd float64) Figure {
	return Figure{Estimate: mean, Low: mean - BandWidth*sd, High: mean + BandWidth*sd}
}

// sd is the standard deviation that the band stands for.
func (f Figure) sd() float64 { return (f.High - f.Low) / 2 / BandWidth }
