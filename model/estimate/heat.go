package estimate

import (
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/strung"
)

// A Heat is a stretch of one limb that was heated and bent, or patched, so that it must be read anew.
type Heat struct {
	Side     model.Side
	From, To float64 // from the root (in)
	// Back is how far the nock was likely set back (in), Nock the error of that, and Stiffness how far stiffness
	// may have changed as a share of it (1 sd).
	Back, Nock, Stiffness float64
	Stiffer               float64 // how far it likely rose, of its logarithm
}

// heat opens rest bend and stiffness where a limb was heated. On the same string the brace height follows.
func (st State) heat(h Heat, mean []float64, cov *mat.SymDense) {
	f, knots, length := st.frame, st.frame.knots[h.Side], st.bow.Limbs[h.Side].Length
	to := min(h.To, length)
	// A bend all along the stretch moves the nock by that, times its length, times the way on to the nock.
	byNock := 1 / ((to - h.From) * (length - (h.From+to)/2))
	covered, gives := covers(knots, h.From, to), st.gives(mean)
	added, moved := mat.NewSymDense(f.len(), nil), make([]float64, f.len())
	addUneven(added, f.rest(h.Side), knots, covered, h.Nock*byNock, heatUneven, heatReach)
	addUneven(added, f.stiffness(h.Side), knots, covered, h.Stiffness, heatUneven, heatReach)
	floats.AddScaled(f.rests(h.Side, moved), -h.Back*byNock, covered)
	floats.AddScaled(f.stiffnesses(h.Side, moved), h.Stiffer, covered)
	with := product(added, gives)
	for i, v := range with {
		added.SetSym(i, f.brace(), v)
	}
	added.SetSym(f.brace(), f.brace(), floats.Dot(gives, with))
	moved[f.brace()] = floats.Dot(gives, moved)
	floats.Add(mean, moved)
	cov.AddSym(cov, added)
}

// gives is how the brace height changes by each value while the string stays the same; zeros where no string
// braces the bow.
func (st State) gives(mean []float64) []float64 {
	by, brace := make([]float64, st.frame.len()), st.frame.brace()
	var t tree
	var sol strung.Solution
	err := t.set(st.frame.strung(st.bow, mean), strung.ByBrace(mean[brace]))
	if err == nil {
		err = t.draw(0, &sol)
	}
	if err != nil || !st.braced {
		return by
	}
	for i := range brace {
		by[i] = -t.slopes.StringLength[i] / t.slopes.StringLength[brace]
	}
	return by
}
