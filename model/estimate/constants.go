package estimate

import "math"

// All that the package takes as given, each with its source, or with the test that set it: its figures are
// those with which that test's bows come out best. Lengths in inches, forces in pounds-force, errors 1 sd.

// BandWidth is how many standard deviations a 90 % band reaches either way.
const BandWidth = 1.6448536269514722

// held is how many of the bands hold the truth.
const held = 0.9

// The grids. With one segment between each two knots the error of the fourth order scheme stays far below
// that of any reading.
const (
	knotsPerLimb = 16 // evenly spread from root to nock
	segments     = knotsPerLimb - 1
	// patience bounds the search for each bow that is tried, in looks at its equations. Of the bows of this
	// package's tests that can be strung the hardest draw took 1429 and the hardest brace less than 60.
	patience = 3000
	// rounding is how far a place may lie past the nock, as a share of the limb, and still be at it: units were
	// converted.
	rounding     = 1e-9
	mostCompared = 0.9  // of a limb with an aim: in the last tenth there is hardly any bend
	leastBend    = 1e-3 // over the aim, where a limb bends backwards: it keeps logarithms finite
)

// What a bow of 72 in has where nothing was read or ordered (common practice): brace height and draw.
const (
	braceOf72 = 6
	drawOf72  = 28
)

// What readings are good to before they are rounded (common practice).
const (
	lineError   = 1.0 / 32 // of a rule held by hand
	bracedError = 1.0 / 16 // of brace height and string
	gaugeError  = 0.004    // of a feeler or wedge gauge
	scaleError  = 0.3
	rockingTilt = 0.5 * math.Pi / 180 // of a bow on a cradle that rocks (rad)
	usualRule   = 1.0 / 16            // the step of a rule, and of a scale, that nobody named
	usualScale  = 0.5
)

// What a shop does to its readings beside the errors of rule and scale. Offset, own error and drift are
// common practice. Support and the shares of a force were set by TestRealShop and by staves tillered by the
// plan: at twice the size peaks alone would not do to finish a bow by, and lines show a support anyway.
const (
	supportGive = 0.1 / 40 // what tree or cradle sinks by a pound on the scale (in/lb)
	drawOffset  = 1.0 / 16 // of all draws of a pass alike: the mark that they are measured from
	drawOwn     = 1.0 / 32 // of each draw by itself
	direction   = 0.005    // of all forces of a pass alike: the way in which a draw is commonly come to
	ownWay      = 0.006    // of each force by itself
	passDrift   = 0.015    // of stiffness, from the first pull of a pass to the last
)

// What a photograph shows, by rendered pictures (model/photo): of each station the middle of its sticker, at
// about twice what those show; the tilt of the line in each (rad); how well a sticker is placed by hand,
// which all pictures of a bow share; and how far it wanders in a pass, as limbs are handled and scraped.
const (
	photoError    = 0.004
	photoTilt     = 0.0007
	stickerError  = 1.0 / 64
	stickerWander = 1.0 / 256
)

// What may be the matter with the peaks of a pass, by TestRealShop.
const (
	wrongShare = 0.3   // of passes in which a peak is misread
	wrongSize  = 0.1   // by how much, as a share of the peak
	looseShare = 0.35  // of passes whose pulls were come to from both sides, with friction between
	looseSize  = 0.03  // what that makes of a force
	commonSize = 0.025 // of all peaks alike where any is amiss: most were come to from one side
	farSize    = 0.15  // of a peak, off by which it is neither loose nor slightly misread
	leastDoubt = 0.4   // times the chance of all being right, of a supposition that counts
	mostPeaks  = 12    // of a pass in which two may be wrong at once
	blind      = 1e3   // times its error, of a peak that says nothing

	fewPeaks    = 4   // of a pass, from which on none decides much alone
	doubted     = 0.3 // chance of being wrong from which on a peak is in doubt
	surelyWrong = 0.9 // the same from which on it is named as wrong
	mostRight   = 0.7 // chance of all being right from which on none is disputed
)

