package plan

import "bendbook/model/estimate"

// All that the package takes as given, each with its source or with the test that set it: its figures are
// those with which that test's staves come out best.

// What counts as right (common practice). One bow in ten may be called right that isn't.
const (
	right     = 0.9
	tillerOff = 1.0 / 16 // that a tiller may be off: what a rule in sixteenths shows (in)
	quantile  = estimate.BandWidth
)

// What one pass takes. Scraping is imprecise and can't be undone, and only the next readings show what it
// did, so a pass goes a share of the way: most of it for what single stretches need beyond the others, which
// mends the shape, less for what all have in common, which takes off weight. The shares were set by
// TestStavesTilleredByThePlan and hold in session/verdict's TestClosedLoop.
const (
	farShare    = 0.4 // of what is common, while the bow is more than far too heavy
	middleShare = 0.7
	nearShare   = 1.0       // of the same when it is less than near too heavy
	shapeShare  = 0.9       // of what a stretch needs beyond
	far, near   = 0.2, 0.06 // of log weight
	overShare   = 0.3       // of what goes too deep for one pass, left out of what is common
	leastShare  = 0.25      // of a pass that is worth its while: where no more can be risked, a pull tells more
	feather     = 0.5       // of a cut that its neighbours take at least, so that no step is left at its ends
)

// What a scraper can do (common practice).
const (
	leastLoss    = 0.004  // of log stiffness: less than a stroke or two
	deepest      = 0.1467 // of log stiffness in a pass: a twentieth of the depth of a D, 2.86·ln(1/0.95)
	leastStretch = 3.9    // of a cut with what it fades into: four inches, or ten centimetres (in)
	leastMarked  = 1.0    // between two marks that tells them apart (in)
)

// Chances of less than the least weight wanted that a plan may leave: one bow in twenty, and one in five
// beside a hinge, which grows with each pull and is worth a pound. Of a sharp hinge the curve shows some two
// thirds (model/estimate's TestRealShop): one of sureHinge truly bends 15% too much.
const (
	MostChance        = 0.05
	mostChanceAtHinge = 0.2
	sureHinge         = 0.1
)

// The size of a residual that counts as 1 in the search: weight comes first, then tiller, then bend, each at
// about the error with which it is known. Set by TestTheWholeWayLeadsThere and TestStavesTilleredByThePlan.
const (
	weightSize  = 0.002 // of log weight
	tillerSize  = 0.015 // in
	bendSize    = 0.03  // of log bend over the aim, at one place
	placesAlike = 3.0   // neighbouring places, an inch apart, that show much the same wood
	lossSize    = 3.0   // of a loss, over the root of its stretch's length: of several ways the most even wins
	unlikeSize  = 0.05  // of a loss from its neighbours', per inch of its stretch: readings show no more
)

// When the search ends.
const (
	rounds   = 12
	halvings = 5
	settled  = 1e-4 // of a loss
)

// What a bow still loses. Set and its law are common practice; what exercise takes is of staves that lose 3%
// of stiffness over their first passes (TestStavesTilleredByThePlan, set and loss).
const (
	usualSet, usualSetError = 0.5, 0.4 // by the first full draw (in)
	lawError                = 0.3      // of the law by which set grows, as a share of the set to come
	wearPass, wearPassError = 0.006, 0.006
)

// The prior of what a stroke takes: a scraper takes one to three thousandths (common practice), and its
// logarithm keeps depths positive. The rest is set by TestStrokesAreLearnt and TestLearnedStrokesAreSane.
const (
	usualSpread   = 0.6
	usualScatter  = 0.25 // of single scrapings, by edge and hand
	scatterWeight = 6.0  // scrapings that it counts for against those seen
	mostOff       = 2.0  // standard deviations from which a scraping counts less, lest a wrong count lead
	bowError      = 0.12 // shared by one bow's scrapings: its depths are measured to a hundredth or two
)
