package estimate

import "bendbook/model"

// A candidate is a place of a limb that might bend other than the rest.
type candidate struct {
	from, to float64
	// rise is a step of log stiffness there, by knot of the limb.
	rise []float64
	// over tells how much less the place bends than the rest of the compared limb, from log stiffness by knot.
	over []float64
}

const (
	narrowest = 6.0 // widths of places looked at (in)
	widest    = 12.0
	widthStep = 2.0
	placeStep = 1.0
	// leastRest is the share of the compared limb that must be left to compare a place with.
	leastRest = 0.4
)

// candidates are all places of a limb as far as it is compared, narrow ones first, each from the root on.
func (st State) candidates(side model.Side, a Aim) []candidate {
	knots := st.frame.knots[side]
	end := a.ComparedTo(st.bow.Limbs[side].Length)
	var all []candidate
	for width := narrowest; width <= min(widest, (1-leastRest)*end); width += widthStep {
		for from := 0.0; from+width <= end; from += placeStep {
			m := candidate{from: from, to: from + width}
			in, out := share(knots, from, from+width), share(knots, 0, end)
			rest := 0.0
			for i := range knots {
				m.rise = append(m.rise, cover(knots, i, from, from+width))
				out[i] -= in[i]
				rest += out[i]
			}
			for i := range knots {
				m.over = append(m.over, in[i]/width-out[i]/rest)
			}
			all = append(all, m)
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
