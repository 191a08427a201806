package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/strung"
	"bendbook/model/treetest"
)

// onLong is a stave read without error on a long string.
func onLong(t *testing.T, stave *treetest.Stave, length float64, draws ...float64) estimate.Hang {
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
		stave := treetest.New(r, treetest.Staves(r))
		bow := stave.Bow.Handle + stave.Bow.Upper.Length + stave.Bow.Lower.Length
		hang := onLong(t, &stave, bow+0.5+1.5*r.Float64(), 12, 14, 16, 18)
		var widths [2]float64
		for k := range widths {
			st := fold(t, stave.Estimated(lines16(stave.Draw)), estimate.Pass{Hangs: []estimate.Hang{hang}})
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

// The string that braces a bow follows from its bend, not from a share of its length: 69 in braces a straight
// stave of 72 in at 8 1/2 in, and 6 in take 70 1/2. Of bows that were read it is right to 1/8 in.
func TestTheStringThatBracesABow(t *testing.T) {
	straight := fold(t, estimate.Bow{Handle: 4, Limbs: [2]estimate.Limb{{Length: 34}, {Length: 34}}, Draw: 28,
		Weight: 45, Errors: estimate.UsualErrors(1.0/16, 0.1, false)})
	for brace, want := range map[float64]float64{8.5: 69, 6: 70.5} {
		if got, err := straight.StringFor(brace); err != nil || math.Abs(got.Estimate-want) > 1.0/8 {
			t.Errorf("braced to %v in: %+v (%v), want %v", brace, got, err, want)
		}
	}
	for i, heavy := range []float64{0.6, 1, 1.8} {
		stave := treetest.New(series.Rand(t, 77, i), treetest.Rough{Stiffness: 0.1, Width: 3, Rest: 0.0004, Heavy: heavy})
		plan := treetest.Full(1.0 / 16)
		plan.Relaxed = true
		st := folded(t, series.Rand(t, 78, i), &stave, plan)
		for _, brace := range []float64{5, 6, 7.5} {
			var truth strung.Solution
			solver, err := strung.New(stave.Bow, strung.ByBrace(brace))
			check(t, err)
			check(t, solver.Brace(&truth))
			if got, err := st.StringFor(brace); err != nil || math.Abs(got.Estimate-truth.StringLength) > 1.0/8 {
				t.Errorf("bow %d braced to %v in: %+v (%v), want %v", i, brace, got, err, truth.StringLength)
			}
		}
	}
}
