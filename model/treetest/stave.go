// Package treetest is the computed tree, for tests: random staves with a known truth on a fine grid, the
// readings that a maker would take of them with a maker's errors, and scrapings that take off about what was
// meant. A seed fixes a whole bow. Inches, pounds-force, lbf·in² and 1/in, as in package estimate, of which
// it must not know how an estimate is made.
package treetest

import (
	"cmp"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"bendbook/model"
	"bendbook/model/links"
	"bendbook/model/strung"
)

// grid is the number of knots of a true limb: about one each half inch.
const grid = 73

// A Stave is a bow whose truth is known.
type Stave struct {
	// Bow is what the estimate is held against.
	Bow strung.Bow
	// Brace is the height that its string braces it at when it has the stiffness it was made with.
	Brace float64
	// Draw and Weight are what was ordered.
	Draw, Weight float64
}

// Limb is the limb of a side.
func (s *Stave) Limb(side model.Side) *strung.Limb {
	if side == model.Lower {
		return &s.Bow.Lower
	}
	return &s.Bow.Upper
}

// Rough says how a stave differs from a smooth one.
type Rough struct {
	// Stiffness is the standard deviation of the logarithm of stiffness about its smooth course, and Width
	// how far along the limb it stays alike (in).
	Stiffness, Width float64
	// Rest is the standard deviation of rest bend (1/in).
	Rest float64
	// Heavy is the stave's weight over that ordered.
	Heavy float64
	// Unequal is the standard deviation of the logarithm of each limb's stiffness; 0 is 0.12.
	Unequal float64
	// Follow is the standard deviation of each limb's even rest bend (1/in); 0 is 0.0008.
	Follow float64
}

// Staves draws what usual staves may be: rough by 5 to 15 % over 2 to 5 in, up to half too heavy.
func Staves(r *rand.Rand) Rough {
	return Rough{
		Stiffness: links.Between(r, 0.05, 0.15), Width: links.Between(r, 1.5, 4),
		Rest: links.Between(r, 0.0002, 0.0012), Heavy: links.Between(r, 1, 1.5),
	}
}

// New makes a stave: limbs of 30 to 36 in, unequal by up to an inch, stiffness that falls towards the nock by
// a power of what is left, ordered to weigh 30 to 75 lb at a draw of about 0.39 of its length.
func New(r *rand.Rand, rough Rough) Stave {
	length := links.Between(r, 30, 36)
	s := Stave{Bow: strung.Bow{Handle: links.Between(r, 3, 5), Between: strung.LogLinear}}
	unequal, follow := cmp.Or(rough.Unequal, 0.12), cmp.Or(rough.Follow, 0.0008)
	tip, power := links.Between(r, 0.06, 0.2), links.Between(r, 0.7, 1.3)
	for _, side := range model.Sides {
		limb := s.Limb(side)
		*limb = strung.Limb{Length: length}
		if side == model.Lower {
			limb.Length -= links.Between(r, 0, 1)
		}
		t, p := tip*math.Exp(0.15*r.NormFloat64()), power+0.07*r.NormFloat64()
		own := math.Exp(unequal * r.NormFloat64())
		wobble := noise(r, limb.Length, max(rough.Width, 0.5))
		rest := noise(r, limb.Length, 4)
		set := 0.0006 + follow*r.NormFloat64()
		for i := range grid {
			u := float64(i) / (grid - 1)
			limb.At = append(limb.At, u*limb.Length)
			b := t + (1-t)*math.Pow(1-u, p)
			limb.Stiffness = append(limb.Stiffness, own*b*math.Exp(rough.Stiffness*wobble[i]))
			limb.RestBend = append(limb.RestBend, set*4*u*(1-u)*1.5+rough.Rest*rest[i])
		}
		limb.At[grid-1] = limb.Length
	}
	s.Draw = math.Round(2*(0.39*(2*length+s.Bow.Handle)+links.Between(r, -1, 0.5))) / 2
	s.Weight = math.Round(links.Between(r, 30, 75))
	s.Brace = links.Between(r, 5.5, 6.5)
	s.weigh(s.Weight * rough.Heavy)
	return s
}

// noise is a smooth random course of unit variance at the knots of a limb, alike over about the given width:
// white noise under a bell.
func noise(r *rand.Rand, length, width float64) []float64 {
	step := length / (grid - 1)
	half := int(math.Ceil(3 * width / step))
	white := make([]float64, grid+2*half)
	for i := range white {
		white[i] = r.NormFloat64()
	}
	out := make([]float64, grid)
	squares := 0.0
	for k := -half; k <= half; k++ {
		x := float64(k) * step / width
		w := math.Exp(-x * x)
		squares += w * w
		for i := range out {
			out[i] += w * white[i+half+k]
		}
	}
	for i := range out {
		out[i] /= math.Sqrt(squares)
	}
	return out
}

// weigh makes the whole stave stronger or weaker until it weighs what it should at its draw.
func (s *Stave) weigh(weight float64) {
	force := s.Force(s.Draw)
	for _, side := range model.Sides {
		floats.Scale(weight/force, s.Limb(side).Stiffness)
	}
}

