package finish

import (
	"time"
)

// Stage is one step on a bow's way, as a shop takes them.
type Stage struct {
	Name string
	// Seen is the sign in the story that it is done; "" where only the maker can say so.
	Seen Sign
	// Must says that the stage is owed also when a later one was done before it.
	Must bool
	// Wood says that the stage takes wood off, so that the weight before it is not the weight after it.
	Wood bool
	// Coats is how often it is done at least, each time a day's work of its own; 0 where it is done once.
	Coats int
	// Grits are those that it goes through, in order; nil for none.
	Grits []int
	// Rest is how long the bow must lie after it: a coat dries, glue sets.
	Rest time.Duration
}

// Sign is what shows that a stage is done.
type Sign string

// The signs that a shop's list may name.
const (
	SignPulled   Sign = "pulled"        // drawn on a long string, before it was ever braced
	SignBraced   Sign = "braced"        // read while braced
	SignTillered Sign = "at weight"     // weighs, at the ordered draw, what it may weigh on the tree
	SignWeighed  Sign = "weighed"       // weighed at the ordered draw since wood last came off
	SignMarked   Sign = "marked"        // no sign but the maker's word; the finish screen stamps at this stage
	SignAway     Sign = "handed over"   // the bow leaves the shop
	SignBack     Sign = "came back"     // in hand again after it was handed over
	SignReweigh  Sign = "weighed again" // weighed at the ordered draw after it came back
)

// signs are all signs, in the order of a bow's life.
var signs = []Sign{SignPulled, SignBraced, SignTillered, SignWeighed, SignMarked, SignAway, SignBack, SignReweigh}

// SignNames are all signs by their names, in the order of a bow's life, to be said.
func SignNames() []string {
	var names []string
	for _, sign := range signs {
		names = append(names, string(sign))
	}
	return names
}

// afterwards says whether the stage belongs to the time after the bow was handed over.
func (s Stage) afterwards() bool { return s.Seen == SignBack || s.Seen == SignReweigh }

// usualStages are the steps of a wooden longbow, common practice. The nocks come before the last tillering,
// since the last foot of each limb is left stiff until they are on; there are at least two coats, with a
// day's drying after each.
func usualStages() []Stage {
	return []Stage{
		{Name: "roughed out"},
		{Name: "floor tiller", Seen: SignPulled},
		{Name: "braced", Seen: SignBraced},
		{Name: "horn nocks fitted"},
		{Name: "tillered", Seen: SignTillered},
		{Name: "filed", Wood: true},
		{Name: "scraped", Wood: true},
		{Name: "sanded", Wood: true, Grits: []int{80, 120, 240}},
		{Name: "weighed", Seen: SignWeighed, Must: true},
		{Name: "marked", Seen: SignMarked, Must: true},
		{Name: "handle"},
		{Name: "varnish", Coats: 2, Rest: 24 * time.Hour, Must: true},
		{Name: "nocks polished"},
		{Name: "strung"},
		{Name: "handed over", Seen: SignAway},
		{Name: "came back", Seen: SignBack},
		{Name: "weighed again", Seen: SignReweigh},
	}
}
