package estimate

import "bendbook/model"

// usualSet is the set that a first full draw brings to a bow and that neither relaxed readings nor those at
// its draws show (in, 1 sd). Common practice says that half an inch of set is usual; allowing for all of it
// makes the bands of bows that take none too wide where only gaps and peaks are read, and gains nothing on
// virtual staves that take an inch.
const usualSet = 0.15

// SetShare is the share of the set of a first full draw that a bow has taken once it was drawn to a draw
// (in). It grows with the square of the draw over brace, nearly; this project's own.
func (b Bow) SetShare(draw float64) float64 {
	full := b.Draw
	if !(full > leastDraw*b.UsualBrace()) {
		full = b.UsualDraw()
	}
	s := max((draw-b.UsualBrace())/(full-b.UsualBrace()), 0)
	return min(s*s, 1)
}

// A freshness follows the draws of a pass. Each draw beyond all before adds some set, which earlier readings
// did not see.
type freshness struct {
	bow          Bow
	before, last float64 // longest draw so far and by the end of the pass (in)
	first        float64 // before the pass
	pulls        int
}

func newFreshness(st State, p Pass) *freshness {
	f := &freshness{bow: st.bow, before: st.longest, first: st.longest, last: st.longest}
	for _, h := range p.Hangs {
		for _, pull := range h.Pulls {
			f.last = max(f.last, pull.Draw)
			f.pulls++
		}
	}
	return f
}

// leastFresh is the share of a set that no reading shows.
const leastFresh = 0.02

// any says whether some readings of the pass may precede a set.
func (f *freshness) any() bool {
	return f.pulls > 1 && f.all() > leastFresh
}

// all is the share of the set that the pass brings.
func (f *freshness) all() float64 { return f.bow.SetShare(f.last) - f.bow.SetShare(f.first) }

// after is the share of the set that the bow takes after the next pull, to a draw.
func (f *freshness) after(draw float64) float64 {
	f.before = max(f.before, draw)
	return f.bow.SetShare(f.last) - f.bow.SetShare(f.before)
}

// bySet is the derivative by an inch of set: a curvature of 2/L² all along a limb takes its nock an inch off
// the line.
func (b Bow) bySet(f frame, by []float64) float64 {
	sum := 0.0
	for _, side := range model.Sides {
		length := b.Limbs[side].Length
		for _, d := range by[f.rest(side):][:knotsPerLimb] {
			sum += d * 2 / (length * length)
		}
	}
	return sum
}

// giving finds how the brace height falls with set while the string stays the same.
func (m *predictor) giving(h *hangModel) error {
	if m.taken < 0 || h.long {
		return nil
	}
	if err := m.solver.Brace(&h.groups[0].sol); err != nil {
		return err
	}
	if err := m.solver.Derive(&h.groups[0].sol, &m.slopes); err != nil {
		return err
	}
	length := m.slopes.StringLength
	h.give = -m.bow.bySet(m.frame, length) / length[m.frame.brace()]
	return nil
}
