package estimate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/strung"
)

// An Aim is how a limb should bend, and where that is looked at.
type Aim struct {
	Bend aim.Aim
	// StiffTips is the last part of each limb, left stiff for now and not compared (in).
	StiffTips float64
}

// ComparedTo is how far from its root a limb is compared (in).
func (a Aim) ComparedTo(length float64) float64 {
	return max(min(mostCompared*length, length-a.StiffTips), 0)
}

// A Bending is how one limb bends at a draw against the aim, with one value for each place.
type Bending struct {
	At        []float64 // from the root (in)
	Bend      []Figure  // the curvature that the draw put there (1/in)
	Aim       []float64 // the wanted bend (1/in), at the limb's own scale
	Deviation []Figure  // bend over aim less 1
	Compared  []bool    // whether that means something
	Stiffness []Figure  // E·I (lbf·in²)
}

// Bending is how both limbs bend at a draw (in) at places. The error wraps [ErrUnsolved], [ErrDraw] or
// [ErrInput].
func (st State) Bending(draw float64, a Aim, at [2][]float64) (both [2]Bending, err error) {
	c, err := st.course(draw, a, at)
	if err != nil {
		return both, err
	}
	for _, s := range model.Sides {
		both[s] = c[s].bending(st, s, len(at[s]))
	}
	return both, nil
}

// A limbCourse is the bend of a limb at the wanted places and then along a grid, with derivatives.
type limbCourse struct {
	at        []float64
	grid      int // the index where the grid starts
	bend, aim []float64
	by        [][]float64 // derivative of the logarithm of bend by the lasting values
	compared  []bool
	open      []float64 // sd of the logarithm that knots can't show
	// scale is the bend over the aim, over all of the grid that is compared, 0 where none is; scaleBy is the
	// derivative of its logarithm.
	scale   float64
	scaleBy []float64
}

// course is that of both limbs of the bow as estimated, at a draw. The error wraps [ErrUnsolved], [ErrDraw]
// or [ErrInput].
func (st State) course(draw float64, a Aim, at [2][]float64) (c [2]limbCourse, err error) {
	var places strung.Places
	for s, limb := range st.bow.Limbs {
		n := math.Floor(limb.Length) // the grid has a place every inch or so
		c[s].at, c[s].grid = slices.Clone(at[s]), len(at[s])
		for i := range int(n) {
			c[s].at = append(c[s].at, (float64(i)+0.5)*limb.Length/n)
		}
		places[s].At = c[s].at
	}
	p, err := st.probe(draw, places)
	if err != nil {
		return c, fmt.Errorf("drawn %.4g: %w", draw, err)
	}
	for s, limb := range st.bow.Limbs {
		l := &c[s]
		l.bend = slices.Clone(p.read[s].Bend)
		for i, place := range l.at {
			by := slices.Clone(p.own(p.slopes.Limbs[s].Bend.RawRowView(i)))
			if l.bend[i] != 0 {
				floats.Scale(1/l.bend[i], by)
			}
			l.by = append(l.by, by)
			l.aim = append(l.aim, a.Bend.Bend(place/limb.Length))
			within := place <= a.ComparedTo(limb.Length)+1e-9
			l.compared = append(l.compared, within && l.aim[i] > 0 && l.bend[i] > 0)
			l.open = append(l.open, math.Sqrt(limbStiffness().between(place, st.frame.knots[s])))
		}
		l.setScale(st.frame.len())
	}
	return c, nil
}

func (l *limbCourse) setScale(values int) {
	l.scaleBy = make([]float64, values)
	bend, want := 0.0, 0.0
	for i := l.grid; i < len(l.at); i++ {
		if l.compared[i] {
			bend += l.bend[i]
			want += l.aim[i]
			floats.AddScaled(l.scaleBy, l.bend[i], l.by[i])
		}
	}
	if want > 0 {
		l.scale = bend / want
		floats.Scale(1/bend, l.scaleBy)
	}
}

// deviationError is the standard deviation of the logarithm of bend over the aim at a place, as far as knots
// show it.
func (l *limbCourse) deviationError(g gaussian, i int) float64 {
	by := slices.Clone(l.by[i])
	floats.Sub(by, l.scaleBy)
	return g.sd(by)
}

func (l *limbCourse) bending(st State, side model.Side, wanted int) (b Bending) {
	for i := range wanted {
		sd := math.Hypot(st.g.sd(l.by[i]), l.open[i])
		b.At = append(b.At, l.at[i])
		b.Bend = append(b.Bend, around(l.bend[i], sd*math.Abs(l.bend[i])))
		b.Aim = append(b.Aim, l.scale*l.aim[i])
		b.Compared = append(b.Compared, l.scale > 0 && l.compared[i])
		var deviation Figure
		if l.scale > 0 && l.aim[i] > 0 {
			ratio := l.bend[i] / (l.scale * l.aim[i])
			deviation = around(ratio-1, ratio*math.Hypot(l.deviationError(st.g, i), l.open[i]))
		}
		b.Deviation = append(b.Deviation, deviation)
		b.Stiffness = append(b.Stiffness, st.stiffness(side, l.at[i]))
	}
	return b
}

// stiffness is E·I at a place of a limb (lbf·in²).
func (st State) stiffness(side model.Side, at float64) Figure {
	k, f := locate(st.frame.knots[side], at)
	by := make([]float64, st.frame.len())
	i := st.frame.stiffness(side) + k
	by[i], by[i+1] = 1-f, f
	mean := math.Exp(floats.Dot(by, st.g.mean))
	return around(mean, mean*st.g.sd(by))
}

// parted are the places of the grid that are compared, those between two places and the others.
func (l *limbCourse) parted(from, to float64) (within, outside []int) {
	for i := l.grid; i < len(l.at); i++ {
		switch {
		case !l.compared[i]:
		case l.at[i] >= from && l.at[i] <= to:
			within = append(within, i)
		default:
			outside = append(outside, i)
		}
	}
	return within, outside
}

// addMean adds a share of the mean of the derivatives at some places.
func (l *limbCourse) addMean(by []float64, share float64, at []int) {
	for _, i := range at {
		floats.AddScaled(by, share/float64(len(at)), l.by[i])
	}
}

// Belly is one limb's belly in its own outward frame: at places out from its root (in), how far along the
// line and across it the belly stands, and how far from the line it stands unstrung.
type Belly struct{ At, Along, Across, Relaxed []float64 }

// Shape is the belly by Side of the bow as estimated, drawn to a draw (in) or left braced at 0. The error
// wraps [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) Shape(draw float64, at [2][]float64) (limbs [2]Belly, err error) {
	p, err := st.probe(draw, placesAt(at[model.Upper], at[model.Lower]))
	if err != nil {
		return limbs, err
	}
	for side, read := range p.read {
		limbs[side] = Belly{at[side], read.X, read.Line, read.Relaxed}
	}
	return limbs, nil
}
