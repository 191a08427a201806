package strung_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/strung"
)

// solver makes a solver for a stave, and must.
func solver(t *rapid.T, bow strung.Bow, str strung.String, options ...strung.Option) *strung.Solver {
	s, err := strung.New(bow, str, options...)
	check(t, err)
	return s
}

// draw solves a bow at a draw, and must.
func draw(t *rapid.T, s *strung.Solver, d float64) *strung.Solution {
	sol := new(strung.Solution)
	check(t, s.Draw(d, sol))
	return sol
}

// same compares two numbers to a share of scale.
func same(t *rapid.T, what string, got, want, scale, within float64) {
	if !(math.Abs(got-want) <= within*math.Abs(scale)) {
		t.Fatalf("%s: %.12g and %.12g differ by %.1e of %.3g", what, got, want, math.Abs(got-want)/math.Abs(scale),
			scale)
	}
}

// TestStavesAreSolvedOrRefused draws each stave cold with a bounded search, and holds the answer against one at
// six times the segments. Within sense all are solved. With 3 in of set or reflex even in limbs of 10 in, far
// beyond sense, some are refused: the string would lie on a limb, or the bow would not stay braced.
func TestStavesAreSolvedOrRefused(t *testing.T) {
	for name, staves := range map[string]*rapid.Generator[hungStave]{
		"within sense": staves(), "much reflex": stavesTo(0.3, true),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				h := staves.Draw(t, "stave")
				var got, fine strung.Solution
				err := solver(t, h.bow, strung.ByBrace(h.height), strung.Patience(3000)).Draw(h.draw, &got)
				fineErr := solver(t, h.bow, strung.ByBrace(h.height), strung.Segments(96)).Draw(h.draw, &fine)
				if name == "much reflex" && errors.Join(err, fineErr) != nil {
					if err != nil && !errors.Is(err, strung.ErrTouch) && !errors.Is(err, strung.ErrUnsteady) &&
						!errors.Is(err, strung.ErrNotConverged) {
						t.Fatal(err)
					}
					return
				}
				check(t, errors.Join(err, fineErr))
				same(t, "force", got.Force, fine.Force, fine.Force, 1e-4)
				if name == "within sense" {
					same(t, "nock", got.Upper.NockX, fine.Upper.NockX, h.bow.Upper.Length, 1e-5)
					same(t, "nock", got.Lower.NockY, fine.Lower.NockY, h.bow.Upper.Length, 1e-5)
				}
			})
		})
	}
}

// TestWorkIsStoredEnergy integrates the force from brace to a draw, by Gauss's rule in panels, and compares
// with the energy that the limbs gain.
func TestWorkIsStoredEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		s := solver(t, h.bow, strung.ByBrace(h.height))
		if rapid.Bool().Draw(t, "long") {
			// A long string lies on limbs that are reflexed when it is just taut.
			for _, limb := range []*strung.Limb{&h.bow.Upper, &h.bow.Lower} {
				for i := range limb.RestBend {
					limb.RestBend[i] = math.Abs(limb.RestBend[i])
				}
			}
			s = solver(t, h.bow, strung.ByLength(h.bow.Upper.Length+h.bow.Lower.Length+h.bow.Handle*1.02))
			h.draw += 0.15 * h.bow.Upper.Length
		}
		var sol strung.Solution
		check(t, s.Brace(&sol))
		const panels = 16
		start, work := sol.Draw, 0.0
		width := (h.draw - start) / panels
		for i := range panels {
			for _, node := range [...]struct{ at, weight float64 }{{-math.Sqrt(0.6), 5}, {0, 8}, {math.Sqrt(0.6), 5}} {
				check(t, s.Draw(start+(float64(i)+0.5+node.at/2)*width, &sol))
				work += node.weight / 18 * width * sol.Force
			}
		}
		got := draw(t, s, h.draw)
		same(t, "work", got.Work, work, got.Work, 1e-4)
	})
}

func TestMirroredBowMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		mirrored := h.bow
		mirrored.Upper, mirrored.Lower, mirrored.Hook = h.bow.Lower, h.bow.Upper, -h.bow.Hook
		// The height is the same seen in the mirror, as it is measured at the middle.
		a := draw(t, solver(t, h.bow, strung.ByBrace(h.height)), h.draw)
		b := draw(t, solver(t, mirrored, strung.ByBrace(h.height)), h.draw)
		size := h.bow.Upper.Length
		same(t, "force", a.Force, b.Force, a.Force, 1e-8)
		same(t, "work", a.Work, b.Work, a.Energy, 1e-8)
		same(t, "upper nock", a.Upper.NockX, b.Lower.NockX, size, 1e-8)
		same(t, "lower nock", a.Lower.NockY, b.Upper.NockY, size, 1e-8)
	})
}

// TestScaling: stiffness times c gives force times c and the same shape; all lengths times c and stiffness
// times c² leave the force.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		c := math.Pow(10, rapid.Float64Range(-1.5, 1.5).Draw(t, "scale"))
		scaled := func(length, stiffness float64) strung.Bow {
			bow := h.bow
			bow.Handle, bow.Hook = bow.Handle*length, bow.Hook*length
			for _, limb := range []*strung.Limb{&bow.Upper, &bow.Lower} {
				limb.Length *= length
				at, b, k := limb.At, limb.Stiffness, limb.RestBend
				limb.At, limb.Stiffness, limb.RestBend = nil, nil, nil
				for i := range at {
					limb.At = append(limb.At, at[i]*length)
					limb.Stiffness = append(limb.Stiffness, b[i]*stiffness)
					limb.RestBend = append(limb.RestBend, k[i]/length)
				}
			}
			return bow
		}
		size := h.bow.Upper.Length
		a := draw(t, solver(t, h.bow, strung.ByBrace(h.height)), h.draw)
		b := draw(t, solver(t, scaled(1, c), strung.ByBrace(h.height)), h.draw)
		same(t, "force", b.Force, c*a.Force, b.Force, 1e-8)
		same(t, "nock", b.Upper.NockY, a.Upper.NockY, size, 1e-8)
		d := draw(t, solver(t, scaled(c, c*c), strung.ByBrace(c*h.height)), c*h.draw)
		same(t, "force", d.Force, a.Force, a.Force, 1e-8)
		same(t, "nock", d.Lower.NockY, c*a.Lower.NockY, c*size, 1e-8)
		same(t, "work", d.Work, c*a.Work, c*a.Energy, 1e-8)
	})
}

// TestTheWayDoesNotMatter draws once in a single step and once in many small ones, to draws up to all that
// limbs and string can reach. Both arrive at the same bow, or both are refused.
func TestTheWayDoesNotMatter(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		str := strung.ByBrace(h.height)
		if rapid.Bool().Draw(t, "any string") {
			str = strung.ByLength(rapid.Float64Range(1.2, 3.5).Draw(t, "length") * h.bow.Upper.Length)
		}
		s := solver(t, h.bow, str)
		var cold, walked strung.Solution
		if err := s.Brace(&walked); err != nil {
			return
		}
		goal := walked.Draw + rapid.Float64Range(0.05, 1.6).Draw(t, "far")*h.bow.Upper.Length
		coldErr := s.Draw(goal, &cold)
		start := walked.Draw
		const steps = 60
		var walkErr error
		for i := range steps {
			walkErr = s.Draw(start+(goal-start)*float64(i+1)/steps, &walked)
			if walkErr != nil && !errors.Is(walkErr, strung.ErrTouch) {
				break // beyond its reach a bow stays so
			}
		}
		if errors.Is(coldErr, strung.ErrUnsteady) || errors.Is(walkErr, strung.ErrUnsteady) {
			return // on the way a limb would tip over, and it depends on the steps whether that is noticed
		}
		if (coldErr == nil) != (walkErr == nil) {
			t.Fatalf("at %g: at once %v, step by step %v", goal, coldErr, walkErr)
		}
		if coldErr != nil {
			return
		}
		same(t, "force", cold.Force, walked.Force, cold.Force, 1e-6)
		same(t, "nock", cold.Lower.NockX, walked.Lower.NockX, h.bow.Upper.Length, 1e-6)
	})
}

