package estimate_test

import (
	"math/rand/v2"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/virtualtest"
)

// BenchmarkPass folds a pass of 4 pulls with 18 readings each, into an estimate that has folded one before.
func BenchmarkPass(b *testing.B) {
	passes, bow := twelve(7)
	prior, err := bow.Prior()
	if err != nil {
		b.Fatal(err)
	}
	first, err := prior.Fold(passes[0])
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := first.Fold(passes[1]); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFirstPass folds the first pass, where least is known.
func BenchmarkFirstPass(b *testing.B) {
	passes, bow := twelve(7)
	prior, err := bow.Prior()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := prior.Fold(passes[0]); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTwelvePasses makes the estimate of a bow of 12 passes from nothing.
func BenchmarkTwelvePasses(b *testing.B) {
	passes, bow := twelve(7)
	for b.Loop() {
		st, err := bow.Prior()
		if err != nil {
			b.Fatal(err)
		}
		for _, p := range passes {
			if st, err = st.Fold(p); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// twelve is twelve passes of a virtual bow.
func twelve(seed uint64) ([]estimate.Pass, estimate.Bow) {
	r := rand.New(rand.NewPCG(seed, 1))
	stave := virtualtest.New(r, virtualtest.Staves(r))
	plan := virtualtest.Full(1.0 / 16)
	bow := stave.Estimated(plan)
	var passes []estimate.Pass
	for i := range 12 {
		var scrapes []estimate.Scrape
		if i > 0 {
			side := model.Sides[i%2]
			stave.Scrape(side, 8, 20, 0.05)
			scrapes = []estimate.Scrape{{Side: side, From: 8, To: 20, Strokes: 10}}
		}
		p := stave.Read(r, plan)
		p.Scrapes = scrapes
		passes = append(passes, p)
	}
	return passes, bow
}
