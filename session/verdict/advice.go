package verdict

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
)

// Advice is what a bow's record says now. Bands are 90 %.
type Advice struct {
	Bow  model.Bow
	Pass int
	// Read says whether any reading counts yet; without one there is nothing but cautions.
	Read bool
	// Draw is where bend and weight are given, from the belly (in).
	Draw float64
	// Wanted is the weight that the bow is to have on the tree.
	Wanted measure.Optional[finish.Wanted]
	// Weight is at Draw, Curve at each inch, or 2.5 cm, up to it; both are empty before the first peak or where
	// the bow can't be drawn so far.
	Weight measure.Optional[estimate.Forecast]
	Curve  []estimate.Forecast
	Next   measure.Optional[nextPull]
	// Weighed is the peak at Draw that was read since finishing began, of a bow that was not scraped since: it
	// goes before any estimate.
	Weighed measure.Optional[measure.Force]
	// Tiller is at 6, 8 and 12 in and where the aim is.
	Tiller []Tiller
	Limbs  [2]limb // by Side
	// Aim is the wanted bend, with the part of the limbs that is left out of the comparison for now.
	Aim estimate.Aim
	// Findings are the flat spots and hinges, against the limb as a whole; Unsure the stretches where the
	// readings couldn't show one.
	Findings []finding
	Unsure   []estimate.Unsure
	// Follow is the string follow (in), Set its growth since the first relaxed reading.
	Follow, Set measure.Optional[estimate.Figure]
	Wild        []estimate.Wild // readings of the last pass out of place
	// Plan is where to take wood; where there is none, NoPlan says why.
	Plan   measure.Optional[Plan]
	NoPlan string
	// Removal is what the plan takes now, outwards from each root;
	Removal []Removal
	// CameOff is what the scrapings of the last pass took off, once it was read.
	CameOff []cameOff
	// Cautions are sentences for the moment.
	Cautions []string
	Strips   []Strip // one a pass
	// Kept is how many of the ranges held, of this bow and the shop's last others.
	Kept Kept

	story    session.Story
	added    float64 // set in the last pass (in)
	state    estimate.State
	folded   folded
	settings Settings
	tool     string // that the bow was last scraped with
	// contradiction says that the readings of the last pass contradict one another.
	contradiction bool
}

// limb is one limb at the ordered draw. The slices of its Bending have one value for each station.
type limb struct {
	estimate.Bending
	Strain []float64 // of the surface at each station; nil where widths and depths were not measured
}

// Tiller is the upper limb's gap to the string less the lower's, braced, at one place (in).
type Tiller struct {
	At       float64
	Expected estimate.Figure
	Measured measure.Optional[measure.Length] // of the last braced reading
	Aim      measure.Optional[measure.Length] // at the aim's own place only
}

type finding struct {
	estimate.Finding
	Says string
}

// Plan is where to take wood, and what the bow would then be; or why no more may come off.
type Plan struct {
	plan.Plan
	Verdict plan.Verdict
	// Halt says why nothing is taken now whatever the verdict, "" where nothing stands against it. Where wood
	// came off since the last reading the plan is of that reading, to go by while it is carried out.
	Halt string
	// Logged says, by stretch, that wood was logged as taken off there since the bow was read.
	Logged []bool
	Says   []string // what the bow is and would be, in sentences
	Wish   string   // the one of them that tells what the weight wanted is made up of

	state estimate.State // that it is a plan of
}

// Removal is one stretch of a plan, in the measures that are known.
type Removal struct {
	plan.Cut
	DepthShare float64                   // of the depth there
	Depth      measure.Optional[float64] // (in), where the depth of the limb was measured
	Strokes    measure.Optional[int]     // where besides the shop knows what a stroke takes
}

// folded is what passes came to, so that a story with one entry more need not be folded from its beginning.
type folded struct {
	bow   estimate.Bow
	steps []step // the first before any pass, the others after each
	by    basis
	plans []planned // the last ones that were made
}

// A step is how matters stood after a pass.
type step struct {
	pass                estimate.Pass
	state               estimate.State
	read, contradiction bool
	caution             string
	promises            []promise
	strip               Strip
}

// basis is what strips follow from besides the readings.
type basis struct {
	draw, tiller, wide float64
	limbs              [2]measure.Length
	aim                estimate.Aim
}

// A promise is what was foretold before one pull, and how far off it was.
type promise struct {
	of     farther
	before estimate.Pass // its pass as read by then
	order  foretold      // at the ordered draw
	off    []float64
}

// foretold is a weight and its standard deviation (lbf).
type foretold struct{ force, sd float64 }

// farther is a weighed pull beyond the longest before.
type farther struct {
	entry string
	draw  measure.Length
	peak  measure.Force
}

// planned is what a plan was made of, and the plan.
type planned struct {
	state  estimate.State
	wanted plan.Wanted
	marks  [2][]float64
	plan   plan.Plan
}

type nextPull struct {
	estimate.Stop
	StopAt  measure.Optional[measure.Force] // the weight at which to stop whatever the draw
	Because string                          // in words, what limits the pull
}

// cameOff is what one scraping of the last pass took off, against what was planned when the bow was read
// before it.
type cameOff struct {
	estimate.Removed
	// Planned is the fraction of the stiffness that the plan took there, in the mean of the stretch; unread
	// where there was no plan.
	Planned measure.Optional[float64]
	Came    estimate.Figure // what came off as a fraction of the stiffness, as the readings show it
	Says    string
}

// Bends says whether the advice tells how both limbs bend.
func (a Advice) Bends() bool {
	return len(a.Limbs[model.Upper].At) > 0 && len(a.Limbs[model.Lower].At) > 0
}

func (a Advice) wantedWeight() (weight measure.Optional[measure.Force]) {
	if wanted, known := a.Wanted.Get(); known {
		weight = measure.Some(wanted.Weight)
	}
	return weight
}

// Story is the story that the advice is of.
func (a Advice) Story() session.Story { return a.story }

func (a *Advice) caution(format string, args ...any) {
	a.Cautions = append(a.Cautions, fmt.Sprintf(format, args...))
}

// Unstrings says whether the bow isn't drawn any more, by any rule: nothing may ask for a draw.
func (v Verdict) Unstrings() bool { return v.Word == unstring }

const unstring = "UNSTRING"

// Under is what a verdict leaves of an advice: nothing that asks for a draw where that unstrings the bow.
func (a Advice) Under(v Verdict) Advice {
	if v.Unstrings() {
		a.Next, a.Removal, a.Unsure, a.Cautions = measure.Optional[nextPull]{}, nil, nil, nil
	}
	return a
}
