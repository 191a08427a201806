package strung_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"bendbook/model/strung"
)

// everything is all that a solver says of one bow, in one order: name by name its values.
type everything struct {
	names  []string
	values []float64
	// nodes counts the nodes of both limbs.
	nodes int
}

func (e *everything) add(name string, values ...float64) {
	for _, v := range values {
		e.names = append(e.names, name)
		e.values = append(e.values, v)
	}
}

// valuesOf lists a solution and its readings.
func valuesOf(sol *strung.Solution, r *strung.Readings) everything {
	var e everything
	e.add("force", sol.Force)
	e.add("work", sol.Work)
	e.add("string length", sol.StringLength)
	e.add("brace", sol.Brace)
	for _, read := range r {
		e.add("line", read.Line...)
		e.add("bend", read.Bend...)
		e.add("gap", read.Gap...)
		e.add("relaxed", read.Relaxed...)
		e.add("block", read.Block...)
	}
	return e
}

// derivativesOf lists one column of the derivatives in the same order.
func derivativesOf(d *strung.Derivatives, column int) everything {
	var e everything
	for _, v := range [][]float64{d.Force, d.Work, d.StringLength, d.Brace} {
		e.add("", v[column])
	}
	for _, limb := range d.Limbs {
		for _, m := range []*mat.Dense{limb.Line, limb.Bend, limb.Gap, limb.Relaxed, limb.Block} {
			e.add("", mat.Col(nil, column, m)...)
		}
	}
	return e
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

// TestDerivativesAgreeWithDifferences compares every derivative that the solver gives with differences
// of four whole solutions, to 1e-5 of the largest of its kind.
func TestDerivativesAgreeWithDifferences(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		how := rapid.SampledFrom([]string{"brace", "length", "long"}).Draw(t, "string")
		braced := rapid.Bool().Draw(t, "braced")
		compareDerivatives(t, h, how, braced)
	})
}

// hung is a bow with the string and the draw at which its derivatives are looked at.
type hung struct {
	bow strung.Bow
	fix func(float64) strung.String // by brace height or by length
	// the string's brace height or length; a draw does not matter to a braced bow
	given, draw float64
	braced      bool
}

// hungBy hangs a stave by its brace height, by the length that gives it, or on a long string. A slack string
// has no derivative on its slack side: ok is false where a long one is to be braced.
func hungBy(t *rapid.T, h hungStave, how string, braced bool) (_ hung, ok bool) {
	b := hung{bow: h.bow, fix: strung.ByBrace, given: h.height, draw: h.draw, braced: braced}
	switch size := h.bow.Upper.Length; how {
	case "length":
		var sol strung.Solution
		b.braced = true
		b.solve(t, &sol)
		b.fix, b.given, b.braced = strung.ByLength, sol.StringLength, braced
	case "long":
		b.fix, b.given = strung.ByLength, 2*size+h.bow.Handle+0.2*size
		b.draw += 0.35 * size
		return b, !braced
	}
	return b, true
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

// values are all that the bow shows.
func (b hung) values(t *rapid.T) everything {
	var sol strung.Solution
	s := b.solve(t, &sol)
	var r strung.Readings
	check(t, s.Read(&sol, &r))
	e := valuesOf(&sol, &r)
	e.nodes = s.Nodes()
	return e
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

func compareDerivatives(t *rapid.T, h hungStave, how string, braced bool) {
	b, ok := hungBy(t, h, how, braced)
	if !ok {
		return
	}
	var sol strung.Solution
	s := b.solve(t, &sol)
	var d strung.Derivatives
	check(t, s.Derive(&sol, &d))
	cols := d.Columns
	largest := map[string]float64{}
	value := b.values(t)
	for c := range cols.Len {
		for i, v := range derivativesOf(&d, c).values {
			name := value.names[i]
			largest[name] = math.Max(largest[name], math.Abs(v)*b.scale(cols, c))
		}
	}
	const small = 2e-4
	for c := range cols.Len {
		moved := func(by float64) everything { return b.moved(cols, c, by).values(t) }
		up, down, e := moved(small), moved(-small), derivativesOf(&d, c)
		up2, down2 := moved(2*small), moved(-2*small)
		if up2.nodes != value.nodes || down2.nodes != value.nodes {
			continue // the change crosses the contrast at which a segment is halved
		}
		for i := range e.values {
			name := value.names[i]
			got := e.values[i] * b.scale(cols, c)
			want := (8*(up.values[i]-down.values[i]) - (up2.values[i] - down2.values[i])) / (12 * small)
			off := math.Abs(got - want)
			if largest[name] > 0 {
				off /= largest[name]
			}
			if off > 1e-5 {
				t.Fatalf("%s by column %d (%+v): %g, differences say %g (largest %g)", name, c, cols, got, want,
					largest[name])
			}
		}
	}
}
