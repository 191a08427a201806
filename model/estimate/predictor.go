package estimate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/strung"
)

// A row is one reading with the value predicted for it.
type row struct {
	where Where
	value float64
	sd    float64
	place int // the index among the solver's stations, or blocks, of its limb
	tilt  int // the index of the pull's tilt among the values, or none
	// sticker is the index of what its sticker is off, turn of the tilt by the handle's; none of other readings.
	sticker, turn int
	fresh         float64 // share of the set of a first full draw that the bow took after it, within the pass
	// predicted is the reading by the last values tried, slope its derivative by each value.
	predicted float64
	slope     []float64
	out       bool    // nothing is predicted: the string would be slack
	weight    float64 // in the fit, 1 for one that fits
}

// off is how many standard deviations of its error a reading lies from what is predicted.
func (r *row) off() float64 { return math.Abs(r.value-r.predicted) / r.sd }

// none is the index of a value that there isn't.
const none = -1

// A group is the readings that one solution of the bow predicts.
type group struct {
	draw   float64 // 0 braced
	own    int     // the index of the draw's own error among the values, or none
	lag    float64 // share of the pass's pulls still to come
	fresh  float64 // of its rows
	sol    strung.Solution
	rows   []*row
	places strung.Places
}

// A hangModel is one string with its groups: braced, each pull, and blocks of other lengths.
type hangModel struct {
	long  bool
	give  float64 // change of the brace height by an inch of set, the string staying the same
	value int     // the index of its length or brace height among the values
	by    float64 // the derivative of that by its value
	// longest is how much longer than the bow a string of unknown length may be (in), 0 where it is known: its
	// value is then the logit of its excess as a share of that.
	longest float64
	groups  []*group
}

func (h *hangModel) group(draw float64) *group {
	g := &group{draw: draw, own: none}
	h.groups = append(h.groups, g)
	return g
}

// A predictor predicts the readings of a pass.
type predictor struct {
	tree
	bow    Bow
	frame  frame
	hangs  []*hangModel
	rows   []*row
	extras []extra
	taken  int     // the index of the set of a first full draw, none where no reading can tell of it
	shared *shared // nil before there are pulls
	// placed are the stickers of photographs, those of earlier passes first, stickers their indexes.
	placed   []Reading
	stickers map[Reading]int
	lasting  int   // the number of values that are not of the pass alone
	err      error // of the first reading that makes no sense
}

// An extra is a value of the pass alone: of a string no longer on the bow, a tilt or a set.
type extra struct{ mean, sd float64 }

// values is the number of all values.
func (m *predictor) values() int { return m.lasting + len(m.extras) }

// extra adds a value and gives its index.
func (m *predictor) extra(mean, sd float64) int {
	m.extras = append(m.extras, extra{mean, sd})
	return m.values() - 1
}

// fail keeps the first error.
func (m *predictor) fail(format string, v any) {
	if m.err == nil {
		m.err = fmt.Errorf(format+": %w", v, ErrInput)
	}
}

// newPredictor lays out the readings of a pass. The error wraps [ErrInput].
func newPredictor(st State, p Pass) (*predictor, error) {
	m := &predictor{bow: st.bow, frame: st.frame, taken: none, placed: slices.Clip(st.marked.stickers),
		stickers: make(map[Reading]int)}
	for i, s := range m.placed {
		m.stickers[s] = m.frame.len() + i
	}
	m.lasting = m.frame.len() + len(m.placed)
	pulls := p.pulls()
	if len(pulls) > 1 && st.setBy(p) > leastFresh {
		m.taken = m.extra(st.set.mean, st.set.sd)
	}
	if len(pulls) > 0 {
		m.share()
	}
	done := 0
	drawn, end := st.longest, p.longest(st.longest)
	for i, h := range p.Hangs {
		// The last string that braces the bow has its brace among the lasting values.
		last := !slices.ContainsFunc(p.Hangs[i+1:], func(later Hang) bool { return !later.Long })
		u := m.hang(h, last)
		for _, pull := range h.Pulls {
			g := u.group(pull.Draw)
			done++
			g.lag = float64(len(pulls)-done) / float64(max(len(pulls)-1, 1))
			if len(pull.Line)+len(pull.Gap) > 0 {
				g.own = m.extra(0, drawOwn)
			}
			drawn = max(drawn, pull.Draw)
			g.fresh = m.bow.SetShare(end) - m.bow.SetShare(drawn)
			m.single(g, Peak, pull.Peak)
			m.stations(g, pull.Line, pull.Gap)
		}
	}
	if len(p.Relaxed) > 0 {
		if n := len(m.hangs); n == 0 || m.hangs[n-1].long {
			m.hangs = append(m.hangs, &hangModel{value: m.frame.brace()})
		}
		tilt := m.tilted(p.Relaxed, 0)
		m.readings(m.hangs[len(m.hangs)-1].group(0), Where{Kind: Relaxed}, p.Relaxed, tilt)
	}
	return m, m.err
}

