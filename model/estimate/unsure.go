package estimate

import (
	"math"

	"bendbook/model"
)

// An Unsure is a stretch of a limb where the readings can't show whether it bends evenly.
type Unsure struct {
	Side     model.Side
	From, To float64 // from the root (in)
	// Error is the standard deviation of the deviation of a place 6 in wide there, as a fraction.
	Error float64
}

const (
	// unsureWidth is the width of the places looked at (in).
	unsureWidth = 6.0
	// unsureShare of the size of findings is the most that such a place's deviation may be unsure by (1 sd):
	// beyond that a flat of that size can't be told from an even limb nine times in ten.
	unsureShare = 0.6
)

// Unsure are the stretches of both limbs, at a draw (in), at which the readings could not show a deviation of
// the bar's size. The error wraps [ErrUnsolved] or [ErrDraw].
func (st State) Unsure(draw float64, a Aim, bar Bar) ([]Unsure, error) {
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	var all []Unsure
	for _, side := range model.Sides {
		l := &c[side]
		var open *Unsure
		end := a.ComparedTo(st.bow.Limbs[side].Length)
		for from := 0.0; from+unsureWidth <= end; from++ {
			sd := l.unsure(st, from, from+unsureWidth)
			if sd <= unsureShare*bar.Size {
				continue
			}
			if open == nil || from > open.To {
				all = append(all, Unsure{Side: side, From: from, To: from + unsureWidth})
				open = &all[len(all)-1]
			}
			open.To = from + unsureWidth
			open.Error = max(open.Error, sd)
		}
	}
	return all, nil
}

// unsure is how unsure a place's bend is against that of the rest of the compared limb (sd of the log).
func (l *limbCourse) unsure(st State, from, to float64) float64 {
	by := make([]float64, st.frame.len())
	inside, outside := 0, 0
	for i := l.grid; i < len(l.at); i++ {
		switch {
		case !l.compared[i]:
		case l.at[i] >= from && l.at[i] <= to:
			inside++
		default:
			outside++
		}
	}
	if inside == 0 || outside == 0 {
		return math.Inf(1)
	}
	for i := l.grid; i < len(l.at); i++ {
		switch {
		case !l.compared[i]:
		case l.at[i] >= from && l.at[i] <= to:
			axpy(1/float64(inside), l.by[i], by)
		default:
			axpy(-1/float64(outside), l.by[i], by)
		}
	}
	return st.g.sd(by)
}
