package section

import (
	"fmt"
	"math"
)

// What the check values speak of beside the second moment: the area, a D whose sides were measured, and a belly that is taken down.

// ErrDepth is for a depth or a stiffness that scraping the belly can't reach.
var ErrDepth = fmt.Errorf("out of reach of the belly: %w", ErrSize)

// WithDepth is the section after its belly was taken down, or imagined up, to another depth (length). Its width
// stays, and so do the sides of a D, whose belly stays half an ellipse. The error is [ErrDepth]
// where the depth is not a size or lies within the sides of a D.
func (s Section) WithDepth(depth float64) (Section, error) {
	if !(depth > 0 && depth < largest) || s.kind == D && depth < s.side {
		return s, fmt.Errorf("depth %v: %w", depth, ErrDepth)
	}
	s.depth = depth
	return s, nil
}

// DepthFor is the depth at which the second moment is the given share of what it is now, the belly alone having
// changed as by [Section.WithDepth] (length). For a rectangle and an ellipse that is the cube root; for a D it is solved. The error is
// [ErrDepth] where the share is not positive, or the depth would lie within the sides of a D.
func (s Section) DepthFor(share float64) (float64, error) {
	if !(share > 0 && share < largest) {
		return 0, fmt.Errorf("share %v of the stiffness: %w", share, ErrDepth)
	}
	if s.kind != D {
		return s.depth * math.Cbrt(share), nil
	}
	want := share * s.SecondMoment()
	at := func(depth float64) float64 {
		s.depth = depth
		return s.SecondMoment()
	}
	now := s.depth
	low, high := s.side, now
	if want < at(low) {
		return 0, fmt.Errorf("share %v of the stiffness: %w", share, ErrDepth)
	}
	for at(high) < want {
		low, high = high, 2*high
		if high > largest {
			return 0, fmt.Errorf("share %v of the stiffness: %w", share, ErrDepth)
		}
	}
	// The second moment rises with the depth throughout, so halving can't fail.
	for range 200 {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if at(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// NewD is a D whose straight sides have the given height: a rectangle of width by side at the back, and on it half an ellipse of
// width by depth − side. Without sides it is half an ellipse. The error is [ErrSize].
func NewD(width, depth, side float64) (Section, error) {
	s := Section{kind: D, width: width, depth: depth, side: side}
	return s, s.check()
}

// Kind is the form.
func (s Section) Kind() Kind { return s.kind }

// Width is the breadth across the limb (length).
func (s Section) Width() float64 { return s.width }

// Depth is from back to belly (length).
func (s Section) Depth() float64 { return s.depth }

// Side is the height of a D's straight sides (length), and 0 for the others.
func (s Section) Side() float64 { return s.side }

// Area is the area (length²).
func (s Section) Area() float64 {
	area, _, _ := s.moments()
	return area
}
