package strung

// All that the package takes as given. None says anything of bows: they are the coefficients of the scheme,
// what rounding allows, and how the search goes, found on the random staves of this package's tests. Shares
// of a limb are of the mean of both.

// Bounds on input. They are far outside any bow and keep arithmetic and work in range.
const (
	maxKnots     = 2048
	maxSegments  = 4096
	maxMagnitude = 1e12
	minMagnitude = 1e-12
	mostOff      = 0.25 // that the hook may sit off the string's middle, as a share of the shorter limb
	maxContrast  = 1e9  // ratio of stiffnesses, or of lengths, in one bow
	slight       = 1e-9 // share of the scale below which a distance or a tension counts as nothing
)

// The grid.
const (
	// DefaultSegments is the number of segments a limb is divided into unless [Segments] says otherwise. A limb
	// with more knots than that has one segment or more between each two of them.
	DefaultSegments = 16
	// gradeRatio is the largest ratio of stiffness across a segment. Where stiffness falls to little at one end,
	// segments are halved towards that end until it is met, since there the bend changes over a length of
	// stiffness over its slope.
	gradeRatio = 2.5
)

// The symmetric fourth-order splitting S6 of Blanes & Moan, "Practical symplectic partitioned Runge–Kutta and
// Runge–Kutta–Nyström methods", J. Comput. Appl. Math. 142 (2002) 313–330, table 2 (coefficients from memory;
// the order is checked by test).
const (
	kicksPerSegment = 6

	runA1 = 0.0792036964311957
	runA2 = 0.353172906049774
	runA3 = -0.0420650803577195
	runA4 = 1 - 2*(runA1+runA2+runA3)

	turnB1 = 0.209515106613362
	turnB2 = -0.143851773179818
	turnB3 = 0.5 - (turnB1 + turnB2)
)

// Newton's method, on equations scaled to the order of 1.
const (
	// nearEnough: from a residual this small the next full Newton step ends below rounding error of the walk
	// along the limb, so it is taken unchecked.
	nearEnough  = 1e-7
	newtonSteps = 30
	halvings    = 8   // of one step, each to a third
	turnAtOnce  = 0.5 // of an angle in one step (rad)
	leaveAtOnce = 0.9 // of a tension that one step may take away
	polishSteps = 6   // after the last unchecked one
)

// What an answer must be.
const (
	closed = 1e-9 // the largest residual
	// sharpestTurn is the most that a limb may turn within one segment (rad). Beyond it the chain no longer
	// follows the limb closely enough to be believed.
	sharpestTurn = 0.5
	// mostGrowth is how many times a turn at the nock may grow on its way to the root. It grows without bound
	// as the limb comes to lie along the string, until rounding drowns the answer.
	mostGrowth = 1e6
	// An answer far from the guess may lie on another branch, where a limb is folded over. These bound how
	// far an answer may be from the guess, and how far one stride may go (rad).
	mostSurprise = 0.3
	mostTurn     = 1.0
)

// The way to an answer that no guess leads to.
const (
	mostStrides = 200
	finest      = 1e-5 // stride from one braced bow to another, as a share of the way
	// finestStride is the shortest stride on the way from the start to a draw, as a share of a limb. A bow that
	// is hardly braced changes within as little as its brace.
	finestStride = 1e-10
	easyRise     = 0.15 // brace over that of a slack string, a share of a limb, from which others are reached
	easyDraw     = 0.4  // draw, a share of a limb, that bends any limb without straining any
	// almostStraight is how little a long string rises over the nocks, a share of a limb, where the limbs
	// may bend to either side.
	almostStraight = 0.02
)
