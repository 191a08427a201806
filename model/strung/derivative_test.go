package strung_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"bendbook/model/strung"
)

// shown is all that a solver says of one bow, by name.
func shown(sol *strung.Solution, r *strung.Readings) map[string][]float64 {
	all := map[string][]float64{"force": {sol.Force}, "work": {sol.Work}, "string length": {sol.StringLength},
		"brace": {sol.Brace}}
	for _, l := range r {
		for name, v := range map[string][]float64{"line": l.Line, "bend": l.Bend, "gap": l.Gap, "relaxed": l.Relaxed,
			"block": l.Block} {
			all[name] = append(all[name], v...)
		}
	}
	return all
}

// changes are the derivatives of that by one parameter.
func changes(d *strung.Derivatives, p int) map[string][]float64 {
	all := map[string][]float64{"force": {d.Force[p]}, "work": {d.Work[p]}, "string length": {d.StringLength[p]},
		"brace": {d.Brace[p]}}
	for _, l := range d.Limbs {
		for name, m := range map[string]*mat.Dense{"line": l.Line, "bend": l.Bend, "gap": l.Gap, "relaxed": l.Relaxed,
			"block": l.Block} {
			all[name] = append(all[name], mat.Col(nil, p, m)...)
		}
	}
	return all
}

// stationsOn puts stations and blocks on both limbs.
func stationsOn(bow strung.Bow) strung.Places {
	on := func(l float64) strung.LimbPlaces {
		return strung.LimbPlaces{
			At:    []float64{0, 0.03 * l, 0.21 * l, 0.5 * l, 0.77 * l, 0.93 * l, l},
			Block: l / 6, BlockAt: []float64{0.05 * l, 0.3 * l, 0.6 * l, 0.9 * l},
		}
	}
	return strung.Places{on(bow.Upper.Length), on(bow.Lower.Length)}
}

// hung is a bow with the string and the draw at which its derivatives are looked at.
type hung struct {
	bow strung.Bow
	fix func(float64) strung.String // by brace height or by length
	// the string's brace height or length; a draw does not matter to a braced bow
	given, draw float64
	braced      bool
}

// hungBy hangs a stave by its brace height, by the length that gives it, or on a long string and drawn: at
// its slack side that has no derivative.
func hungBy(t *rapid.T, h hungStave, how string, braced bool) hung {
	b := hung{bow: h.bow, fix: strung.ByBrace, given: h.height, draw: h.draw, braced: braced}
	switch size := h.bow.Upper.Length; how {
	case "length":
		var sol strung.Solution
		b.braced = true
		b.solve(t, &sol)
		b.fix, b.given, b.braced = strung.ByLength, sol.StringLength, braced
	case "long":
		b.fix, b.given, b.braced = strung.ByLength, 2*size+h.bow.Handle+0.2*size, false
		b.draw += 0.35 * size
	}
	return b
}

// solve is the bow braced or drawn, with its readings to come.
func (b hung) solve(t *rapid.T, sol *strung.Solution) *strung.Solver {
	s, err := strung.New(b.bow, b.fix(b.given))
	check(t, err)
	check(t, s.SetPlaces(stationsOn(b.bow)))
	if b.braced {
		err = s.Brace(sol)
	} else {
		err = s.Draw(b.draw, sol)
	}
	check(t, err)
	return s
}

// values are all that the bow shows, and the number of nodes of both limbs.
func (b hung) values(t *rapid.T) (all map[string][]float64, nodes int) {
	var sol strung.Solution
	s := b.solve(t, &sol)
	var r strung.Readings
	check(t, s.Read(&sol, &r))
	return shown(&sol, &r), s.Nodes()
}

// moved is the bow with the parameter of one column moved by a share of its natural scale.
func (b hung) moved(cols strung.Columns, column int, by float64) hung {
	size := b.bow.Upper.Length
	for i, limb := range []*strung.Limb{&b.bow.Upper, &b.bow.Lower} {
		limb.Stiffness = slices.Clone(limb.Stiffness)
		limb.RestBend = slices.Clone(limb.RestBend)
		n := len(limb.At)
		if k := column - cols.Stiffness[i]; k >= 0 && k < n {
			limb.Stiffness[k] *= math.Exp(by)
		}
		if k := column - cols.Rest[i]; k >= 0 && k < n {
			limb.RestBend[k] += by / size
		}
	}
	switch column {
	case cols.String:
		b.given += by * size
	case cols.Draw:
		b.draw += by * size
	}
	return b
}

// scale is the natural scale of a column's parameter.
func (b hung) scale(cols strung.Columns, column int) float64 {
	size := b.bow.Upper.Length
	switch {
	case column >= cols.String:
		return size
	case column >= cols.Rest[1], column >= cols.Rest[0] && column < cols.Stiffness[1]:
		return 1 / size
	}
	return 1
}

// TestDerivativesAgreeWithDifferences compares a quarter of all derivatives that the solver gives of each
// bow with differences of four whole solutions, to 1e-5 of the largest of their kind.
func TestDerivativesAgreeWithDifferences(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		how := rapid.SampledFrom([]string{"brace", "length", "long"}).Draw(t, "string")
		b := hungBy(t, staves().Draw(t, "stave"), how, rapid.Bool().Draw(t, "braced"))
		var sol strung.Solution
		var d strung.Derivatives
		check(t, b.solve(t, &sol).Derive(&sol, &d))
		cols := d.Columns
		largest := map[string]float64{}
		_, nodes := b.values(t)
		for c := range cols.Len {
			for name, all := range changes(&d, c) {
				largest[name] = max(largest[name], b.scale(cols, c)*floats.Norm(all, math.Inf(1)))
			}
		}
		const small = 2e-4
		for c := rapid.IntRange(0, 3).Draw(t, "column"); c < cols.Len; c += 4 { // the others are another bow's
			moved := func(by float64) map[string][]float64 {
				all, now := b.moved(cols, c, by).values(t)
				if now != nodes {
					return nil // the change crosses the contrast at which a segment is halved
				}
				return all
			}
			up, down, up2, down2 := moved(small), moved(-small), moved(2*small), moved(-2*small)
			if up2 == nil || down2 == nil {
				continue
			}
			for name, all := range changes(&d, c) {
				for i, v := range all {
					got := v * b.scale(cols, c)
					want := (8*(up[name][i]-down[name][i]) - (up2[name][i] - down2[name][i])) / (12 * small)
					if !(math.Abs(got-want) <= 1e-5*cmp.Or(largest[name], 1)) {
						t.Fatalf("%s by column %d (%+v): %g, differences say %g (largest %g)", name, c, cols, got, want,
							largest[name])
					}
				}
			}
		}
	})
}
