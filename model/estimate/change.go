package estimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/strung"
)

// A Change is what may be done to a bow. The zero value does nothing.
type Change struct {
	Shorten [2]float64 // comes off each limb at its nock (in)
	Thin    []Thin
	Stiffer float64 // is added to log stiffness everywhere, as where the bow dries or cools
	Follow  float64 // is how much farther its nocks follow the string (in), below 0 for a set back
	Hook    float64 // is how much higher the string is drawn (in)
	Nocks   float64 // is the part of each limb at its nock that horn stiffens (in)
	// Brace is the height and String the length of the string (in). Where both are 0 the string stays, or is
	// a shorter one of the same brace height where the bow is shortened.
	Brace, String float64
}

// A Thin is a share of the depth, and one of the width, off a stretch.
type Thin struct {
	Stretch
	Depth, Width float64
}

// shortened is the bow with shorter limbs. Its values are those of the longer one at the same places, as far
// as its knots show them. The error wraps [ErrInput].
func (st State) shortened(off [2]float64) (State, error) {
	old := st.frame
	for s := range off {
		limb := &st.bow.Limbs[s]
		if limb.Length -= off[s]; !(off[s] >= 0 && limb.Length > 0) {
			return st, fmt.Errorf("%v in off the %v limb: %w", off[s], model.Side(s), ErrInput)
		}
	}
	if off == [2]float64{} {
		return st, nil
	}
	st.frame = newFrame(st.bow)
	var ok, also bool
	st.g, ok = st.g.onto(old, st.frame)
	st.unread, also = st.unread.onto(old, st.frame)
	if !ok || !also {
		return st, fmt.Errorf("shortening by %v: %w", off, ErrUnsolved)
	}
	// The same set shows less on shorter limbs, so that it's counted anew.
	st.first, st.braced = nil, false
	return st.unpulled(), nil
}

// onto takes a bow's values to the knots of another frame, linear between its own. What those don't show of
// the roughness between them widens the covariance.
func (g gaussian) onto(old, f frame) (gaussian, bool) {
	n := f.len()
	to, hidden := mat.NewDense(n, n, nil), make([]float64, n)
	to.Set(f.brace(), f.brace(), 1)
	for s, knots := range f.knots {
		for _, part := range []struct {
			first int
			curve curve
		}{{f.stiffness(model.Side(s)), limbStiffness()}, {f.rest(model.Side(s)), limbRest()}} {
			for i, at := range knots {
				k, share := locate(old.knots[s], at)
				to.Set(part.first+i, part.first+k, 1-share)
				to.Set(part.first+i, part.first+k+1, share)
				if slices.Equal(knots, old.knots[s]) {
					continue
				}
				hidden[part.first+i] = part.curve.between(at, old.knots[s])
			}
		}
	}
	var root mat.Dense
	root.Mul(to, g.root)
	next := gaussian{mean: product(to, g.mean), root: &root}
	cov := next.covariance()
	for i, v := range hidden {
		addTo(cov, i, i, v)
	}
	return from(next.mean, cov)
}

// unpulled is the state without what is only of the pulls of its last pass.
func (st State) unpulled() State {
	st.wild, st.disputed, st.leftOut = nil, nil, nil
	st.pulled, st.shared = gaussian{}, nil
	st.scraped, st.unmeasured, st.marked = nil, gaussian{}, marked{}
	return st
}

// With is the bow as it would be after a change, before it is read again. The error wraps [ErrInput], or
// [ErrUnsolved] where it can't be strung so.
func (st State) With(c Change) (State, error) {
	var kept, spread = 0.0, []float64(nil) // the length of the string that stays, and what it owes to the root
	if c.Brace == 0 && c.String == 0 && c.Shorten == [2]float64{} {
		p, err := st.probe(0, strung.Places{})
		if err != nil {
			return st, err
		}
		kept, spread = p.sol.StringLength, st.g.spread(p.own(p.slopes.StringLength))
	}
	st, err := st.shortened(c.Shorten)
	if err != nil {
		return st, err
	}
	st = st.unpulled()
	st.bow.Hook += c.Hook
	_, cols := st.g.root.Dims()
	g := st.g.grown(0, len(c.Thin))
	for _, s := range model.Sides {
		length, stiffness := st.bow.Limbs[s].Length, st.frame.stiffnesses(s, g.mean)
		floats.AddConst(c.Stiffer, stiffness)
		floats.AddConst(c.Follow*2/(length*length), st.frame.rests(s, g.mean))
		if c.Nocks > 0 {
			horn := covers(st.frame.knots[s], length-c.Nocks, length+scrapeEdge)
			floats.AddScaled(stiffness, math.Log(hornStiffer), horn)
		}
	}
	for j, t := range c.Thin {
		st.bow.Limbs[t.Side] = st.bow.Limbs[t.Side].thinner(t)
		loss := -st.bow.Loss(t.Depth) + math.Log1p(-min(max(t.Width, 0), deepest))
		first := st.frame.stiffness(t.Side)
		for i, share := range covers(st.frame.knots[t.Side], t.From, t.To) {
			g.mean[first+i] += loss * share
			g.root.Set(first+i, cols+j, thinError*loss*share)
		}
	}
	st.g = g
	switch {
	case kept > 0:
		return st.onString(kept, spread)
	case c.String > 0:
		return st.onString(c.String, nil)
	}
	brace := st.frame.brace()
	st.g = st.g.reset(brace, cmp.Or(c.Brace, st.g.mean[brace]), 0)
	_, err = st.probe(0, strung.Places{})
	return st, err
}

// thinner is the limb with its sizes as a thinning leaves them.
func (l Limb) thinner(t Thin) Limb {
	l.Later = slices.Clone(l.latest())
	for i := range l.Later {
		if size := &l.Later[i]; size.At >= t.From && size.At <= t.To {
			size.Depth *= 1 - t.Depth
			size.Width *= 1 - t.Width
		}
	}
	return l
}

// onString is the state on a string of a length (in), which owes so much to the columns of the root; nil is
// one that was measured. The brace height gives way.
func (st State) onString(length float64, owes []float64) (State, error) {
	p := &probe{st: st}
	err := p.set(st.frame.strung(st.bow, st.g.mean), strung.ByLength(length))
	if err == nil {
		err = p.draw(0)
	}
	if err == nil && !p.sol.Braced {
		err = fmt.Errorf("a string of %.4g in doesn't brace it", length)
	}
	if err != nil {
		return st, fmt.Errorf("%w: %w", ErrUnsolved, err)
	}
	brace := st.frame.brace()
	height := p.sol.Brace
	st.g.mean[brace] = height
	if p, err = st.probe(0, strung.Places{}); err != nil {
		return st, err
	}
	by := slices.Clone(p.own(p.slopes.StringLength))
	give := by[brace]
	by[brace] = 0
	spread, own := st.g.spread(by), 0.0
	floats.Scale(-1/give, spread)
	if floats.AddScaled(spread[:len(owes)], 1/give, owes); owes == nil {
		own = math.Abs(st.bow.Errors.String / give)
	}
	st.g = st.g.reset(brace, height, own)
	copy(st.g.root.RawRowView(brace), spread)
	return st, nil
}
