package strung

import "math"

// follow moves a parameter from one value to another by calling try at places on the way. It returns the last
// value that succeeded, and whether that was the goal.
func follow(from, to float64, try func(v float64) bool) (float64, bool) {
	here, stride := from, to-from
	finest := math.Abs(stride) * 1e-5
	for range mostStrides {
		next := here + stride
		if math.Abs(stride) >= math.Abs(to-here) {
			next, stride = to, to-here
		}
		if try(next) {
			if next == to {
				return to, true
			}
			here = next
			stride *= 2
			continue
		}
		stride /= 2
		if math.Abs(stride) < finest {
			break
		}
	}
	return here, false
}
