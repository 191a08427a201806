package strung

// A Limb is one limb from its root, where the rigid handle ends, to its nock.
type Limb struct {
	// Length is the arc length from root to nock (length).
	Length float64
	// At lists the knots: distances from the root along the limb (length), strictly rising, the first 0 and
	// the last Length.
	At []float64
	// Stiffness is E·I at each knot (force·length²), all positive.
	Stiffness []float64
	// RestBend is the curvature of the unstrung limb at each knot (1/length), positive where the limb follows
	// the string, negative where it is reflexed. Nil is a straight limb. Between knots it is linear.
	RestBend []float64
}

// Profile says how stiffness runs between knots.
type Profile uint8

const (
	// Linear stiffness between knots.
	Linear Profile = iota
	// LogLinear stiffness: its logarithm is linear between knots.
	LogLinear
)

// A Bow is two limbs on a rigid handle.
type Bow struct {
	// Handle is the rigid length between the limb roots (length), 0 or more.
	Handle float64
	// Upper and Lower are the two limbs, each in its own outward frame.
	Upper, Lower Limb
	// Hook is how far from the string's middle the hook sits, along the string towards the upper nock (length).
	Hook float64
	// Between says how stiffness runs between the knots of both limbs.
	Between Profile
}

// A String is given either by its length or by the brace height it sets.
type String struct {
	value   float64
	byBrace bool
}

// ByLength is a string of the given length between nocks (length). It may be longer than the bow: a long
// string, slack below some draw.
func ByLength(length float64) String { return String{value: length} }

// ByBrace is the string that braces the bow at the given height: the distance from the line to the straight
// string, at the middle of the handle (length). The string of a bow with unequal limbs is tilted, so at its
// own middle, where the hook sits, it may be a little nearer or farther than that.
func ByBrace(height float64) String { return String{value: height, byBrace: true} }

// sideOf names the limb of an index.
func sideOf(i int) string { return [...]string{"upper", "lower"}[i] }
