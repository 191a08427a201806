package virtual

import (
	"math"

	"bendbook/model"
	"bendbook/model/strung"
)

// Even gives both limbs the stiffness with which they bend exactly by an aim at the ordered draw, up to
// scale, and the ordered weight: stiffness in proportion to moment over aim, repeated until it stays. The aim is
// a function of the share of the limb from root to nock.
func (s *Stave) Even(aim func(u float64) float64) {
	for range 14 {
		var places strung.Places
		places.Upper.At, places.Lower.At = s.Bow.Upper.At, s.Bow.Lower.At
		_, read := s.solve(s.Draw, places)
		if len(read.Upper.Moment) == 0 {
			return
		}
		level := mean(s.Bow.Upper.Stiffness)
		follow(&s.Bow.Upper, read.Upper.Moment, level, aim)
		follow(&s.Bow.Lower, read.Lower.Moment, level, aim)
		s.weigh(s.Weight)
	}
}

// follow moves a limb's stiffness half the way to what bends by the aim under the moment, with a mean of level.
func follow(limb *strung.Limb, moment []float64, level float64, aim func(u float64) float64) {
	want := make([]float64, len(moment))
	for i, m := range moment {
		want[i] = m / math.Max(aim(limb.At[i]/limb.Length), 1e-3)
	}
	scale := level / mean(want)
	for i, w := range want {
		limb.Stiffness[i] = math.Sqrt(limb.Stiffness[i] * math.Max(w*scale, 0.02*level))
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
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
	s.change(func() { s.Step(side, from, to, 1-share) })
}

// Clone is a stave of its own.
func (s *Stave) Clone() Stave {
	c := *s
	for _, side := range model.Sides {
		limb := c.Limb(side)
		limb.Stiffness = append([]float64(nil), limb.Stiffness...)
	}
	return c
}