// hang adds a string and what was read braced.
func (m *predictor) hang(h Hang, lasting bool) *hangModel {
	u := &hangModel{long: h.Long}
	m.hangs = append(m.hangs, u)
	switch {
	case h.Long && h.Length == 0:
		u.longest = m.bow.mostExcess(h.Pulls)
		u.value = m.extra(unknownExcess(u.longest), unknownSpread)
	case h.Long:
		if !(h.Length > 0) {
			m.fail("a long string of length %v", h.Length)
		}
		u.value = m.extra(h.Length, m.bow.Errors.String)
	case lasting:
		u.value = m.frame.brace()
	default:
		u.value = m.extra(m.bow.usualBrace(), braceError)
	}
	braced := u.group(0)
	if h.Long {
		return u
	}
	m.single(braced, Brace, h.Brace)
	m.single(braced, String, h.Length)
	m.stations(braced, h.Line, h.Gap)
	for _, b := range h.Blocks {
		g := braced
		if block := g.places[0].Block; block != 0 && block != b.Block {
			g = u.group(0)
		}
		m.readings(g, Where{Kind: Block, Block: b.Block}, b.Gaps, none)
	}
	return u
}

// single adds a reading that belongs to no station; one of 0 or less was not taken.
func (m *predictor) single(g *group, kind Kind, value float64) {
	if value > 0 {
		m.add(g, Where{Kind: kind, Draw: g.draw}, value, none)
	}
}

// stations adds readings from the line, which a tilt of the bow shifts, and to the string.
func (m *predictor) stations(g *group, line, gap []Reading) {
	m.readings(g, Where{Kind: Line, Draw: g.draw}, line, m.tilted(line, m.bow.Errors.Tilt))
	m.readings(g, Where{Kind: Gap, Draw: g.draw}, gap, none)
}

// tilted adds the tilt of the bow, or of the line in a picture, at readings from the line; none without any.
func (m *predictor) tilted(line []Reading, sd float64) (tilt int) {
	if len(line) > 0 && line[0].Photo {
		sd = math.Hypot(sd, photoTilt)
	}
	if len(line) == 0 || sd == 0 {
		return none
	}
	return m.extra(0, sd)
}

func (m *predictor) readings(g *group, w Where, all []Reading, tilt int) {
	for _, r := range all {
		w.Side, w.At = r.Side, r.At
		m.add(g, w, r.Value, tilt)
		if r.Photo && m.err == nil {
			m.pictured(m.rows[len(m.rows)-1], Reading{Side: r.Side, At: r.At})
		}
	}
}

