package strung_test

import (
	"math"
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
	e.add("energy", sol.Energy)
	e.add("work", sol.Work)
	e.add("string length", sol.StringLength)
	e.add("brace", sol.Brace)
	e.add("draw", sol.Draw)
	e.add("hook", sol.HookX)
	for i, limb := range []*strung.LimbState{&sol.Upper, &sol.Lower} {
		e.add("tension", limb.Tension)
		e.add("string angle", limb.StringAngle)
		e.add("nock x", limb.NockX)
		e.add("nock y", limb.NockY)
		e.add("nock slope", limb.NockSlope)
		e.add("root moment", limb.RootMoment)
		read := []*strung.LimbReadings{&r.Upper, &r.Lower}[i]
		e.add("x", read.X...)
		e.add("line", read.Line...)
		e.add("slope", read.Slope...)
		e.add("bend", read.Bend...)
		e.add("moment", read.Moment...)
		e.add("gap", read.Gap...)
		e.add("relaxed", read.Relaxed...)
		e.add("block", read.Block...)
		e.nodes += len(limb.S)
	}
	return e
}

// derivativesOf lists one column of the derivatives in the same order.
func derivativesOf(d *strung.Derivatives, column int) everything {
	var e everything
	for _, v := range [][]float64{d.Force, d.Energy, d.Work, d.StringLength, d.Brace, d.Hook, d.HookX} {
		e.add("", v[column])
	}
	for _, limb := range []*strung.LimbDerivatives{&d.Upper, &d.Lower} {
		for _, v := range [][]float64{limb.Tension, limb.StringAngle, limb.NockX, limb.NockY, limb.NockSlope, limb.RootMoment} {
			e.add("", v[column])
		}
		for _, m := range []*mat.Dense{limb.X, limb.Line, limb.Slope, limb.Bend, limb.Moment, limb.Gap, limb.Relaxed, limb.Block} {
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
	return strung.Places{Upper: on(bow.Upper.Length), Lower: on(bow.Lower.Length)}
}

// TestDerivativesAgreeWithDifferences compares every derivative that the solver gives with differences
// of four whole solutions, to 1e-5 of the largest of its kind.
func TestDerivativesAgreeWithDifferences(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		how := rapid.SampledFrom([]string{"brace", "length", "long"}).Draw(t, "string")
		braced := rapid.Bool().Draw(t, "braced")
		if w := compareDerivatives(t, h, how, braced); w > worst {
			worst = w
		}
	})
	t.Logf("largest difference: %.1e of the largest of its kind", worst)
}

func compareDerivatives(t *rapid.T, h hungStave, how string, braced bool) float64 {
	size := h.bow.Upper.Length
	given := h.height
	make := strung.ByBrace
	if how != "brace" {
		make = strung.ByLength
		s, err := strung.New(h.bow, strung.ByBrace(h.height))
		if err != nil {
			t.Fatal(err)
		}
		var sol strung.Solution
		if err := s.Brace(&sol); err != nil {
			t.Fatal(err)
		}
		given = sol.StringLength
		if how == "long" {
			given = 2*size + h.bow.Handle + 0.2*size
			h.draw += 0.35 * size
			if braced {
				return 0 // a slack string has no derivative on its slack side
			}
		}
	}
	solve := func(bow strung.Bow, given, draw float64) everything {
		s, err := strung.New(bow, make(given))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.SetPlaces(stationsOn(bow)); err != nil {
			t.Fatal(err)
		}
		var sol strung.Solution
		if braced {
			err = s.Brace(&sol)
		} else {
			err = s.Draw(draw, &sol)
		}
		if err != nil {
			t.Fatal(err)
		}
		var r strung.Readings
		if err := s.Read(&sol, &r); err != nil {
			t.Fatal(err)
		}
		return valuesOf(&sol, &r)
	}
	s, err := strung.New(h.bow, make(given))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.SetPlaces(stationsOn(h.bow)); err != nil {
		t.Fatal(err)
	}
	var sol strung.Solution
	if braced {
		err = s.Brace(&sol)
	} else {
		err = s.Draw(h.draw, &sol)
	}
	if err != nil {
		t.Fatal(err)
	}
	var d strung.Derivatives
	if err := s.Derive(&sol, &d); err != nil {
		t.Fatal(err)
	}
	cols := d.Columns

	// Each parameter is moved by a small share of its natural scale.
	const small = 2e-4
	moved := func(column int, by float64) everything {
		bow, given, draw := h.bow, given, h.draw
		for i, limb := range []*strung.Limb{&bow.Upper, &bow.Lower} {
			limb.Stiffness = append([]float64(nil), limb.Stiffness...)
			limb.RestBend = append([]float64(nil), limb.RestBend...)
			stiff, rest, n := cols.UpperStiffness, cols.UpperRest, cols.UpperKnots
			if i == 1 {
				stiff, rest, n = cols.LowerStiffness, cols.LowerRest, cols.LowerKnots
			}
			if k := column - stiff; k >= 0 && k < n {
				limb.Stiffness[k] *= math.Exp(by)
			}
			if k := column - rest; k >= 0 && k < n {
				limb.RestBend[k] += by / size
			}
		}
		switch column {
		case cols.String:
			given += by * size
		case cols.Draw:
			draw += by * size
		}
		return solve(bow, given, draw)
	}
	unit := func(column int) float64 {
		switch {
		case column >= cols.String:
			return size
		case column >= cols.LowerRest, column >= cols.UpperRest && column < cols.LowerStiffness:
			return 1 / size
		}
		return 1
	}
	largest := map[string]float64{}
	value := solve(h.bow, given, h.draw)
	for c := range cols.Len {
		e := derivativesOf(&d, c)
		for i, v := range e.values {
			name := value.names[i]
			largest[name] = math.Max(largest[name], math.Abs(v)*unit(c))
		}
	}
	worst := 0.0
	for c := range cols.Len {
		up, down, e := moved(c, small), moved(c, -small), derivativesOf(&d, c)
		up2, down2 := moved(c, 2*small), moved(c, -2*small)
		if up2.nodes != value.nodes || down2.nodes != value.nodes {
			continue // the change crosses the contrast at which a segment is halved
		}
		for i := range e.values {
			name := value.names[i]
			got := e.values[i] * unit(c)
			want := (8*(up.values[i]-down.values[i]) - (up2.values[i] - down2.values[i])) / (12 * small)
			off := math.Abs(got - want)
			if largest[name] > 0 {
				off /= largest[name]
			}
			worst = math.Max(worst, off)
			if off > 1e-5 {
				t.Fatalf("%s by column %d (%+v): %g, differences say %g (largest %g)", name, c, cols, got, want, largest[name])
			}
		}
	}
	return worst
}