// solve is the stave at a draw, 0 for braced, with readings at places. A bow that can't be strung gives zero
// readings and NaN force, and no test that uses it can pass.
func (s *Stave) solve(draw float64, places strung.Places) (sol strung.Solution, read strung.Readings) {
	solver, err := strung.New(s.Bow, strung.ByBrace(s.Brace))
	if err == nil {
		err = solver.SetPlaces(places)
	}
	if err == nil && draw == 0 {
		err = solver.Brace(&sol)
	} else if err == nil {
		err = solver.Draw(draw, &sol)
	}
	if err == nil {
		err = solver.Read(&sol, &read)
	}
	if err != nil {
		sol.Force = math.NaN()
	}
	return sol, read
}

// at are the same places on both limbs.
func at(places ...float64) strung.Places {
	return strung.Places{{At: places}, {At: places}}
}

// Force is the true weight at a draw.
func (s *Stave) Force(draw float64) float64 {
	sol, _ := s.solve(draw, strung.Places{})
	return sol.Force
}

// Bend is the true bend of a limb at places at a draw.
func (s *Stave) Bend(side model.Side, draw float64, places []float64) []float64 {
	_, read := s.solve(draw, at(places...))
	return read[side].Bend
}

// Uneven is the true standard deviation of bend over its mean from a tenth to eight tenths of a limb, at the
// ordered draw. The full compass is even there.
func (s *Stave) Uneven(side model.Side) float64 {
	length := s.Limb(side).Length
	var places []float64
	for x := 0.1 * length; x <= 0.8*length; x += 0.25 {
		places = append(places, x)
	}
	mean, sd := stat.PopMeanStdDev(s.Bend(side, s.Draw, places), nil)
	return sd / mean
}

// Tiller is the true difference of the gaps at a place, braced.
func (s *Stave) Tiller(place float64) float64 {
	_, read := s.solve(0, at(place))
	if len(read[model.Upper].Gap) == 0 {
		return math.NaN()
	}
	return read[model.Upper].Gap[0] - read[model.Lower].Gap[0]
}

// Even gives both limbs the stiffness with which they bend exactly by an aim at the ordered draw, up to
// scale, and the ordered weight: stiffness in proportion to moment over aim, repeated until it stays. The aim
// is a function of the share of the limb from root to nock.
func (s *Stave) Even(aim func(u float64) float64) {
	for range 14 {
		_, read := s.solve(s.Draw, strung.Places{{At: s.Bow.Upper.At}, {At: s.Bow.Lower.At}})
		if len(read[model.Upper].Bend) == 0 {
			return
		}
		level := stat.Mean(s.Bow.Upper.Stiffness, nil)
		for _, side := range model.Sides {
			follow(s.Limb(side), read[side].Bend, level, aim)
		}
		s.weigh(s.Weight)
	}
}

// follow moves a limb's stiffness half the way to what bends by the aim, with a mean of level.
func follow(limb *strung.Limb, bend []float64, level float64, aim func(u float64) float64) {
	want := make([]float64, len(bend))
	for i, b := range bend {
		want[i] = b * limb.Stiffness[i] / math.Max(aim(limb.At[i]/limb.Length), 1e-3)
	}
	scale := level / stat.Mean(want, nil)
	for i, w := range want {
		limb.Stiffness[i] = math.Sqrt(limb.Stiffness[i] * math.Max(w*scale, 0.02*level))
	}
}

// Step makes a limb stiffer by a factor between two places.
func (s *Stave) Step(side model.Side, from, to, factor float64) {
	limb := s.Limb(side)
	for i, at := range limb.At {
		if at >= from && at <= to {
			limb.Stiffness[i] *= factor
		}
	}
}

// Scrape takes off a share of a limb's stiffness between two places; the string stays the same.
func (s *Stave) Scrape(side model.Side, from, to, share float64) {
	s.Change(func() { s.Step(side, from, to, 1-share) })
}

// A Scraping is wood off one stretch of a limb.
type Scraping = links.Cut

// Work scrapes the stave, off what is meant by a random share along each limb: its standard deviation is off,
// and it stays alike over some 3 in. The string stays the same, and the brace height gives way.
func (s *Stave) Work(r *rand.Rand, all []Scraping, off float64) {
	s.Change(func() {
		for _, side := range model.Sides {
			limb := s.Limb(side)
			uneven := noise(r, limb.Length, 3)
			for i, at := range limb.At {
				limb.Stiffness[i] *= math.Exp(-links.Loss(all, side, at) * max(1+off*uneven[i], 0))
			}
		}
	})
}

// Change does something to the stave on its string.
func (s *Stave) Change(do func()) {
	braced, _ := s.solve(0, strung.Places{})
	do()
	after, err := strung.New(s.Bow, strung.ByLength(braced.StringLength))
	if err == nil && after.Brace(&braced) == nil {
		s.Brace = braced.Brace
	}
}
