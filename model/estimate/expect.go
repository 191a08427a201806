package estimate

import "math"

// Expect foretells a reading of a pass that goes on, before it is typed; the string is the last that braced
// the bow. The figure's band is that of the reading itself, its own error included. The error wraps
// [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) Expect(w Where) (Figure, error) {
	all, err := st.ExpectAll([]Where{w})
	if err != nil {
		return Figure{}, err
	}
	return all[0], nil
}

// ExpectAll foretells several readings at once. The draw and hang of the first holds for all.
func (st State) ExpectAll(wanted []Where) ([]Figure, error) {
	m := &predictor{bow: st.bow, frame: st.frame}
	h := &hung{value: st.frame.brace()}
	m.hangs = append(m.hangs, h)
	if len(wanted) == 0 {
		return nil, nil
	}
	g := h.group(wanted[0].Draw)
	for _, w := range wanted {
		var err error
		rows := len(m.rows)
		switch w.Kind {
		case Block:
			if err = m.block(h, g, w, 0); err == nil && len(m.rows) == rows {
				err = ErrInput
			}
		case Peak, Brace, String:
			m.add(g, &row{where: w, sd: m.sd(w.Kind), tilt: -1}, -1)
		default:
			err = m.station(h, g, w, 0, m.bow.Errors.Line, -1)
		}
		if err != nil {
			return nil, err
		}
	}
	for _, r := range m.rows {
		r.slope = make([]float64, m.values())
	}
	if err := m.try(st.g.mean); err != nil {
		return nil, err
	}
	all := make([]Figure, len(m.rows))
	for i, r := range m.rows {
		if r.out {
			return nil, ErrDraw
		}
		sd := math.Hypot(st.g.sd(r.slope), r.sd)
		if r.where.Kind == Line && m.bow.Errors.Tilt > 0 {
			sd = math.Hypot(sd, m.bow.Errors.Tilt*(r.where.At+m.bow.Handle/2))
		}
		all[i] = around(r.foretold, sd)
	}
	return all, nil
}

// sd is the error of a reading that is not at a station.
func (m *predictor) sd(k Kind) float64 {
	switch k {
	case Peak:
		return m.bow.Errors.Peak
	case Brace:
		return m.bow.Errors.Brace
	default:
		return m.bow.Errors.String
	}
}

// Doubtful says whether a value lies more than four standard deviations from what was expected.
func (f Figure) Doubtful(value float64) bool {
	return math.Abs(value-f.Estimate) > wildBound*f.sd()
}
