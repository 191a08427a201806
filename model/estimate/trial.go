package estimate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model"
	"bendbook/model/strung"
)

// A Stretch is a part of one limb, between two places from its root (in).
type Stretch struct {
	Side     model.Side
	From, To float64
}

// A Trial is the bow as estimated, to be tried with wood off some of its stretches. The string stays the
// same, so the brace height gives way. It speaks of the most likely bow alone; bands are those of the state
// folded with the scrapes. Two goroutines must not use one at once.
type Trial struct {
	probe
	at, tillerAt float64 // the draw and the place of the tiller (in)
	aim          Aim
	stretches    []Stretch
	covers       [][]float64 // by stretch, by knot of its limb
	string       float64     // length (in)
	course       [2]limbCourse
	grid         [2][]float64
	errors       [2][]float64 // sd of log deviation at the grid as estimated
	tillerError  float64
}

// A Tried is the bow with some wood off, with derivatives by the loss of log stiffness of each stretch.
type Tried struct {
	Force   float64   // at the draw (lbf)
	ForceBy []float64 // of its logarithm
	SetBy   float64   // of that logarithm by an inch of set, spread evenly along the limbs
	// Tiller is that of the braced bow (in), TillerError the standard deviation of what is known of it now.
	Tiller, TillerError float64
	TillerBy            []float64
	Limbs               [2]triedLimb
}

// A triedLimb is one limb at places an inch or so apart, as far as it is compared with the aim.
type triedLimb struct {
	At []float64
	// Deviation is the logarithm of bend over the aim at the limb's own scale, Error the standard deviation
	// of what is known of it now.
	Deviation, Error []float64
	By               [][]float64 // by place, by stretch
}

// Try prepares a trial at a draw (in) against an aim, with the tiller at a place (in). The error wraps
// [ErrUnsolved], [ErrDraw] or [ErrInput].
func (st State) Try(draw float64, a Aim, tillerAt float64, stretches []Stretch) (*Trial, error) {
	t := &Trial{probe: probe{st: st}, at: draw, aim: a, tillerAt: tillerAt, stretches: stretches}
	for _, s := range stretches {
		if !(s.From < s.To) {
			return nil, fmt.Errorf("a stretch from %v to %v: %w", s.From, s.To, ErrInput)
		}
		t.covers = append(t.covers, covers(st.frame.knots[s.Side], s.From, s.To))
	}
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	t.course = c
	for s := range c {
		for i, place := range c[s].at {
			if c[s].compared[i] {
				t.grid[s] = append(t.grid[s], place)
				t.errors[s] = append(t.errors[s], c[s].deviationError(st.g, i))
			}
		}
	}
	p, err := st.probe(0, placesAt([]float64{tillerAt}, []float64{tillerAt}))
	if err != nil {
		return nil, err
	}
	t.string, t.tillerError = p.sol.StringLength, p.tiller(0).sd()
	return t, nil
}

// With is the bow with its log stiffness lower by a loss at each stretch, fading at its ends; nil takes
// nothing off. The error wraps [ErrUnsolved] or [ErrDraw].
func (t *Trial) With(losses []float64) (Tried, error) {
	x := slices.Clone(t.st.g.mean)
	for j, loss := range losses {
		floats.AddScaled(t.st.frame.stiffnesses(t.stretches[j].Side, x), -loss, t.covers[j])
	}
	if err := t.set(t.st.frame.strung(t.st.bow, x), strung.ByLength(t.string)); err != nil {
		return Tried{}, unsolved(err)
	}
	if err := t.look(0, placesAt([]float64{t.tillerAt}, []float64{t.tillerAt})); err != nil {
		return Tried{}, err
	}
	out := Tried{TillerError: t.tillerError, Tiller: t.tiller(0).Estimate, TillerBy: t.byLoss(t.tillerBy(0))}
	if err := t.look(t.at, placesAt(t.grid[0], t.grid[1])); err != nil {
		return Tried{}, err
	}
	out.Force, out.ForceBy = t.sol.Force, t.byLoss(t.slopes.Force)
	floats.Scale(1/t.sol.Force, out.ForceBy)
	out.SetBy = t.st.frame.bySet(t.slopes.Force) / t.sol.Force
	for _, side := range model.Sides {
		out.Limbs[side] = t.tried(side)
	}
	return out, nil
}

// Unsure is how unsure the bend of a stretch is in the mean, as a share of the aim at the limb's own scale (1
// sd); infinite where nothing there is compared.
func (t *Trial) Unsure(s Stretch) float64 {
	l := &t.course[s.Side]
	within, _ := l.parted(s.From, s.To)
	if len(within) == 0 {
		return math.Inf(1)
	}
	by := make([]float64, len(l.scaleBy))
	floats.AddScaled(by, -1, l.scaleBy)
	l.addMean(by, 1, within)
	return t.st.g.sd(by)
}

// byLoss turns a derivative by the bow's values into one by the losses.
func (t *Trial) byLoss(by []float64) []float64 {
	out := make([]float64, len(t.stretches))
	for j, s := range t.stretches {
		out[j] = -floats.Dot(t.covers[j], t.st.frame.stiffnesses(s.Side, by))
	}
	return out
}

// tried compares one limb with the aim.
func (t *Trial) tried(side model.Side) triedLimb {
	slopes, length := t.slopes.Limbs[side].Bend, t.st.bow.Limbs[side].Length
	l := limbCourse{at: t.grid[side], bend: t.read[side].Bend}
	for i, place := range l.at {
		by := t.byLoss(slopes.RawRowView(i))
		floats.Scale(1/l.bend[i], by)
		l.by, l.compared = append(l.by, by), append(l.compared, true)
		l.aim = append(l.aim, t.aim.Bend.Bend(place/length))
	}
	l.setScale(len(t.stretches))
	out := triedLimb{At: l.at, Error: t.errors[side], By: l.by}
	for i, by := range out.By {
		out.Deviation = append(out.Deviation, math.Log(max(l.bend[i]/l.aim[i]/l.scale, leastBend)))
		floats.Sub(by, l.scaleBy)
	}
	return out
}
