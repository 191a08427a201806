package estimate_test

import (
	"errors"
	"reflect"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
)

// readWrong is a pull to 22 in with the line read every 4 in on both limbs as the bow stands so far, 16
// readings in all, some of them wrong by an inch and a half to two and a half, this way and that.
func readWrong(t testing.TB, st estimate.State, wrong int) estimate.Pass {
	t.Helper()
	pull := estimate.Pull{Draw: 22}
	for _, side := range model.Sides {
		for at := 4.0; at <= 32; at += 4 {
			f, err := st.Expect(estimate.Where{Kind: estimate.Line, Draw: pull.Draw, Side: side, At: at})
			check(t, err)
			pull.Line = append(pull.Line, estimate.Reading{Side: side, At: at, Value: f.Estimate})
		}
	}
	off := []float64{1.5, -2, 2.5, -1.5, 2, -2.5}
	for i := range wrong {
		// 7 and 16 have no common factor: each is at another station.
		pull.Line[7*i%len(pull.Line)].Value += off[i%len(off)]
	}
	return estimate.Pass{Hangs: []estimate.Hang{{Pulls: []estimate.Pull{pull}}}}
}

// Where at least half of the readings agree on a bow, they are believed and the others are named. Where
// fewer do, any bow would be made of chance: the readings are refused, and of the bow no more is said than
// before.
func TestABowIsBelievedOnlyWhereHalfOfTheReadingsAgree(t *testing.T) {
	st, at := weighed(t), []float64{0, 4, 10, 16, 22, 28, 34}
	for _, wrong := range []int{0, 4, 8} {
		now, err := st.Fold(readWrong(t, st, wrong))
		if err != nil || len(now.Wild()) != wrong {
			t.Errorf("%d of 16 readings are wrong: %v, and %d are named", wrong, err, len(now.Wild()))
		}
	}
	for _, wrong := range []int{9, 10, 12} {
		now, err := st.Fold(readWrong(t, st, wrong))
		if !errors.Is(err, estimate.ErrUnsolved) {
			t.Errorf("%d of 16 readings are wrong, and yet they are believed: %v", wrong, err)
		}
		none, err := st.Fold(estimate.Pass{Hangs: []estimate.Hang{{Pulls: []estimate.Pull{{Draw: 22}}}}})
		check(t, err)
		if !reflect.DeepEqual(stiffness(t, now, at), stiffness(t, none, at)) || len(now.Wild()) > 0 {
			t.Errorf("%d of 16 readings are wrong, and what was refused changed the bow", wrong)
		}
	}
}
