package estimate

import "bendbook/model"

// Belly is one limb's belly in its own outward frame: at places out from its root (in), how far along the
// line and across it the belly stands, and how far from the line it stands unstrung.
type Belly struct{ At, Along, Across, Relaxed []float64 }

// Shape is the belly by Side of the bow as estimated, drawn to a draw (in) or left braced at 0. The error
// wraps [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) Shape(draw float64, at [2][]float64) (limbs [2]Belly, err error) {
	p, err := st.probe(draw, placesAt(at[model.Upper], at[model.Lower]))
	if err != nil {
		return limbs, err
	}
	for side, read := range p.read {
		limbs[side] = Belly{at[side], read.X, read.Line, read.Relaxed}
	}
	return limbs, nil
}
