package estimate_test

import (
	"reflect"
	"testing"

	"bendbook/model/estimate"
)

// What is found for all at once is what is found for each.
func TestEvennessIsWhatEachTells(t *testing.T) {
	stave, st := someStave(t, 44, 0, blocks)
	at := [2][]float64{{2, 9, 20}, {1, 15}}
	e, err := st.Evenness(stave.Draw, estimate.Aim{}, at, 8)
	check(t, err)
	limbs, err := st.Bending(stave.Draw, estimate.Aim{}, at)
	check(t, err)
	weight, err := st.Forecast(stave.Draw)
	check(t, err)
	tiller, err := st.Tiller(8)
	check(t, err)
	want := estimate.Evenness{Limbs: limbs, Uneven: e.Uneven, Weight: weight[0], Tiller: tiller[0]}
	if !reflect.DeepEqual(e, want) {
		t.Errorf("%+v, want %+v", e, want)
	}
}
