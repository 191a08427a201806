package estimate

import (
	"fmt"
	"math"

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
// folded with the scrapes. It must not be used from two places at once.
type Trial struct {
	probe
	at        float64 // the draw (in)
	aim       Aim
	tillerAt  float64
	stretches []Stretch
	covers    [][]float64 // by stretch, by knot of its limb
	string    float64     // length (in)
	bow       strung.Bow
	x         []float64
	grid      [2][]float64
	open      [2][]float64 // variance of log deviation at the grid as estimated
	tillerVar float64
}

// A Tried is the bow with some wood off, with derivatives by the loss of log stiffness of each stretch.
type Tried struct {
	// Force is the weight at the draw (lbf); ForceBy is of its logarithm.
	Force   float64
	ForceBy []float64
	// SetBy is the derivative of that logarithm by an inch of set, spread evenly along the limbs.
	SetBy float64
	// Tiller is the braced gap of the upper limb less that of the lower (in), and TillerError the standard
	// deviation of what is known of it now.
	Tiller, TillerError float64
	TillerBy            []float64
	Limbs               [2]TriedLimb // by Side
}

// A TriedLimb is one limb at places an inch or so apart, as far as it is compared with the aim.
type TriedLimb struct {
	At []float64
	// Deviation is the logarithm of bend over the aim at the limb's own scale, Error the standard deviation
	// of what is known of it now, and By has a row for each place and a column for each stretch.
	Deviation, Error []float64
	By               [][]float64
}

// Try prepares a trial at a draw (in) against an aim, with the tiller at a place (in). The error wraps
// [ErrUnsolved], [ErrDraw] or [ErrInput].
func (st State) Try(draw float64, a Aim, tillerAt float64, stretches []Stretch) (*Trial, error) {
	t := &Trial{probe: probe{st: st}, at: draw, aim: a, tillerAt: tillerAt, stretches: stretches}
	for _, s := range stretches {
		if !(s.From < s.To) {
			return nil, fmt.Errorf("a stretch from %v to %v: %w", s.From, s.To, ErrInput)
		}
		cover1 := make([]float64, knotsPerLimb)
		for i := range cover1 {
			cover1[i] = cover(st.frame.knots[s.Side], i, s.From, s.To)
		}
		t.covers = append(t.covers, cover1)
	}
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	for s := range c {
		t.compare(s, &c[s])
	}
	p, err := st.atBrace(strung.Places{})
	if err != nil {
		return nil, err
	}
	t.string = p.sol.StringLength
	tiller, err := st.Tiller(tillerAt)
	if err != nil {
		return nil, err
	}
	t.tillerVar = tiller[0].sd() * tiller[0].sd()
	return t, nil
}

// compare keeps the places of a limb that are compared, and how well its deviation is known there.
func (t *Trial) compare(s int, l *limbCourse) {
	values := t.st.frame.len()
	_, by, ok := l.scale(1, -1, values)
	if !ok {
		return
	}
	diff := make([]float64, values)
	for i, place := range l.at {
		if !l.compared[i] {
			continue
		}
		copy(diff, l.by[i])
		axpy(-1, by, diff)
		sd := t.st.g.sd(diff)
		t.grid[s] = append(t.grid[s], place)
		t.open[s] = append(t.open[s], sd*sd)
	}
}

// Len is the number of stretches.
func (t *Trial) Len() int { return len(t.stretches) }

// With is the bow with its log stiffness lower by a loss at each stretch, fading at its ends. The error wraps
// [ErrUnsolved] or [ErrDraw].
func (t *Trial) With(losses []float64) (Tried, error) {
	t.x = append(t.x[:0], t.st.g.mean...)
	for j, s := range t.stretches {
		axpy(-losses[j], t.covers[j], t.x[t.st.frame.stiffness(s.Side):][:knotsPerLimb])
	}
	t.st.frame.strung(t.st.bow, t.x, &t.bow)
	var err error
	if t.solver, err = restrung(t.solver, t.bow, strung.ByLength(t.string)); err != nil {
		return Tried{}, err
	}
	out := Tried{TillerError: math.Sqrt(t.tillerVar)}
	if err := t.solve(0, [2][]float64{{t.tillerAt}, {t.tillerAt}}); err != nil {
		return Tried{}, err
	}
	out.Tiller = t.read[model.Upper].Gap[0] - t.read[model.Lower].Gap[0]
	out.TillerBy = t.byLoss(t.slopes.Limbs[model.Upper].Gap.RawRowView(0))
	axpy(-1, t.byLoss(t.slopes.Limbs[model.Lower].Gap.RawRowView(0)), out.TillerBy)
	if err := t.solve(t.at, t.grid); err != nil {
		return Tried{}, err
	}
	out.Force = t.sol.Force
	out.ForceBy = t.byLoss(t.slopes.Force)
	for j := range out.ForceBy {
		out.ForceBy[j] /= t.sol.Force
	}
	out.SetBy = t.st.bow.bySet(t.st.frame, t.slopes.Force) / t.sol.Force
	for _, side := range model.Sides {
		out.Limbs[side] = t.tried(side)
	}
	return out, nil
}

func (t *Trial) solve(draw float64, at [2][]float64) error {
	places := strung.Places{{At: at[model.Upper]}, {At: at[model.Lower]}}
	if err := t.solver.SetPlaces(places); err != nil {
		return fmt.Errorf("%w: %w", ErrInput, err)
	}
	if draw == 0 {
		return t.look(t.solver.Brace(&t.sol))
	}
	return t.look(t.solver.Draw(draw, &t.sol))
}

// byLoss turns a derivative by the bow's values into one by the losses.
func (t *Trial) byLoss(by []float64) []float64 {
	out := make([]float64, len(t.stretches))
	for j, s := range t.stretches {
		out[j] = -dot(t.covers[j], by[t.st.frame.stiffness(s.Side):][:knotsPerLimb])
	}
	return out
}

// tried compares one limb with the aim.
func (t *Trial) tried(side model.Side) TriedLimb {
	read, slopes := &t.read[side], &t.slopes.Limbs[side]
	length := t.st.bow.Limbs[side].Length
	l := TriedLimb{At: t.grid[side]}
	scale, want := 0.0, 0.0
	scaleBy := make([]float64, len(t.stretches))
	for i, place := range l.At {
		by := t.byLoss(slopes.Bend.RawRowView(i))
		scale += read.Bend[i]
		want += t.aim.Bend.Bend(place / length)
		axpy(1, by, scaleBy)
		for j := range by {
			by[j] /= read.Bend[i]
		}
		l.By = append(l.By, by)
	}
	for i, place := range l.At {
		ratio := read.Bend[i] / t.aim.Bend.Bend(place/length) / (scale / want)
		l.Deviation = append(l.Deviation, math.Log(max(ratio, least)))
		l.Error = append(l.Error, math.Sqrt(t.open[side][i]))
		axpy(-1/scale, scaleBy, l.By[i])
	}
	return l
}

// least keeps logarithms finite: a limb that bends backwards somewhere bends there by next to nothing.
const least = 1e-3