// add adds a reading to a group. It drops a block that stands out past the nock and lies on nothing.
func (m *predictor) add(g *group, w Where, value float64, tilt int) {
	r := &row{where: w, value: value, sd: m.bow.Errors.of(w.Kind), tilt: tilt,
		sticker: none, turn: none, fresh: g.fresh}
	if w.Kind == Peak {
		r.sd = m.bow.peakError(value, w.Draw, g.own == none)
	}
	places, length := &g.places[w.Side], m.bow.Limbs[w.Side].Length
	switch w.Kind {
	case Peak, Brace, String:
	case Block:
		if !(w.Block > 0 && w.Block <= length && w.At >= 0 && w.At+w.Block/2 <= length*(1+rounding)) {
			return
		}
		g.places[0].Block, g.places[1].Block = w.Block, w.Block
		r.place = len(places.BlockAt)
		places.BlockAt = append(places.BlockAt, w.At)
	default:
		if !(w.At >= 0 && w.At <= length*(1+rounding)) {
			m.fail("station at %v", w.At)
		}
		r.place = len(places.At)
		places.At = append(places.At, min(w.At, length))
	}
	if sum := math.Abs(value) + math.Abs(w.Draw); !(sum <= math.MaxFloat64) {
		m.fail("a reading of %v", value)
	}
	m.rows, g.rows = append(m.rows, r), append(g.rows, r)
}

// try predicts all readings from values x. The error wraps [ErrUnsolved].
func (m *predictor) try(x []float64) error {
	bow := m.frame.strung(m.bow, x)
	for _, h := range m.hangs {
		by := strung.ByBrace
		if h.long {
			by = strung.ByLength
		}
		err := m.set(bow, by(h.given(m.bow, x[h.value])))
		if err == nil {
			err = m.giving(h)
		}
		for _, g := range h.groups {
			if err == nil && len(g.rows) > 0 {
				err = m.solve(h, g, x)
			}
		}
		if err != nil {
			return fmt.Errorf("%w: %w", ErrUnsolved, err)
		}
	}
	return nil
}

// giving finds how the brace height falls with set while the string stays the same.
func (m *predictor) giving(h *hangModel) error {
	if m.taken == none || h.long {
		return nil
	}
	if err := m.draw(0, &h.groups[0].sol); err != nil {
		return err
	}
	h.give = m.frame.giving(m.slopes)
	return nil
}

// solve predicts the readings of a group.
func (m *predictor) solve(h *hangModel, g *group, x []float64) error {
	if err := m.solver.SetPlaces(g.places); err != nil {
		return err
	}
	err := m.draw(g.draw, &g.sol)
	slack := errors.Is(err, strung.ErrSlack)
	if err != nil && !slack {
		return err
	}
	for _, r := range g.rows {
		if r.out = slack; !slack {
			m.predict(h, g, r, x)
		}
	}
	return nil
}

// predict sets what the solution predicts of one reading.
func (m *predictor) predict(h *hangModel, g *group, r *row, x []float64) {
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
		r.predicted, by = limb.Line[r.place], slopes.Line.RawRowView(r.place)
	case Gap:
		r.predicted, by = limb.Gap[r.place], slopes.Gap.RawRowView(r.place)
	case Block:
		r.predicted, by = limb.Block[r.place], slopes.Block.RawRowView(r.place)
	case Relaxed:
		r.predicted, by = limb.Relaxed[r.place], slopes.Relaxed.RawRowView(r.place)
	}
	r.slope = make([]float64, m.values())
	core := m.frame.brace()
	copy(r.slope, by[:core])
	r.slope[h.value] = by[core] * h.by
	if m.taken != none && r.fresh > 0 {
		// The bow had that much less set then, and on the same string stood by so much higher.
		r.slope[m.taken] = -r.fresh * (m.frame.bySet(by) + h.give*by[core])
		r.predicted += r.slope[m.taken] * x[m.taken]
	}
	m.shift(h, g, r, x, by)
	if r.sticker != none {
		r.predicted += x[r.sticker]
		r.slope[r.sticker] = 1
	}
	for _, tilt := range [2]int{r.tilt, r.turn} {
		if tilt == none {
			continue
		}
		// The bow is turned by the tilt: its upper limb nearer, its lower farther.
		reach := limb.X[r.place]
		if r.where.Side == model.Lower {
			reach = -reach
		}
		r.predicted += reach * x[tilt]
		r.slope[tilt] = reach
	}
}
