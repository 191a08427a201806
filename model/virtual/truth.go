package virtual

import (
	"math"

	"bendbook/model"
	"bendbook/model/strung"
)

// solve is the stave at a draw, 0 for braced, with readings at places. A bow that can't be
// strung gives zero readings and NaN force, and no test that uses it can pass.
func (s *Stave) solve(draw float64, places strung.Places) (strung.Solution, strung.Readings) {
	var sol strung.Solution
	var read strung.Readings
	solver, err := strung.New(s.Bow, strung.ByBrace(s.Brace))
	if err == nil {
		err = solver.SetPlaces(places)
	}
	if err == nil && draw == 0 {
		err = solver.Brace(&sol)
	} else if err == nil {
		err = solver.Draw(draw, &sol)
	}
	if err == nil {
		err = solver.Read(&sol, &read)
	}
	if err != nil {
		sol.Force = math.NaN()
	}
	return sol, read
}

// Force is the true weight at a draw.
func (s *Stave) Force(draw float64) float64 {
	sol, _ := s.solve(draw, strung.Places{})
	return sol.Force
}

// Bend is the true bend of a limb at places at a draw.
func (s *Stave) Bend(side model.Side, draw float64, at []float64) []float64 {
	var places strung.Places
	places.Upper.At, places.Lower.At = at, at
	_, read := s.solve(draw, places)
	if side == model.Lower {
		return read.Lower.Bend
	}
	return read.Upper.Bend
}

// Tiller is the true difference of the gaps at a place, braced.
func (s *Stave) Tiller(at float64) float64 {
	var places strung.Places
	places.Upper.At, places.Lower.At = []float64{at}, []float64{at}
	_, read := s.solve(0, places)
	if len(read.Upper.Gap) == 0 {
		return math.NaN()
	}
	return read.Upper.Gap[0] - read.Lower.Gap[0]
}

// LongForce is the true weight at a draw on a string of another length.
func (s *Stave) LongForce(length, draw float64) (float64, error) {
	solver, err := strung.New(s.Bow, strung.ByLength(length))
	if err != nil {
		return 0, err
	}
	var sol strung.Solution
	if err := solver.Draw(draw, &sol); err != nil {
		return 0, err
	}
	return sol.Force, nil
}
