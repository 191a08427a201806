package estimate

import (
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A candidate is a place of a limb that may bend differently from the rest.
type candidate struct {
	from, to float64
	end      float64 // how far the limb is compared (in)
	// rise is what the knots show of a step of log stiffness there: the course, linear between them, that
	// lies nearest to the step.
	rise []float64
	over []float64 // times log stiffness by knot, how much less the place bends than the rest
}

// candidates are places of a limb as far as it is compared, 4 to 12 in wide, narrow ones first, each from the
// root on. Two fifths of that must be left to compare a place with.
func (st State) candidates(side model.Side, a Aim) []candidate {
	knots := st.frame.knots[side]
	end := a.ComparedTo(st.bow.Limbs[side].Length)
	var all []candidate
	for width := 4.0; width <= min(12, 0.6*end); width += 2 {
		for from := max(rootWidth-width, 0); from+width <= end; from++ {
			in, over := share(knots, from, from+width), share(knots, 0, end)
			floats.Sub(over, in)
			floats.Scale(-1/floats.Sum(over), over)
			floats.AddScaled(over, 1/width, in)
			all = append(all, candidate{from, from + width, end, nearest(knots, in), over})
		}
	}
	return all
}

// share is the integral from one place to another of each knot's tent (in).
func share(knots []float64, from, to float64) []float64 {
	out := make([]float64, len(knots))
	for k := range len(knots) - 1 {
		a, b := max(from, knots[k]), min(to, knots[k+1])
		if b > a {
			middle := ((a+b)/2 - knots[k]) / (knots[k+1] - knots[k])
			out[k] += (b - a) * (1 - middle)
			out[k+1] += (b - a) * middle
		}
	}
	return out
}

// nearest is the course, linear between the knots, that lies nearest by least squares to one of which the
// integral with each knot's tent is given. It keeps these integrals, and so level and first moment too.
func nearest(knots, integrals []float64) []float64 {
	n := len(knots)
	side, middle := make([]float64, n-1), make([]float64, n)
	for k := range side {
		step := knots[k+1] - knots[k]
		side[k] = step / 6
		middle[k] += step / 3
		middle[k+1] += step / 3
	}
	course := mat.NewVecDense(n, nil)
	// The matrix is dominated by its diagonal for any knots in order: it can't fail.
	_ = mat.NewTridiag(n, side, middle, side).SolveVecTo(course, false, mat.NewVecDense(n, integrals))
	return course.RawVector().Data
}

// shown is how much of a step of another candidate this one has over the rest of the compared limb: 1 of its
// own, and less than nothing where the step is wholly in the rest.
func (m candidate) shown(step candidate) float64 {
	in := max(min(m.to, step.to)-max(m.from, step.from), 0)
	out := step.to - step.from - in
	return in/(m.to-m.from) - out/(m.end-(m.to-m.from))
}
