package strung_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/strung"
)

// Every stave within sense is found with a bounded search, and its answer is the same.
func TestPatienceIsEnoughForEveryStaveWithinSense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		want := draw(t, solver(t, h.bow, strung.ByBrace(h.height)), h.draw)
		got := draw(t, solver(t, h.bow, strung.ByBrace(h.height), strung.Patience(3000)), h.draw)
		if got.Force != want.Force || got.Upper.NockX != want.Upper.NockX {
			t.Fatalf("found %+v, without a bound %+v", got, want)
		}
	})
}

// A search without patience ends with an error, and the next one begins anew.
func TestASearchWithoutPatienceEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		s := solver(t, h.bow, strung.ByBrace(h.height), strung.Patience(1))
		var sol strung.Solution
		for range 2 {
			if err := s.Draw(h.draw, &sol); !errors.Is(err, strung.ErrNotConverged) {
				t.Fatalf("one look found %v, %+v", err, sol)
			}
		}
	})
}
