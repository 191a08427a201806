package estimate_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/links"
)

// A faultBound is the best chance to find the fault of a bow in its readings at a false-alarm rate of 5%, by
// the likelihood ratio: where limb, place, width and kind are known, and where any limb, place and kind may
// have it. It takes the readings for linear in what isn't known, and knows what bows come here: even but for
// the fault and a roughness of 2%, limbs of any strength, crooked.
type faultBound struct{ known, anywhere float64 }

// A guess is one value that the readings depend on, with its standard deviation before them, 0 for no limit.
type guess struct {
	sd, step float64
	apply    func(b *links.Bow, by float64)
}

// hat falls from 1 at its middle to 0 at a width from it.
func hat(at, middle, width float64) float64 { return max(1-math.Abs(at-middle)/width, 0) }

// guesses are the values of a sitting, the fault first.
func (s *sitting) guesses() []guess {
	all := []guess{
		{step: 1e-4, apply: func(b *links.Bow, by float64) {
			b.Fault(s.faulty, s.from, s.from+s.over, math.Exp(by))
		}},
		{sd: 0.8, step: 1e-4, apply: func(b *links.Bow, by float64) { b.Brace += by }},
	}
	for _, side := range model.Sides {
		length := s.bow.Limbs[side].Length
		stiffness := func(sd float64, course func(at float64) float64) {
			all = append(all, guess{sd, 1e-4, func(b *links.Bow, by float64) {
				l := &b.Limbs[side]
				for i := range l.Spring {
					l.Spring[i] *= math.Exp(by * course(l.Place(i)))
				}
			}})
		}
		stiffness(0.3, func(float64) float64 { return 1 })
		for middle := 0.0; middle < length; middle += 3 {
			stiffness(0.02, func(at float64) float64 { return hat(at, middle, 3) })
		}
		rest := func(sd float64, course func(at float64) float64) {
			all = append(all, guess{sd, 1e-6, func(b *links.Bow, by float64) {
				l := &b.Limbs[side]
				for i := range l.Rest {
					l.Rest[i] += by * course(l.Place(i))
				}
			}})
		}
		rest(0.0008, func(float64) float64 { return 1 })
		for middle := 0.0; middle < length; middle += 4 {
			rest(0.0007, func(at float64) float64 { return hat(at, middle, 4) })
		}
	}
	return all
}

// A reader reads bows like one at the same places and draws, without error.
type reader struct {
	s      *sitting
	pass   estimate.Pass
	braced links.Pose
	pulls  []links.Pose
}

// read is all readings of a bow, each over its error (1 sd).
func (r *reader) read(t testing.TB, b *links.Bow) (all []float64) {
	e := r.s.known().Errors
	hang := r.pass.Hangs[0]
	c := b.Chain(1, 0)
	line := func(slope func(model.Side) []float64, like []estimate.Reading) {
		for _, one := range like {
			_, y := c.Limbs[one.Side].Point(slope(one.Side), one.At)
			all = append(all, y/e.Line)
		}
	}
	line(func(side model.Side) []float64 { return c.Limbs[side].Unstrung() }, r.pass.Relaxed)
	strung := func(side model.Side) []float64 { return c.Pose.Slope[side] }
	if r.braced.Slope[0] == nil {
		check(t, c.Brace(b.Brace))
		r.braced = c.Pose
	}
	c.Pose = r.braced
	check(t, c.Settle(links.BracedAt(b.Brace)))
	c.Half = c.Pose.At[links.HalfLength]
	all = append(all, b.Brace/e.Brace)
	line(strung, hang.Line)
	for _, blocks := range hang.Blocks {
		for _, gap := range blocks.Gaps {
			all = append(all, c.Limbs[gap.Side].Gap(c.Pose.Slope[gap.Side], gap.At, blocks.Block)/e.Block)
		}
	}
	for k, pull := range hang.Pulls {
		if k == len(r.pulls) {
			check(t, c.Draw(pull.Draw))
			r.pulls = append(r.pulls, c.Pose)
		}
		c.Pose = r.pulls[k]
		check(t, c.Settle(c.Drawn(pull.Draw)))
		all = append(all, c.Force()/e.Peak)
		line(strung, pull.Line)
	}
	return all
}

// bound is that of a sitting with its readings.
func (s *sitting) bound(t testing.TB, pass estimate.Pass) faultBound {
	guesses := s.guesses()
	reader := &reader{s: s, pass: pass}
	base := reader.read(t, s.bow)
	slopes := mat.NewDense(len(guesses), len(base), nil)
	information := mat.NewSymDense(len(guesses), nil)
	for k, g := range guesses {
		other := s.bow.Clone()
		g.apply(other, g.step)
		for i, v := range reader.read(t, other) {
			slopes.Set(k, i, (v-base[i])/g.step)
		}
	}
	information.SymOuterK(1, slopes)
	for k, g := range guesses {
		if g.sd > 0 {
			information.SetSym(k, k, information.At(k, k)+1/(g.sd*g.sd))
		}
	}
	var cholesky mat.Cholesky
	var covariance mat.SymDense
	if !cholesky.Factorize(information) {
		t.Fatal("the readings say nothing of the fault")
	}
	check(t, cholesky.InverseTo(&covariance))
	size := math.Abs(math.Log1p(s.fault)) / math.Sqrt(covariance.At(0, 0))
	places := 2 * 2 * math.Floor(0.9*s.bow.Limbs[s.faulty].Length/s.over)
	power := func(alarm float64) float64 {
		return distuv.UnitNormal.CDF(size - distuv.UnitNormal.Quantile(1-alarm))
	}
	return faultBound{known: power(0.05), anywhere: power(0.05 / places)}
}
