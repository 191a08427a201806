package estimate

import "bendbook/model"

// An Evenness is how a bow bends and what it weighs at a draw, and its tiller when braced.
type Evenness struct {
	Limbs [2]Bending
	// Uneven is the standard deviation of bend over the aim along the middle of each limb, over its mean; the zero
	// Figure where nothing there is compared.
	Uneven [2]Figure
	Weight Forecast
	Tiller Figure // as [State.Tiller] tells it
}

// Evenness is that at a draw (in): the bend at places along both limbs, the tiller at one place. It finds for
// two bows on a string what [State.Bending], [State.Forecast] and [State.Tiller] find for three. The error wraps [ErrUnsolved], [ErrDraw] or [ErrInput].
func (st State) Evenness(draw float64, a Aim, at [2][]float64, tillerAt float64) (e Evenness, err error) {
	c, err := st.course(draw, a, at)
	if err != nil {
		return e, err
	}
	for _, s := range model.Sides {
		e.Limbs[s] = c[s].bending(st, s, len(at[s]))
		e.Uneven[s] = c[s].unevenness(st.g, st.bow.Limbs[s].Length)
	}
	p, err := st.probe(0, placesAt([]float64{tillerAt}, []float64{tillerAt}))
	if err != nil {
		return e, err
	}
	e.Tiller = p.tiller(0)
	if err := p.draw(draw); err != nil {
		return e, err
	}
	e.Weight = p.forecast(draw)
	return e, nil
}
