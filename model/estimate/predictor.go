package estimate

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model"
	"bendbook/model/strung"
)

// A row is one reading with the value predicted for it.
type row struct {
	where Where
	value float64
	sd    float64
	// tilt is the place of the pull's tilt among the values, -1 where it has none.
	tilt int
	// fresh is how much of the set of a first full draw the bow took after this reading, within the pass.
	fresh float64
	// predicted and slope are of the last values tried: the expected reading and its derivative by each value.
	predicted float64
	slope     []float64
	// out says that nothing is predicted: the string would be slack.
	out bool
}

// A group is the readings that one solution of the bow predicts.
type group struct {
	draw float64 // 0 braced
	// fresh is that of its rows.
	fresh  float64
	sol    strung.Solution
	rows   []*row
	places strung.Places
	// index of each row's place among the solver's stations, or blocks.
	at []int
}

// A hangModel is one string with its groups: braced, each pull, and blocks of other lengths.
type hangModel struct {
	long bool
	// give is how the brace height changes with an inch of set, the string staying the same.
	give   float64
	value  int // the place of its length or brace among the values
	groups []*group
}

// A predictor predicts the readings of a pass.
type predictor struct {
	bow    Bow
	frame  frame
	hangs  []*hangModel
	rows   []*row
	extras []extra
	// taken is the place of the set that the pass brings, -1 where it draws the bow no farther than before.
	taken  int
	solver *strung.Solver
	strung strung.Bow
	read   strung.Readings
	slopes strung.Derivatives
}

// An extra is a value of the pass alone: of a string no longer on the bow, or a tilt.
type extra struct{ mean, sd float64 }

// values is the number of all values.
func (m *predictor) values() int { return m.frame.len() + len(m.extras) }

func (m *predictor) extra(mean, sd float64) int {
	m.extras = append(m.extras, extra{mean, sd})
	return m.values() - 1
}

// newPredictor lays out the readings of a pass.
func newPredictor(st State, p Pass) (*predictor, error) {
	m := &predictor{bow: st.bow, frame: st.frame, taken: -1}
	fresh := newFreshness(st, p)
	if fresh.any() {
		m.taken = m.extra(0, usualSet)
	}
	last := -1 // the last string that braces the bow has its brace among the lasting values
	for i, h := range p.Hangs {
		if !h.Long {
			last = i
		}
	}
	for i, h := range p.Hangs {
		if err := m.hang(i, h, i == last, fresh); err != nil {
			return nil, err
		}
	}
	if len(p.Relaxed) > 0 {
		if len(m.hangs) == 0 {
			m.hangs = append(m.hangs, &hangModel{value: m.frame.brace()})
		}
		h := m.hangs[len(m.hangs)-1]
		g := h.group(0)
		for _, r := range p.Relaxed {
			w := Where{Kind: Relaxed, Side: r.Side, At: r.At}
			if err := m.station(g, w, r.Value, m.bow.Errors.Line, -1); err != nil {
				return nil, err
			}
		}
	}
	for _, r := range m.rows {
		if sum := math.Abs(r.value) + math.Abs(r.where.Draw); math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, fmt.Errorf("a reading of %v: %w", r.value, ErrInput)
		}
		r.slope = make([]float64, m.values())
	}
	return m, nil
}

// group adds a solution to a string.
func (h *hangModel) group(draw float64) *group {
	g := &group{draw: draw}
	h.groups = append(h.groups, g)
	return g
}

func (m *predictor) hang(i int, h Hang, lasting bool, fresh *freshness) error {
	u := &hangModel{long: h.Long}
	m.hangs = append(m.hangs, u)
	e := m.bow.Errors
	switch {
	case h.Long:
		if !(h.Length > 0) {
			return fmt.Errorf("hang %d: a long string of no known length: %w", i, ErrInput)
		}
		u.value = m.extra(h.Length, e.String)
	case lasting:
		u.value = m.frame.brace()
	default:
		u.value = m.extra(m.bow.UsualBrace(), braceError)
	}
	braced := u.group(0)
	if !h.Long {
		m.single(braced, Where{Kind: Brace, Hang: i}, h.Brace, e.Brace)
		m.single(braced, Where{Kind: String, Hang: i}, h.Length, e.String)
		if err := m.stations(braced, Where{Hang: i}, h.Line, h.Gap); err != nil {
			return err
		}
		m.blocks(u, i, h.Blocks)
	}
	for _, p := range h.Pulls {
		g := u.group(p.Draw)
		g.fresh = fresh.after(p.Draw)
		w := Where{Kind: Peak, Hang: i, Draw: p.Draw}
		m.single(g, w, p.Peak, e.Peak)
		if err := m.stations(g, w, p.Line, p.Gap); err != nil {
			return err
		}
	}
	return nil
}

// single adds a reading that belongs to no station; one of 0 or less was not taken.
func (m *predictor) single(g *group, w Where, value, sd float64) {
	if value > 0 {
		m.add(g, &row{where: w, value: value, sd: sd, tilt: -1}, -1)
	}
}

// blocks adds rows of gaps under a block, those of another block to a group of their own.
func (m *predictor) blocks(u *hangModel, i int, rows []BlockRow) {
	for _, b := range rows {
		g := u.groups[0]
		if block := g.places[0].Block; block != 0 && block != b.Block {
			g = u.group(0)
		}
		for _, r := range b.Gaps {
			m.block(g, Where{Kind: Block, Hang: i, Side: r.Side, At: r.At, Block: b.Block}, r.Value)
		}
	}
}

