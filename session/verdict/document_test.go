package verdict

import (
	"math"
	"testing"
)

// JSON has no NaN and no infinity, so no figure may round to one, however small or large.
func TestEveryFigureRoundsToANumber(t *testing.T) {
	for v, want := range map[float64]number{
		0: 0, 5e-324: 0, -1e-310: 0, 12.345678949: 12.34568, -0.00012345678: -0.0001234568, math.Inf(1): 0, math.NaN(): 0,
	} {
		if got := rounded(v); got != want {
			t.Errorf("%v is written as %v, want %v", v, got, want)
		}
	}
	if big := float64(rounded(math.MaxFloat64)); math.IsNaN(big) {
		t.Error("the largest figure is written as NaN")
	}
}