// The update. Far from the answer all readings seem wild, so at first none is left out: weights fall as one
// over the distance, in units of the readings' own scatter. Near the answer they fall as its square, in
// standard deviations, so that a wild reading soon counts for nothing; good ones seldom lie beyond
// closingBend.
const (
	huberBend    = 2    // where weights start to fall in the opening (Huber, Robust Statistics, 1981: 1.5 to 2)
	closingBend  = 2.7  // the same at the end
	near         = 4    // a step, squared, in standard deviations of the answer, where the next stage begins
	settled      = 1e-3 // the same that ends the steps
	mostSteps    = 14
	mostFailed   = 12   // tries that led to no bow; readings of a bow lead to hardly any
	mostSettles  = 3    // looks at the peaks
	leastRescale = 0.15 // difference of log weight worth a start of its own
	wildBound    = 4    // standard deviations off, from which on a reading is called wild
)

// Where readings don't fit. The chances are low, for there are a handful of groups to a pass.
const (
	rare      = 0.002 // chance below which a misfit is no chance
	sureShift = 3.0   // standard deviations from nothing, of a support, draw or settling that is named
	leastSunk = 0.1   // of a support, at the force below, that is named
	sunkAt    = 40.0
	// leastFit is the chance of all peaks being right and tight below which the fit is told to be bad:
	// TestRealShop's bows with 6 % of hysteresis fall below it, and hardly one in thirty of those as assumed.
	leastFit  = 0.35
	leastFree = 1.0 // readings, in effect, beyond what they were fitted by
	// mostRatio is that from which on readings contradict one another: a rule twice as rough as usual has
	// one of 3 to 4.
	mostRatio = 6.0
	widened   = 3    // steps after the errors have grown
	leastTold = 0.05 // of a value's variance that the readings must take away to tell of it
)

// What a stave is like before it is read. The figures are this project's own, from what staves may be: the
// scale is wide; stiffness falls towards the nock by a power of 0.7 to 1.3 or so of what is left of the limb,
// to a sixteenth to a fifth of the root's, and its middle is free besides; a limb is rough by 5 to 15 %, 10 %
// in the mean square, and alike over 2 to 5 in, which makes second differences of log stiffness of about 0.10
// or more at the knots. A narrower prior would also hold its bands where only gaps and peaks are read, but
// keep well-read limbs from their true roughness.

// commonStiffness is what both limbs of a stave share, limbStiffness what each has of its own. Where only
// gaps and peaks are read, the bands of bend are these.
func commonStiffness() curve { return curve{level: 0.8, slope: 0.3, bow: 0.1, tip: 0.3} }

func limbStiffness() curve {
	return curve{level: 0.2, slope: 0.16, bow: 0.06, tip: 0.15, rough: 0.098, reach: 3.5, fine: 0.02}
}

// limbRest is rest bend (1/in): 0.001 of it on a limb of 34 in is 0.6 in of string follow. Set and reflex
// bend a limb most in its middle: the bow alone makes half an inch of it.
func limbRest() curve {
	return curve{level: 0.0016, slope: 0.0016, bow: 0.0012, rough: 0.0008, reach: 6}
}

// sizedStiffness is what widths and depths leave open beside the modulus: wood that varies along the limb,
// and calipers that read to a hundredth or two.
func sizedStiffness() curve {
	return curve{level: 0.03, slope: 0.06, bow: 0.04, tip: 0.1, rough: 0.06, reach: 5, fine: 0.05}
}

// What a pass changes everywhere: drying, use and heat log stiffness, set rest bend (1/in).
func passStiffness() curve { return curve{level: 0.004, rough: 0.004, reach: 8} }
func passRest() curve      { return curve{level: 0.00012, slope: 0.0001, rough: 0.00006, reach: 8} }

