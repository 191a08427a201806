package estimate

import (
	"errors"
	"fmt"

	"bendbook/model/strung"
)

const (
	// segments is the number of segments to a limb: one between each two knots, where the error of the fourth
	// order scheme stays far below that of any reading.
	segments = knotsPerLimb - 1
	// patience bounds the search for each bow that is tried, in looks at its equations. Of the bows of this
	// package's tests that can be strung the hardest draw took 1429 and the hardest brace less than 60.
	patience = 3000
)

// A tree holds a bow on its string, with what was read last. The zero value takes its first bow by set.
type tree struct {
	solver *strung.Solver
	read   strung.Readings
	slopes strung.Derivatives
}

// set puts another bow and string on the tree, to be read at no places.
func (t *tree) set(bow strung.Bow, str strung.String) (err error) {
	if t.solver == nil {
		t.solver, err = strung.New(bow, str, strung.Segments(segments), strung.Patience(patience))
		return err
	}
	if err := t.solver.SetPlaces(strung.Places{}); err != nil {
		return err
	}
	return t.solver.Set(bow, str)
}

// draw draws the bow to a draw (in), or leaves it braced at 0, and finds its readings and derivatives.
func (t *tree) draw(draw float64, sol *strung.Solution) (err error) {
	if draw == 0 {
		err = t.solver.Brace(sol)
	} else {
		err = t.solver.Draw(draw, sol)
	}
	if err == nil {
		err = t.solver.Read(sol, &t.read)
	}
	if err == nil {
		err = t.solver.Derive(sol, &t.slopes)
	}
	return err
}

// A probe is an estimated bow on its string, to be drawn and read.
type probe struct {
	tree
	st  State
	sol strung.Solution
}

// probe strings the bow as estimated. The error wraps [ErrUnsolved] or [ErrInput].
func (st State) probe(places strung.Places) (*probe, error) {
	p := &probe{st: st}
	err := p.set(st.frame.strung(st.bow, st.g.mean), strung.ByBrace(st.g.mean[st.frame.brace()]))
	if err != nil {
		return nil, unsolved(err)
	}
	if err := p.solver.SetPlaces(places); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInput, err)
	}
	return p, nil
}

// atBrace is the estimated bow on its string, with its readings. The error wraps [ErrUnsolved] or [ErrInput].
func (st State) atBrace(places strung.Places) (*probe, error) {
	p, err := st.probe(places)
	if err == nil {
		err = p.draw(0)
	}
	return p, err
}

// draw draws the bow to a draw (in), or leaves it braced at 0. The error wraps [ErrDraw] or [ErrUnsolved].
func (p *probe) draw(draw float64) error { return unsolved(p.tree.draw(draw, &p.sol)) }

// own is the part of a derivative by the lasting values, in the order of strung's columns.
func (p *probe) own(derivative []float64) []float64 { return derivative[:p.st.frame.len()] }

// unsolved wraps an error of the strung bow: [ErrDraw] where only the draw is to blame, else [ErrUnsolved].
func unsolved(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, strung.ErrReach), errors.Is(err, strung.ErrFolded), errors.Is(err, strung.ErrSlack):
		return fmt.Errorf("%w: %w", ErrDraw, err)
	}
	return fmt.Errorf("%w: %w", ErrUnsolved, err)
}
