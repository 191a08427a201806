package estimate

import (
	"errors"
	"fmt"

	"bendbook/model/strung"
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
	st   State
	sol  strung.Solution
	give float64 // change of the brace height by an inch of set; known where the bow was left braced
}

// probe is the bow as estimated, drawn to a draw (in) or left braced at 0, and read at places. The error
// wraps [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) probe(draw float64, places strung.Places) (*probe, error) {
	p := &probe{st: st}
	err := p.set(st.frame.strung(st.bow, st.g.mean), strung.ByBrace(st.g.mean[st.frame.brace()]))
	if err != nil {
		return nil, unsolved(err)
	}
	if err = p.look(draw, places); err == nil && draw == 0 {
		p.give = st.frame.giving(p.slopes)
	}
	return p, err
}

// look draws the bow and reads it at places, draw only draws it anew. Their errors wrap as those of
// [State.probe].
func (p *probe) look(draw float64, places strung.Places) error {
	if err := p.solver.SetPlaces(places); err != nil {
		return fmt.Errorf("%w: %w", ErrInput, err)
	}
	return p.draw(draw)
}

func (p *probe) draw(draw float64) error { return unsolved(p.tree.draw(draw, &p.sol)) }

// placesAt are stations on the upper and the lower limb.
func placesAt(upper, lower []float64) strung.Places { return strung.Places{{At: upper}, {At: lower}} }

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
