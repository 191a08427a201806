// Package section holds the cross sections of a limb. It gives second moments of area about the neutral axis
// and the strain that a bend puts on back and belly.
//
// The mathematics is unit free: lengths in any one unit, areas and second moments in its powers, bend in one
// over it. The package knows nothing of bows, woods or files.
package section

import "math"

// Kind is the form of a cross section, as a record spells it.
type Kind string

const (
	// D has a flat back, straight sides and a belly that is half an ellipse. It is any kind but the others.
	D Kind = "D"
	// Rectangle is flat all round.
	Rectangle Kind = "rectangle"
	// Ellipse is round all round.
	Ellipse Kind = "ellipse"
)

// Keeps says whether a section of the kind stays like itself as wood comes off its belly.
func (k Kind) Keeps() bool { return k == Rectangle || k == Ellipse }

// A Section is one cross section. Make one with [New].
type Section struct {
	kind               Kind
	width, depth, side float64
}

// usualSide is the height of the sides of a D as a share of its depth, where it was not measured. No source:
// it is a longbow's usual look, and scraping such a belly follows the exponent 2.86 of
// testdata/reference/sections.json.
const usualSide = 0.4

// New is a section of the given width and depth; ok is false unless both are positive. The sides of a D are
// taken as four tenths of its depth.
func New(kind Kind, width, depth float64) (s Section, ok bool) {
	size := func(v float64) bool { return v > 0 && v < largest }
	return Section{kind, width, depth, usualSide * depth}, size(width) && size(depth)
}

const largest = 1e9

// moments are area, distance of the centroid from the back, and second moment about the centroid.
//
// Rectangle b·h: A = bh, I = bh³/12. Ellipse: A = πbh/4, I = πbh³/64. Half an ellipse of depth a on its flat:
// A = πba/4, centroid 4a/3π from the flat, I = ba³(π/16 − 4/9π). Roark's Formulas for Stress and Strain,
// table A.1 (from memory).
func (s Section) moments() (area, centroid, second float64) {
	b, h := s.width, s.depth
	switch s.kind {
	case Rectangle:
		return b * h, h / 2, b * h * h * h / 12
	case Ellipse:
		return math.Pi * b * h / 4, h / 2, math.Pi * b * h * h * h / 64
	}
	t, a := s.side, s.depth-s.side
	flat, round := b*t, math.Pi*b*a/4
	roundAt := t + 4*a/(3*math.Pi)
	area = flat + round
	centroid = (flat*t/2 + round*roundAt) / area
	second = b*t*t*t/12 + flat*(centroid-t/2)*(centroid-t/2) +
		b*a*a*a*(math.Pi/16-4/(9*math.Pi)) + round*(roundAt-centroid)*(roundAt-centroid)
	return area, centroid, second
}

// SecondMoment is the second moment of area about the axis across the limb through the centroid (length⁴).
// Times the modulus of elasticity of the wood it is the stiffness of the limb.
func (s Section) SecondMoment() float64 {
	_, _, second := s.moments()
	return second
}

// Strain is the strain at the back and at the belly under a bend, the curvature that the draw put there
// (1/length): the bend times the distance of the face. A bend towards the belly stretches the back (positive)
// and presses the belly (negative).
func (s Section) Strain(bend float64) (back, belly float64) {
	_, centroid, _ := s.moments()
	return bend * centroid, -bend * (s.depth - centroid)
}