const (
	usualHeavy  = 1.3 // times the ordered weight, of a stave that comes to the tree (this project's own)
	usualWeight = 55  // of a stave where no weight was ordered (this project's own)
	// usualModulus (psi) and its error serve where the wood's is not known: most bow woods lie between 1.3
	// and 2.2 million (Wood Handbook, USDA Forest Products Laboratory, chapter 5).
	usualModulus      = 1.7e6
	usualModulusError = 0.25
	woodError         = 0.15 // of a known modulus (this project's own)
	braceError        = 0.8  // of a brace height that nobody read (this project's own)
	passBrace         = 0.1  // how far it wanders from pass to pass on one string (this project's own)
	usualDepth        = 0.9  // of a limb that was not measured (common practice)

	// Finer roughness has a range along the limb. Some of its variance shows at a knot, which stands for
	// all around it; most of it no knot can show (this project's own).
	fineReach  = 2.5
	fineKnots  = 0.5
	fineHidden = 0.8
)

// A long string whose length nobody typed is an inch or two longer than the bow (common practice), but never
// so long that it would have been slack at a pull. As a share of that its excess is logit-normal, so that it
// stays between the two whatever the readings say.
const (
	usualExcess   = 1.5 // in the median
	mostShare     = 0.6 // of the most that it may be, in the median
	unknownSpread = 1.2 // of the logit: with the most at 3 in, about half an inch to 2 1/2
	mostReflex    = 1.0 // how far from the line unstrung nocks may lie on the back's side
)

// What a scraping is taken to do where that was not measured; common practice, no source.
const (
	unknownLoss  = 0.06  // of log stiffness, of a scraping of which nothing is known
	floorLoss    = 0.012 // error of log stiffness that no scraping falls short of
	scrapeReach  = 5     // range of the unevenness of a scraping
	scrapeEdge   = 1     // over which a scraping fades at its ends
	scrapeUneven = 0.6   // of a scraping's uncertainty that varies along it
	deepest      = 0.5   // of the depth that a scraping takes at the most, whatever was entered
	// How far off a scraping may be, as a share of the loss: by a measured share of the depth; by inches,
	// where the limb's own depth was measured; where it was not.
	shareError, depthError, unsizedError = 0.25, 0.25, 0.4

	leastSeen     = 0.05 // of a loss's variance that the readings must take away to count
	removedPlaces = 8    // of a stretch, over which its mean is taken
)

// UsualStroke is that of a scraper by common practice: 0.002 in, 0.001 to 0.003. Its error is this project's
// own.
func UsualStroke() Stroke { return Stroke{Depth: 0.002, Error: 0.6} }

// Other changes of a bow (this project's own).
const (
	heatUneven  = 0.5  // of bent wood's bend that varies along a stretch
	heatReach   = 6    // its range
	hornStiffer = 3.0  // times the stiffness of the wood alone
	thinError   = 0.05 // of log stiffness off a stretch, as a share: a depth that is meant is the depth
)

// usualSet is the set from a first full draw (in): half an inch is common, and good wood takes hardly any.
func usualSet() extra { return extra{mean: 0.25, sd: 0.15} }

// The set still to come is setLater more than the pulls so far say by a rough law of its growth, setLaw more
// or less (of a first full draw). TestRealShop set them, by bows that take none and bows that take most of it
// near the order.
const (
	setLater   = 0.17
	setLaw     = 0.31
	leastFresh = 0.02 // share of that set below which a pass is taken to bring none
)

// What it takes to learn from promises (this project's own).
const (
	// forecastError is what the estimate doesn't know of itself, as a share of the force: wood is no smooth
	// bow of knots.
	forecastError = 0.002
	fewPromises   = 20 // below them they change nothing, and as many more count half
	leastWide     = 0.8
	mostWide      = 2.5
	wideSteps     = 10 // to 1, in which ranges grow, so that not every pull changes them all
)

// The margins of the stop line (common practice). The largest is none of these: the upper edge of the peak's
// 90 % band must stay within the weight.
const (
	longestStep = 2.0     // how far the next pull may go beyond the longest
	firstStep   = 3.0     // how far the first may go beyond brace
	stopStep    = 1.0 / 8 // what the stop line is rounded down to, unless it is the order
)

