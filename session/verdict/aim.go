package verdict

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// ErrUnread is for a bow without the readings that a question needs.
var ErrUnread = errors.New("it has no readings on a string")

// aimOf is the wanted bend of a bow and the part of its limbs that is left stiff for now; shape is that of
// the bow that it should be like, where the aim is one. Where an aim can't be had, the full compass
// stands for it.
func (a *Advice) aimOf(story session.Story, shape *aim.Aim) estimate.Aim {
	wanted := estimate.Aim{StiffTips: float64(a.stiffTips(story))}
	if shape != nil {
		wanted.Bend = *shape
		return wanted
	}
	if _, like := aim.LikeBow(a.Bow.Aim.Bend); like {
		a.caution("The bow that this one should bend like has no readings here. I use the full compass.")
		return wanted
	}
	named, err := aim.Named(a.Bow.Aim.Bend)
	if err != nil {
		a.caution("I don't know the aim %q, so I use the full compass.", a.Bow.Aim.Bend)
	}
	wanted.Bend = named
	return wanted
}

// usualStiff is the last part of each limb that is left out of the comparison until the nocks are on (in).
const usualStiff measure.Length = 12

// mostStiff is the most of the shorter limb that the shop's usual stiff tips may take: 12 in are meant on
// limbs of 32 in and more.
const mostStiff = 3.0 / 8

// stiffTips is the last part of each limb that is out of the comparison: none once the nocks are on.
func (a *Advice) stiffTips(story session.Story) measure.Length {
	if story.NocksOn() {
		return 0
	}
	if own, known := a.Bow.Aim.StiffTips.Get(); known {
		return own
	}
	usual := usualStiff
	if metric(a.Bow) {
		usual = measure.Centimetre.Length(5 * math.Floor(usual.In(measure.Centimetre)/5))
	}
	return min(usual, mostStiff*shorter(a.Bow))
}

// drawOf is the draw at which bend and weight are given (in): the ordered one, or where none is known a
// little beyond the longest pull, or the usual one before the first.
func drawOf(bow model.Bow, state estimate.State) (draw float64, ordered bool) {
	switch draw := float64(bow.DrawToBelly().Or(0)); {
	case draw != 0:
		return draw, true
	case state.Longest() > 0:
		return state.Longest() + pullStep(bow), false
	}
	return state.Bow().UsualDraw(), false
}

// leastBend is the least wanted bend at any place as a share of the limb's mean: a place that does not bend
// is no aim to scrape for.
const leastBend = 0.02

// ShapeOf is the aim to bend as a bow does by its own record: the bend of both limbs at its draw by shares
// of the limb, each limb's over its mean. The error wraps [ErrUnread], or says what in the record makes no
// bow.
func ShapeOf(story session.Story) (shape aim.Aim, err error) {
	bow := story.Bow()
	defer func() {
		if err != nil {
			err = fmt.Errorf("the shape of %s: %w", session.NameOf(bow), err)
		}
	}()
	passes := passesBefore(story, "", nil)
	var other Advice
	if _, err := other.fold(folded{}, bowOf(story), passes); err != nil {
		return shape, err
	}
	if !slices.ContainsFunc(passes, func(p estimate.Pass) bool { return len(p.Hangs) > 0 }) {
		return shape, ErrUnread
	}
	// Nearer the nock the bend owes more to what staves are supposed to be than to readings; there it eases to
	// nothing.
	const step, last = 0.05, 18
	var shares []float64
	var at [2][]float64
	for i := range last {
		shares = append(shares, step*float64(i+1))
		for side, limb := range bow.Limbs {
			at[side] = append(at[side], shares[i]*float64(limb.Length))
		}
	}
	state := other.folded.last()
	draw, _ := drawOf(bow, state)
	both, err := state.Bending(draw, estimate.Aim{}, at)
	if err != nil {
		return shape, err
	}
	bend := make([]float64, len(shares))
	for _, limb := range both {
		mean := 0.0
		for _, b := range limb.Bend {
			mean += b.Estimate / float64(len(shares))
		}
		for i, b := range limb.Bend {
			bend[i] += max(b.Estimate/mean, leastBend) / 2
		}
	}
	return aim.Shape(aim.Like(session.NameOf(bow)), shares, bend)
}

// SayAim says the wanted bend and what the comparison leaves out; "" without a bend.
func (a Advice) SayAim() string {
	if !a.Bends() {
		return ""
	}
	_, how := session.SayAim(a.Aim.Bend.Name())
	if tips := a.Aim.StiffTips; tips > 0 {
		how += fmt.Sprintf(", without each limb's last %s until the nocks are on", a.short(tips))
	}
	return fmt.Sprintf("The aim is to bend %s.", how)
}
