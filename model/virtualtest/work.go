package virtualtest

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"bendbook/model"
	"bendbook/model/strung"
)

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

// scrapeFade is how wide a scraping fades at its ends (in).
const scrapeFade = 1.0

// A Scraping is wood off one stretch of a limb: log stiffness falls by Loss between two places (in).
type Scraping struct {
	Side     model.Side
	From, To float64
	Loss     float64
}

// Work scrapes the stave, off what is meant by a random share along each limb: its standard deviation is off,
// and it stays alike over some 3 in. The string stays the same, and the brace height gives way.
func (s *Stave) Work(r *rand.Rand, all []Scraping, off float64) {
	s.Change(func() {
		for _, side := range model.Sides {
			limb := s.Limb(side)
			uneven := noise(r, limb.Length, 3)
			for i, at := range limb.At {
				loss := 0.0
				for _, one := range all {
					if one.Side == side {
						loss += one.Loss * min(max(min(at-one.From, one.To-at)/scrapeFade+0.5, 0), 1)
					}
				}
				limb.Stiffness[i] *= math.Exp(-loss * max(1+off*uneven[i], 0))
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
