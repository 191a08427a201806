package estimate

import (
	"fmt"
	"math"

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

// compareTo is the share of a limb that is compared: farther out there is hardly any bend.
const compareTo = 0.9

// ComparedTo is how far from its root a limb is compared (in).
func (a Aim) ComparedTo(length float64) float64 {
	return max(min(compareTo*length, length-a.StiffTips), 0)
}

// A Bending is how one limb bends at a draw against the aim. The slices have one value for each place.
type Bending struct {
	At []float64 // from the root (in)
	// Bend is the curvature that the draw put there (1/in).
	Bend []Figure
	// Aim is the wanted bend (1/in), at the limb's own scale.
	Aim []float64
	// Deviation is bend over aim less 1, and Compared says where it means something.
	Deviation []Figure
	Compared  []bool
	// Stiffness is E·I (lbf·in²).
	Stiffness []Figure
}

// Bending is how both limbs bend at a draw (in) at places. The error wraps [ErrUnsolved], [ErrDraw] or
// [ErrInput].
func (st State) Bending(draw float64, a Aim, at [2][]float64) ([2]Bending, error) {
	c, err := st.course(draw, a, at)
	if err != nil {
		return [2]Bending{}, err
	}
	var both [2]Bending
	for s := range both {
		both[s] = c[s].bending(st, model.Side(s), len(at[s]))
	}
	return both, nil
}

// A limbCourse is the bend of a limb along a grid, with derivatives: the wanted places come first, then the
// grid.
type limbCourse struct {
	at   []float64
	grid int // where the grid starts
	bend []float64
	aim  []float64
	// by is the derivative of the logarithm of bend by the lasting values.
	by [][]float64
	// compared is the part of the grid that is compared.
	compared []bool
	open     []float64 // sd of the logarithm that knots can't show
}

// gridStep is the distance between places of the grid (in).
const gridStep = 1.0

// course is that of both limbs of the bow as estimated, at a draw.
func (st State) course(draw float64, a Aim, at [2][]float64) (*[2]limbCourse, error) {
	c := &[2]limbCourse{}
	var places strung.Places
	for s := range c {
		l, length := &c[s], st.bow.Limbs[s].Length
		l.at = append(l.at, at[s]...)
		l.grid = len(at[s])
		n := int(math.Floor(length / gridStep))
		for i := range n {
			l.at = append(l.at, (float64(i)+0.5)*length/float64(n))
		}
		places[s].At = l.at
	}
	p, err := st.probe(places)
	if err != nil {
		return nil, err
	}
	if err := p.draw(draw); err != nil {
		return nil, fmt.Errorf("drawn %.4g: %w", draw, err)
	}
	for s := range c {
		l, length := &c[s], st.bow.Limbs[s].Length
		l.bend = append(l.bend, p.read[s].Bend...)
		for i, place := range l.at {
			by := append([]float64(nil), p.own(p.slopes.Limbs[s].Bend.RawRowView(i))...)
			if l.bend[i] != 0 {
				for j := range by {
					by[j] /= l.bend[i]
				}
			}
			l.by = append(l.by, by)
			l.aim = append(l.aim, a.Bend.Bend(place/length))
			l.compared = append(l.compared, place <= a.ComparedTo(length)+1e-9 && l.aim[i] > 0 && l.bend[i] > 0)
			l.open = append(l.open, math.Sqrt(limbStiffness().between(place, st.frame.knots[s])))
		}
	}
	return c, nil
}

// scale is the limb's bend over the aim, over the part of the grid that is compared and lies outside from and
// to, and the derivative of its logarithm; ok is false where nothing is compared.
func (l *limbCourse) scale(from, to float64, values int) (scale float64, by []float64, ok bool) {
	by = make([]float64, values)
	bend, want := 0.0, 0.0
	for i := l.grid; i < len(l.at); i++ {
		if l.compared[i] && !(l.at[i] >= from && l.at[i] <= to) {
			bend += l.bend[i]
			want += l.aim[i]
			axpy(l.bend[i], l.by[i], by)
		}
	}
	if !(bend > 0 && want > 0) {
		return 0, by, false
	}
	for j := range by {
		by[j] /= bend
	}
	return bend / want, by, true
}

func (l *limbCourse) bending(st State, side model.Side, wanted int) Bending {
	values := st.frame.len()
	scale, by, ok := l.scale(1, -1, values)
	b := Bending{}
	diff := make([]float64, values)
	for i := range wanted {
		sd := math.Hypot(st.g.sd(l.by[i]), l.open[i])
		b.At = append(b.At, l.at[i])
		b.Bend = append(b.Bend, around(l.bend[i], sd*math.Abs(l.bend[i])))
		b.Aim = append(b.Aim, scale*l.aim[i])
		b.Compared = append(b.Compared, ok && l.compared[i])
		var dev Figure
		if ok && l.aim[i] > 0 {
			copy(diff, l.by[i])
			axpy(-1, by, diff)
			ratio := l.bend[i] / (scale * l.aim[i])
			dev = around(ratio-1, ratio*math.Hypot(st.g.sd(diff), l.open[i]))
		}
		b.Deviation = append(b.Deviation, dev)
		b.Stiffness = append(b.Stiffness, st.stiffness(side, l.at[i]))
	}
	return b
}

// stiffness is the stiffness at a place.
func (st State) stiffness(side model.Side, at float64) Figure {
	k, f := locate(st.frame.knots[side], at)
	by := make([]float64, st.frame.len())
	i := st.frame.stiffness(side) + k
	by[i], by[i+1] = 1-f, f
	mean := math.Exp(dot(by, st.g.mean))
	return around(mean, mean*st.g.sd(by))
}
