package estimate_test

import (
	"testing"

	"bendbook/model/virtualtest"
)

// BenchmarkPass folds a pass of 4 pulls with 18 readings each into an estimate that has folded one before.
func BenchmarkPass(b *testing.B) {
	r := series.Rand(b, 90, 0)
	stave := virtualtest.New(r, virtualtest.Staves(r))
	plan := virtualtest.Full(1.0 / 16)
	first := folded(b, r, &stave, plan)
	pass := stave.Read(r, plan)
	b.ReportAllocs()
	for b.Loop() {
		_, err := first.Fold(pass)
		check(b, err)
	}
}