func (m *predictor) tilt(read bool) int {
	if !read || m.bow.Errors.Tilt == 0 {
		return -1
	}
	return m.extra(0, m.bow.Errors.Tilt)
}

func (m *predictor) stations(g *group, w Where, line, gap []Reading) error {
	tilt := m.tilt(len(line) > 0)
	for _, r := range line {
		w.Kind, w.Side, w.At = Line, r.Side, r.At
		if err := m.station(g, w, r.Value, m.bow.Errors.Line, tilt); err != nil {
			return err
		}
	}
	for _, r := range gap {
		w.Kind, w.Side, w.At = Gap, r.Side, r.At
		if err := m.station(g, w, r.Value, m.bow.Errors.Line, -1); err != nil {
			return err
		}
	}
	return nil
}

// rounding is how far a place may lie past the nock, over the limb, and still be at it: units were converted.
const rounding = 1e-9

func (m *predictor) station(g *group, w Where, value, sd float64, tilt int) error {
	if !(w.At >= 0 && w.At <= m.bow.Limbs[w.Side].Length*(1+rounding)) {
		return fmt.Errorf("station at %v: %w", w.At, ErrInput)
	}
	places := &g.places[w.Side]
	m.add(g, &row{where: w, value: value, sd: sd, tilt: tilt}, len(places.At))
	places.At = append(places.At, min(w.At, m.bow.Limbs[w.Side].Length))
	return nil
}

// block adds a gap under a block, unless the block stands out past the nock and lies on nothing.
func (m *predictor) block(g *group, w Where, value float64) {
	length := m.bow.Limbs[w.Side].Length
	if !(w.Block > 0 && w.Block <= length && w.At >= 0 && w.At+w.Block/2 <= length*(1+rounding)) {
		return
	}
	for s := range g.places {
		g.places[s].Block = w.Block
	}
	places := &g.places[w.Side]
	m.add(g, &row{where: w, value: value, sd: m.bow.Errors.Block, tilt: -1}, len(places.BlockAt))
	places.BlockAt = append(places.BlockAt, w.At)
}

func (m *predictor) add(g *group, r *row, at int) {
	m.rows = append(m.rows, r)
	r.fresh = g.fresh
	g.rows, g.at = append(g.rows, r), append(g.at, at)
}

// try predicts all readings from values x. The error wraps [ErrUnsolved].
func (m *predictor) try(x []float64) error {
	m.frame.strung(m.bow, x, &m.strung)
	for _, h := range m.hangs {
		str := strung.ByBrace(x[h.value])
		if h.long {
			str = strung.ByLength(x[h.value])
		}
		solver, err := restrung(m.solver, m.strung, str)
		if err != nil {
			return err
		}
		m.solver = solver
		if err := m.giving(h); err != nil {
			return fmt.Errorf("%w: %w", ErrUnsolved, err)
		}
		for _, g := range h.groups {
			if err := m.solve(h, g, x); err != nil {
				return fmt.Errorf("%w: %w", ErrUnsolved, err)
			}
		}
	}
	return nil
}

// solve predicts the readings of a group.
func (m *predictor) solve(h *hangModel, g *group, x []float64) error {
	if len(g.rows) == 0 {
		return nil
	}
	if err := m.solver.SetPlaces(g.places); err != nil {
		return err
	}
	if err := m.answer(g); err != nil {
		if errors.Is(err, strung.ErrSlack) {
			for _, r := range g.rows {
				r.out = true
			}
			return nil
		}
		return err
	}
	if err := m.solver.Read(&g.sol, &m.read); err != nil {
		return err
	}
	if err := m.solver.Derive(&g.sol, &m.slopes); err != nil {
		return err
	}
	for i, r := range g.rows {
		r.out = false
		m.predict(h, g, r, g.at[i], x)
	}
	return nil
}

func (m *predictor) answer(g *group) error {
	if g.draw == 0 {
		return m.solver.Brace(&g.sol)
	}
	return m.solver.Draw(g.draw, &g.sol)
}

// predict sets what the solution predicts of one reading.
func (m *predictor) predict(h *hangModel, g *group, r *row, at int, x []float64) {
	limb, slopes := &m.read[r.where.Side], &m.slopes.Limbs[r.where.Side]
	var by []float64
	switch r.where.Kind {
	case Peak:
		r.predicted, by = g.sol.Force, m.slopes.Force
	case Brace:
		r.predicted, by = g.sol.Brace, m.slopes.Brace
	case String:
		r.predicted, by = g.sol.StringLength, m.slopes.StringLength
	case Line:
		r.predicted, by = limb.Line[at], slopes.Line.RawRowView(at)
	case Gap:
		r.predicted, by = limb.Gap[at], slopes.Gap.RawRowView(at)
	case Block:
		r.predicted, by = limb.Block[at], slopes.Block.RawRowView(at)
	case Relaxed:
		r.predicted, by = limb.Relaxed[at], slopes.Relaxed.RawRowView(at)
	}
	clear(r.slope)
	core := m.frame.brace()
	copy(r.slope[:core], by[:core])
	r.slope[h.value] = by[core]
	if m.taken >= 0 && r.fresh > 0 {
		// The bow had that much less set then, and on the same string stood by so much higher.
		by := -r.fresh * (m.bow.bySet(m.frame, by) + h.give*by[core])
		r.predicted += by * x[m.taken]
		r.slope[m.taken] = by
	}
	if r.tilt >= 0 {
		// The bow is turned by the tilt: its upper limb nearer, its lower farther.
		reach := limb.X[at]
		if r.where.Side == model.Lower {
			reach = -reach
		}
		r.predicted += reach * x[r.tilt]
		r.slope[r.tilt] = reach
	}
}
