package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/strung"
	"bendbook/model/virtualtest"
)

// onLong is a stave read without error on a long string.
func onLong(t *testing.T, stave *virtualtest.Stave, length float64, draws ...float64) estimate.Hang {
	t.Helper()
	var places strung.Places
	for side := range places {
		places[side].At = []float64{4, 8, 12, 16, 20, 24, 28}
	}
	solver, err := strung.New(stave.Bow, strung.ByLength(length))
	check(t, err)
	check(t, solver.SetPlaces(places))
	hang := estimate.Hang{Long: true, Length: length}
	for _, draw := range draws {
		var sol strung.Solution
		var read strung.Readings
		check(t, solver.Draw(draw, &sol))
		check(t, solver.Read(&sol, &read))
		pull := estimate.Pull{Draw: draw, Peak: sol.Force}
		for _, side := range model.Sides {
			for i, at := range places[side].At {
				pull.Line = append(pull.Line, estimate.Reading{Side: side, At: at, Value: read[side].Line[i]})
			}
		}
		hang.Pulls = append(hang.Pulls, pull)
	}
	return hang
}

// A long string whose length nobody typed is no contradiction: true readings fit, none is wild, and the
// weight's range holds the truth and is wider than with the length.
func TestALongStringNeedsNoLength(t *testing.T) {
	for i := range series.Count(6, 60) {
		r := series.Rand(t, 82, i)
		stave := virtualtest.New(r, virtualtest.Staves(r))
		bow := stave.Bow.Handle + stave.Bow.Upper.Length + stave.Bow.Lower.Length
		hang := onLong(t, &stave, bow+0.5+1.5*r.Float64(), 12, 14, 16, 18)
		prior, err := stave.Estimated(lines16(stave.Draw)).Prior()
		check(t, err)
		var widths [2]float64
		for k := range widths {
			st, err := prior.Fold(estimate.Pass{Hangs: []estimate.Hang{hang}})
			check(t, err)
			f, truth := weight(t, st, stave.Draw), stave.Force(stave.Draw)
			if !st.Fit().Good || len(st.Wild()) > 0 || truth < f.Low || truth > f.High {
				t.Errorf("bow %d, length %v: %+v, truly %v; %+v, wild %+v", i, hang.Length, f, truth, st.Fit(), st.Wild())
			}
			widths[k] = math.Log(f.High / f.Low)
			hang.Length = 0
		}
		if !(widths[1] > widths[0]) {
			t.Errorf("bow %d: the range is %v wide with the length, %v without", i, widths[0], widths[1])
		}
	}
}