// TestWarmAndColdAgree: the answer doesn't depend on the way to it.
func TestWarmAndColdAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, other := staves().Draw(t, "stave"), staves().Draw(t, "another")
		cold := draw(t, solver(t, h.bow, strung.ByBrace(h.height)), h.draw)
		s := solver(t, other.bow, strung.ByBrace(other.height))
		warm := draw(t, s, other.draw)
		check(t, s.Set(h.bow, strung.ByBrace(h.height)))
		check(t, s.Draw(h.draw, warm))
		same(t, "force", warm.Force, cold.Force, cold.Force, 1e-8)
		same(t, "tension", warm.Lower.Tension, cold.Lower.Tension, cold.Force, 1e-8)
		same(t, "nock", warm.Upper.NockY, cold.Upper.NockY, h.bow.Upper.Length, 1e-8)
		same(t, "string", warm.StringLength, cold.StringLength, h.bow.Upper.Length, 1e-8)
	})
}

// TestEveryRefusalIsJustified asks for braces and draws of all kinds. Whatever comes back is either sound or
// an error of this package; a limit that an error names can itself be reached, from its good side.
func TestEveryRefusalIsJustified(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := staves().Draw(t, "stave")
		size := h.bow.Upper.Length
		str := strung.ByBrace(rapid.Float64Range(-0.1, 0.9).Draw(t, "any brace") * size)
		hardly := rapid.Bool().Draw(t, "hardly braced")
		if hardly {
			str = strung.ByBrace(math.Pow(10, rapid.Float64Range(-3, -1).Draw(t, "little brace")) * size)
		}
		if rapid.Bool().Draw(t, "by length") {
			str = strung.ByLength(rapid.Float64Range(0.01, 3.5).Draw(t, "any length") * size)
		}
		s, err := strung.New(h.bow, str)
		var sol strung.Solution
		if err == nil {
			err = s.Draw(rapid.Float64Range(-0.5, 3).Draw(t, "any draw")*size, &sol)
		}
		var e *strung.Error
		switch {
		case err == nil:
			if !(sol.Force >= 0 && sol.Upper.Tension >= 0 && sol.Work >= -1e-9*sol.Energy) {
				t.Fatalf("force %g, tension %g, work %g", sol.Force, sol.Upper.Tension, sol.Work)
			}
		case !errors.As(err, &e):
			t.Fatalf("%v", err)
		case e.HasLimit && (math.IsNaN(e.Limit) || math.IsInf(e.Limit, 0)):
			t.Fatalf("limit: %v", err)
		case e.HasLimit:
			reachLimit(t, s, e, 2e-3*size, hardly)
		}
	})
}

// reachLimit draws a bow to a nudge short of the limit of a draw that was refused.
func reachLimit(t *rapid.T, s *strung.Solver, refused *strung.Error, nudge float64, hardly bool) {
	var sol strung.Solution
	var err error
	excused := []error{strung.ErrTouch, strung.ErrSlack}
	switch refused.Err {
	case strung.ErrSlack:
		err = s.Draw(refused.Limit+nudge, &sol)
		excused = append(excused, strung.ErrFolded) // so short a string leaves no room at all
		if hardly {
			// A reflexed bow that is hardly braced may tip over at the least pull.
			excused = append(excused, strung.ErrNotConverged, strung.ErrUnsteady)
		}
	case strung.ErrReach, strung.ErrFolded, strung.ErrNotConverged:
		err = s.Draw(refused.Limit-nudge, &sol)
	}
	var e *strung.Error
	if errors.As(err, &e) && e.Err == strung.ErrNotConverged && e.Limit > 0.99*e.Value {
		return // within a hair of the limit rounding decides
	}
	if err != nil && !slices.ContainsFunc(excused, func(of error) bool { return errors.Is(err, of) }) {
		t.Fatalf("at the limit of %v: %v", refused, err)
	}
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

// check fails the test at an error.
func check(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
