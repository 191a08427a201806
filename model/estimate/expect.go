package estimate

import (
	"math"
)

// Expect predicts a reading of a pass that goes on, before it is typed; the string is the last that braced
// the bow. The figure's band is that of the reading itself, its own error included. The error wraps
// [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) Expect(w Where) (Figure, error) {
	m := &predictor{bow: st.bow, frame: st.frame}
	h := &hangModel{value: st.frame.brace()}
	m.hangs = append(m.hangs, h)
	g := h.group(w.Draw)
	var err error
	switch e := m.bow.Errors; w.Kind {
	case Block:
		m.block(g, w, 0)
	case Peak:
		m.add(g, &row{where: w, sd: e.Peak, tilt: -1}, -1)
	case Brace:
		m.add(g, &row{where: w, sd: e.Brace, tilt: -1}, -1)
	case String:
		m.add(g, &row{where: w, sd: e.String, tilt: -1}, -1)
	default:
		err = m.station(g, w, 0, e.Line, -1)
	}
	switch {
	case err != nil:
		return Figure{}, err
	case len(m.rows) == 0:
		return Figure{}, ErrInput // a block that lies on nothing
	}
	r := m.rows[0]
	r.slope = make([]float64, m.values())
	if err := m.try(st.g.mean); err != nil {
		return Figure{}, err
	}
	if r.out {
		return Figure{}, ErrDraw
	}
	sd := math.Hypot(st.g.sd(r.slope), r.sd)
	if w.Kind == Line && m.bow.Errors.Tilt > 0 {
		sd = math.Hypot(sd, m.bow.Errors.Tilt*(w.At+m.bow.Handle/2))
	}
	return around(r.predicted, sd), nil
}

// Doubtful says whether a value lies more than four standard deviations from what was expected.
func (f Figure) Doubtful(value float64) bool {
	return math.Abs(value-f.Estimate) > wildBound*f.sd()
}
