package estimate_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"bendbook/model/links"
)

// referenceTable reads a table of testdata/reference; its README says where each comes from.
func referenceTable(t testing.TB, file, key string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/" + file)
	check(t, err)
	var all map[string]json.RawMessage
	check(t, json.Unmarshal(data, &all))
	check(t, json.Unmarshal(all[key], into))
}

// assertNear fails a test whose figure is off.
func assertNear(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.7g, want %.7g within %.1g", what, got, want, within)
	}
}

// linked is a straight limb of a stiffness along it.
func linked(length float64, n int, stiffness func(at float64) float64) links.Limb {
	l := links.Limb{Length: length, Spring: make([]float64, n), Rest: make([]float64, n)}
	for i := range n {
		l.Spring[i] = stiffness(l.Place(i))
	}
	return l
}

// The limb of the chain bends as the elastica under a dead end load.
func TestRealShopLimbIsTheElastica(t *testing.T) {
	var rows struct {
		Rows []struct{ Alpha, Theta, W, U, M0 float64 }
	}
	referenceTable(t, "elastica.json", "cantilever_dead_tip_load", &rows)
	l := linked(1, 800, func(float64) float64 { return 1 })
	slope := make([]float64, 800)
	for _, row := range rows.Rows {
		for range 50 {
			d := l.Step(slope, row.Alpha, math.Pi/2)
			for i := range slope {
				slope[i] += d[0][i]
			}
		}
		x, y := l.Point(slope, 1)
		assertNear(t, "slope", slope[799], row.Theta, 1e-5)
		assertNear(t, "deflection", y, row.W, 1e-5)
		assertNear(t, "shortening", 1-x, row.U, 1e-5)
	}
}

// The chain draws the straight bow of 72 in as the table says, and stores the work done on it.
func TestRealShopBowIsThatOfTheTable(t *testing.T) {
	var bow struct {
		L, L0, OH    float64
		Half         float64      `json:"string_half_length"`
		Force        [][2]float64 `json:"F_lbf"`
		Tip          [][4]float64
		EnergyStored float64 `json:"energy_stored_in_lbf"`
	}
	referenceTable(t, "bow_static.json", "inch_bow_linear", &bow)
	limb := linked(bow.L-bow.L0, 600, func(s float64) float64 { return 60000 * max(1-s/34, 0.1) })
	c := links.Chain{Handle: 2 * bow.L0, Limbs: [2]links.Limb{limb, limb}}
	check(t, c.Brace(bow.OH))
	assertNear(t, "half the string", c.Half, bow.Half, 1e-4)
	braced := c.Energy()
	for i, want := range bow.Force {
		check(t, c.Draw(want[0]))
		assertNear(t, "force", c.Force(), want[1], 1e-3)
		x, y := limb.Point(c.Pose.Slope[0], limb.Length)
		assertNear(t, "nock", x+bow.L0, bow.Tip[i][1], 1e-3)
		assertNear(t, "nock", y, bow.Tip[i][2], 1e-3)
	}
	assertNear(t, "energy", c.Energy()-braced, bow.EnergyStored, 0.02)
}

// The work of the hook is the energy of the limbs, for a rough and unequal bow on both kinds of string, and
// the bow mirrored is the mirror's.
func TestRealShopWorkIsEnergy(t *testing.T) {
	b := links.New(series.Rand(t, 70, 1), 0.13, 0.1)
	for _, long := range []bool{false, true} {
		c := b.Chain(1, 0)
		if long {
			check(t, c.Hang(c.Handle+c.Limbs[0].Length+c.Limbs[1].Length+1.5))
		} else {
			check(t, c.Brace(b.Brace))
		}
		check(t, c.Draw(12))
		start, work := c.Energy(), 0.0
		gauss := [3][2]float64{{-math.Sqrt(0.6), 5. / 18}, {0, 8. / 18}, {math.Sqrt(0.6), 5. / 18}}
		for i := range 32 {
			for _, g := range gauss {
				check(t, c.Draw(12+0.5*(float64(i)+(1+g[0])/2)))
				work += 0.5 * g[1] * c.Force()
			}
		}
		check(t, c.Draw(28))
		assertNear(t, "work over energy", work/(c.Energy()-start), 1, 1e-8)
	}
	c, m := b.Chain(1, 0), b.Chain(1, 0)
	m.Limbs[0], m.Limbs[1] = m.Limbs[1], m.Limbs[0]
	check(t, c.Brace(6))
	check(t, m.Brace(6))
	check(t, c.Draw(20))
	check(t, m.Draw(20))
	assertNear(t, "mirrored force", m.Force(), c.Force(), 1e-7)
	assertNear(t, "mirrored hook", m.Pose.At[links.HookX], -c.Pose.At[links.HookX], 1e-7)
}
