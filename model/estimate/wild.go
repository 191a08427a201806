package estimate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// wildBound is how many standard deviations off a reading is called wild.
const wildBound = 4

// A Wild is a reading that does not fit the others.
type Wild struct {
	Where Where
	Value float64
	// Expected is what the bow's other readings predict.
	Expected float64
	// Off is how many standard deviations of its own error and of the expectation it lies from that.
	Off float64
}

// wild finds the readings out of place, the farthest off first. The fit predicts them with little weight of
// their own.
func (f *fit) wild() []Wild {
	var found []Wild
	var solved mat.VecDense
	for i, r := range f.m.rows {
		if r.out || math.Abs(r.value-r.predicted) < wildBound*r.sd {
			continue
		}
		own := make([]float64, len(f.z))
		for j, d := range r.slope {
			if d != 0 {
				axpy(d, f.root.RawRowView(j), own)
			}
		}
		if f.chol.SolveVecTo(&solved, mat.NewVecDense(len(own), own)) != nil {
			continue
		}
		sd := math.Hypot(r.sd, math.Sqrt(max(dot(own, solved.RawVector().Data), 0)))
		off := math.Abs(r.value-r.predicted) / sd
		if off >= wildBound && f.weight[i] < 1 {
			found = append(found, Wild{Where: r.where, Value: r.value, Expected: r.predicted, Off: off})
		}
	}
	slices.SortStableFunc(found, func(a, b Wild) int { return cmp.Compare(b.Off, a.Off) })
	return found
}