// Flat spots and hinges, by the computed bows of finding_test.go and TestRealShop. Most limbs at the tree are
// uneven somewhere.
const (
	stepChance = 0.96 // that a limb has a local step of stiffness
	stepSize   = 0.25 // of its logarithm
	foundStep  = 0.5  // the same of a step found before
	bumpReach  = 3.0  // range of bumps of rest bend along the limb
	rootWidth  = 6.0  // the narrowest place at the root: nearer in hardly anything is read

	leastSize  = 0.12 // of a step that is reported, as a deviation from the rest
	leastShown = 0.05 // of what the curve shows of it
	// A finding is reported where its chance is leastChance at least and that of a limb without any step is
	// at most mostPlain; where it may be a rough limb without one, from a chance of leastAlone on. Of even
	// bows with rest bend rough by 0.0002 to 0.001 in⁻¹ one in twenty has a finding by these.
	leastChance  = 0.8
	mostPlain    = 0.045
	leastAlone   = 0.95
	foundGap     = 1.0  // between two findings of a limb
	mostFindings = 3    // on a limb
	tooLittle    = 1e-5 // chance of a step that is not looked at
	mostBlur     = 0.14 // that the size of a step may be unsure by to be reported
	// surest is the highest chance: staves may be of a kind not listed. Of computed findings at least 98 %
	// sure without it 569 of 572 were right.
	surest = 0.995
	// The less the readings show of a place, the more its chance owes to the prior. From trustedBlur on doubt
	// grows with blur, up to mostDoubt times.
	trustedBlur = 0.055
	mostDoubt   = 2.0

	// The middle of a limb, as shares of it, where unevenness counts: nearer the root and the nock every
	// limb bends less.
	middleFrom = 0.1
	middleTo   = 0.8
	openReach  = 4.0 // range of what the knots can't show, about the way between two of them
	// HiddenWidth is that of the flats that may hide.
	HiddenWidth = 6.0
	foundFrom   = 5 // standard deviations off, from which a step is found four times of five, its place unknown
	// unsureFrom is the standard deviation of a deviation from which on a flat of leastSize can't be told from
	// an even limb nine times in ten.
	unsureFrom = 0.6 * leastSize
)

// A kind of stave.
type kind struct {
	rough float64 // sd of log stiffness, beside a local step
	rest  float64 // roughness of rest bend, as a share of the usual
	bumpy float64 // sd of rest bend in bumps of few inches (1/in)
	loose bool    // of any taper
	share float64 // of all staves
}

// kinds go from planed straight and near the aim to wavy, rough and of any taper; the first is the commonest.
// The readings of a rough one soon tell. Half of the staves are taken to be crooked over a few inches, which
// a block takes for bend.
func kinds() [11]kind {
	return [11]kind{
		{0.015, 0.2, 0, false, 0.24}, {0.015, 0.2, 0.0004, false, 0.12}, {0.015, 0.2, 0.0008, false, 0.15},
		{0.015, 0.2, 0.0013, false, 0.15}, {0.015, 1, 0, false, 0.05}, {0.05, 0.2, 0, false, 0.06},
		{0.05, 1, 0.0009, false, 0.12}, {0.01, 0.5, 0.0003, true, 0.06}, {0.05, 1, 0.0009, true, 0.05},
		{0.09, 1, 0.0009, true, 0.05}, {0.14, 1, 0.0009, true, 0.05},
	}
}

// evenStiffness is how far a limb's stiffness may differ from that with which it would bend exactly by the
// aim.
func (k kind) evenStiffness() curve {
	c := curve{level: 1, slope: 0.06 + k.rough, bow: 0.03 + k.rough/2, tip: 0.2, rough: k.rough, reach: 5}
	if k.loose {
		c.slope, c.bow, c.tip = 0.5, 0.25, 0.4
	}
	return c
}
