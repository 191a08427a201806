package estimate

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
)

// TestNearestCourseKeepsWhatReadingsSee has the course of the knots keep a step's integral, its first moment
// and its integral with every tent, whatever its place: readings are means of this sort.
func TestNearestCourseKeepsWhatReadingsSee(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(25, 40).Draw(t, "length")
		knots := newFrame(Bow{Limbs: [2]Limb{{Length: length}, {Length: length}}}).knots[0]
		from := rapid.Float64Range(0, length-4).Draw(t, "from")
		to := rapid.Float64Range(from+2, length).Draw(t, "to")
		course := nearest(knots, share(knots, from, to))
		area, moment := 0.0, 0.0
		for k := range len(knots) - 1 {
			a, b, h := course[k], course[k+1], knots[k+1]-knots[k]
			area += h * (a + b) / 2
			moment += h * (knots[k]*(2*a+b) + knots[k+1]*(a+2*b)) / 6
		}
		if math.Abs(area-(to-from)) > 1e-9 {
			t.Errorf("area %v of a step %v wide", area, to-from)
		}
		if want := (to - from) * (from + to) / 2; math.Abs(moment-want) > 1e-8 {
			t.Errorf("moment %v, wanted %v", moment, want)
		}
		for i, want := range share(knots, from, to) {
			got := 0.0
			for k := max(i-1, 0); k < min(i+1, len(knots)-1); k++ {
				h := knots[k+1] - knots[k]
				got += h / 6 * (course[k] + course[k+1] + course[i])
			}
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("tent %d: %v, wanted %v", i, got, want)
			}
		}
	})
}

// TestShown has a step show wholly at its own place, by half at one that it half covers, and lift the rest
// where it lies there.
func TestShown(t *testing.T) {
	place := candidate{from: 6, to: 12, end: 30}
	for _, c := range []struct {
		from, to, want float64
	}{{6, 12, 1}, {9, 15, 0.5 - 3.0/24}, {20, 26, -6.0 / 24}, {6, 9, 0.5}, {0, 30, 0}} {
		if got := place.shown(candidate{from: c.from, to: c.to, end: 30}); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("step from %v to %v: %v, wanted %v", c.from, c.to, got, c.want)
		}
	}
	knots := newFrame(Bow{Limbs: [2]Limb{{Length: 33}, {Length: 33}}})
	for _, m := range (State{frame: knots, bow: Bow{Limbs: [2]Limb{{Length: 33},
		{Length: 33}}}}).candidates(model.Upper, Aim{}) {
		sum := 0.0
		for i, over := range m.over {
			sum += over * m.rise[i]
		}
		if sum < 0.7 || sum > 1.05 {
			t.Errorf("from %v to %v: the knots show %v of a step", m.from, m.to, sum)
		}
	}
}
