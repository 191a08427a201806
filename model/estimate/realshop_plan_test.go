package estimate_test

import (
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
)

// plan counts whether the next scraping takes wood inside a hinge that is named.
func (row *realRow) plan(t testing.TB, s *sitting, st estimate.State, all []estimate.Finding) {
	hinges := slices.DeleteFunc(slices.Clone(all), func(f estimate.Finding) bool { return !f.Hinge })
	if len(hinges) == 0 {
		return
	}
	marks := [2][]float64{s.stations(model.Upper), s.stations(model.Lower)}
	wanted := plan.Wanted{
		Draw: s.bow.Draw, Weight: s.bow.Weight, Under: 0.5, Over: 1, TillerAt: 8, Tiller: 0.125,
	}
	next, err := plan.Make(st, wanted, marks, all)
	check(t, err)
	row.figures["dug"].add(slices.ContainsFunc(next.Cuts, func(c plan.Cut) bool {
		return slices.ContainsFunc(hinges, func(f estimate.Finding) bool {
			return c.Side == f.Side && min(c.To, f.To)-max(c.From, f.From) > 0.5
		})
	}))
}
