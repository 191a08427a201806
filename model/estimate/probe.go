package estimate

import (
	"errors"
	"fmt"

	"bendbook/model/strung"
)

// patience bounds the search for each bow that is tried, in looks at its equations. Of the bows of this
// package's tests that can be strung the hardest draw took 1429 and the hardest brace less than 60.
const patience = 3000

// A probe is the estimated bow on its string, to be drawn and read.
type probe struct {
	st     State
	solver *strung.Solver
	sol    strung.Solution
	read   strung.Readings
	slopes strung.Derivatives
}

// probe strings the bow as estimated. The error wraps [ErrUnsolved].
func (st State) probe(places strung.Places) (*probe, error) {
	var bow strung.Bow
	st.frame.strung(st.bow, st.g.mean, &bow)
	solver, err := restrung(nil, bow, strung.ByBrace(st.g.mean[st.frame.brace()]))
	if err != nil {
		return nil, err
	}
	if err := solver.SetPlaces(places); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInput, err)
	}
	return &probe{st: st, solver: solver}, nil
}

// atBrace is the estimated bow on its string, with its readings. The error wraps [ErrUnsolved].
func (st State) atBrace(places strung.Places) (*probe, error) {
	p, err := st.probe(places)
	if err == nil {
		err = p.draw(0)
	}
	return p, err
}

// restrung is a solver, or a new one for nil, with another bow and string and no places. The error wraps
// [ErrUnsolved].
func restrung(s *strung.Solver, bow strung.Bow, str strung.String) (_ *strung.Solver, err error) {
	if s == nil {
		s, err = strung.New(bow, str, strung.Segments(segments), strung.Patience(patience))
	} else if err = s.SetPlaces(strung.Places{}); err == nil {
		err = s.Set(bow, str)
	}
	if err != nil {
		err = fmt.Errorf("%w: %w", ErrUnsolved, err)
	}
	return s, err
}

// draw draws the bow to a draw (in), or leaves it braced at 0, and finds its readings and derivatives. The
// error wraps [ErrDraw] or [ErrUnsolved].
func (p *probe) draw(draw float64) error {
	err := p.solver.Brace(&p.sol)
	if err == nil && draw != 0 {
		err = p.solver.Draw(draw, &p.sol)
	}
	return p.look(err)
}

// look finds readings and derivatives of a bow that was solved without err.
func (p *probe) look(err error) error {
	if err == nil {
		err = p.solver.Read(&p.sol, &p.read)
	}
	if err == nil {
		err = p.solver.Derive(&p.sol, &p.slopes)
	}
	return unsolved(err)
}

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

// own is the part of a derivative by the lasting values, in the order of strung's columns.
func (p *probe) own(derivative []float64) []float64 { return derivative[:p.st.frame.len()] }
