package virtual

import (
	"math"
	"math/rand/v2"

	"bendbook/model"
	"bendbook/model/strung"
)

// scrapeFade is how wide a scraping fades at its ends (in).
const scrapeFade = 1.0

// A Scraping is wood off one stretch of a limb: log stiffness falls by Loss between two places (in).
type Scraping struct {
	Side     model.Side
	From, To float64
	Loss     float64
}

// Work scrapes the stave, off what is meant by a random share along each limb: its standard deviation is off, and it stays alike over
// some 3 in. The string stays the same, and the brace height gives way.
func (s *Stave) Work(r *rand.Rand, all []Scraping, off float64) {
	s.change(func() {
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

// Tire lets the stave take a set (in, at each nock, spread evenly along the limb) and lose a share of its stiffness, as wood does
// when it is worked. The string stays the same.
func (s *Stave) Tire(set, share float64) {
	s.change(func() {
		for _, side := range model.Sides {
			limb := s.Limb(side)
			for i := range limb.Stiffness {
				limb.Stiffness[i] *= 1 - share
				limb.RestBend[i] += 2 * set / (limb.Length * limb.Length)
			}
		}
	})
}

// change does something to the stave on its string.
func (s *Stave) change(do func()) {
	var sol strung.Solution
	before, err := strung.New(s.Bow, strung.ByBrace(s.Brace))
	if err == nil {
		err = before.Brace(&sol)
	}
	do()
	if err != nil {
		return
	}
	if after, err := strung.New(s.Bow, strung.ByLength(sol.StringLength)); err == nil && after.Brace(&sol) == nil {
		s.Brace = sol.Brace
	}
}
