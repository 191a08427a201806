package estimate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/links"
)

// A realShop says how a shop and its bow differ from what the estimate assumes. The zero shop differs in
// nothing: rule in sixteenths with an error of 1/32 in, peaks with one of 0.3 lb, five pulls to 80% of the
// draw, rough bows.
type realShop struct {
	name       string
	sink       float64 // of the support at 40 lb, under the wall's line (in)
	hysteresis float64 // force come to by loading over that by unloading, less 1
	drift      bool    // stiffness lost over the session, 1 to 3%
	set        float64 // taken by the first full draw (in)
	short      float64 // by which all draws are read too low (in)
	rougher    bool    // the rule has twice the error
	low        float64 // by which the longest of three peaks is read too low (lbf)
	long       bool    // all pulls on a long string of typed length
	block      bool    // a 6 in block on the braced bow besides, every 3 in
	even       bool    // a bow that bends by the aim
	fault      float64 // stiffness added over some inches of an even bow, as a share; below 0 a hinge
	over       float64 // those inches
}

// A sitting is one bow read in a shop.
type sitting struct {
	realShop
	bow           *links.Bow
	r             *rand.Rand
	factor, taken float64    // of stiffness, and the set so far (in), now
	string        links.Pose // on the string
	half          float64    // of the string (in)
	longest       float64    // draw as read (in)
	faulty        model.Side
	from          float64 // where the fault begins (in)
}

// sit makes the bow of a shop. Shops with the same kind of bow have the same bows.
func (s realShop) sit(t testing.TB, row, i int) *sitting {
	r := series.Rand(t, 70, i)
	at := &sitting{realShop: s, factor: 1, r: series.Rand(t, 71+row, i)}
	if !s.even {
		at.bow = links.New(r, links.Between(r, 0.05, 0.13), 0.1)
		return at
	}
	at.bow = links.NewEven(r)
	at.faulty = model.Sides[r.IntN(2)]
	at.from = links.Between(r, 2, 0.9*at.bow.Limbs[at.faulty].Length-8)
	if s.fault != 0 {
		heavy := at.bow.Force(at.bow.Draw)
		at.bow.Fault(at.faulty, at.from, at.from+s.over, 1+s.fault)
		at.bow.Scale(heavy)
	}
	return at
}

// known is what the estimate is told.
func (s *sitting) known() estimate.Bow {
	b := s.bow
	return estimate.Bow{
		Handle: b.Handle,
		Limbs:  [2]estimate.Limb{{Length: b.Limbs[0].Length}, {Length: b.Limbs[1].Length}},
		Draw:   b.Draw, Weight: b.Weight, Errors: estimate.UsualErrors(1.0/16, 0.1, false),
	}
}

// stations are every four inches of both limbs, and the nocks.
func (s *sitting) stations() (at [2][]float64) {
	for side, limb := range s.bow.Limbs {
		for x := 4.0; x < limb.Length-1; x += 4 {
			at[side] = append(at[side], x)
		}
		at[side] = append(at[side], limb.Length)
	}
	return at
}

// ruled is a length read with the rule.
func (s *sitting) ruled(truth, sd float64) float64 {
	return math.Round(16*(truth+sd*s.r.NormFloat64())) / 16
}

func (s *sitting) lineError() float64 {
	if s.rougher {
		return 1.0 / 16
	}
	return 1.0 / 32
}

// row reads both limbs of a bow from a line that it sank below (in).
func (s *sitting) row(slope func(model.Side) []float64, sunk float64) (all []estimate.Reading) {
	stations := s.stations()
	for _, side := range model.Sides {
		l := &s.bow.Limbs[side]
		for _, at := range stations[side] {
			_, y := l.Point(slope(side), at)
			all = append(all, estimate.Reading{Side: side, At: at, Value: s.ruled(y+sunk, s.lineError())})
		}
	}
	return all
}

// blocks reads the gaps under a 6 in block on a braced bow.
func (s *sitting) blocks(c *links.Chain) estimate.BlockRow {
	row := estimate.BlockRow{Block: 6}
	for _, side := range model.Sides {
		l := &c.Limbs[side]
		for at := 3.0; at+3 <= l.Length; at += 3 {
			gap := l.Gap(c.Pose.Slope[side], at, row.Block) + 0.004*s.r.NormFloat64()
			row.Gaps = append(row.Gaps, estimate.Reading{Side: side, At: at, Value: gap})
		}
	}
	return row
}

// now is the bow as it is, drawn to a true distance from its belly line; set is taken on the way, most
// of it near the ordered draw.
func (s *sitting) now(t testing.TB, draw float64) *links.Chain {
	share := min(max((draw-s.bow.Brace)/(s.bow.Draw-s.bow.Brace), 0), 1)
	s.taken = max(s.taken, s.set*math.Pow(share, 4))
	c := s.bow.Chain(s.factor, s.taken)
	c.Pose, c.Half = s.string, s.half
	check(t, c.Draw(draw))
	s.string = c.Pose
	return c
}

// pull draws the bow as the shop does, to a draw as it reads it, and returns how far the support sank (in).
func (s *sitting) pull(t testing.TB, draw float64) (c *links.Chain, sunk float64) {
	for range 5 {
		c = s.now(t, draw+s.short-sunk)
		sunk = s.sink * c.Force() / 40
	}
	return c, sunk
}

// read sits through the readings of one pass.
func (s *sitting) read(t testing.TB) estimate.Pass {
	b := s.bow
	var pass estimate.Pass
	hang := estimate.Hang{Long: s.long}
	c := b.Chain(1, 0)
	if s.r.IntN(2) == 0 {
		pass.Relaxed = s.row(func(side model.Side) []float64 { return c.Limbs[side].Unstrung() }, 0)
	}
	if s.long {
		length := b.Handle + b.Limbs[0].Length + b.Limbs[1].Length + links.Between(s.r, 1.5, 3)
		check(t, c.Hang(length))
		hang.Length = s.ruled(length, 1.0/16)
	} else {
		check(t, c.Brace(b.Brace))
		hang.Brace = s.ruled(b.Brace, 1.0/16)
		hang.Line = s.row(func(side model.Side) []float64 { return c.Pose.Slope[side] }, 0)
		if s.block {
			hang.Blocks = []estimate.BlockRow{s.blocks(c)}
		}
	}
	s.string, s.half = c.Pose, c.Half
	pulls := 5
	if s.low > 0 {
		pulls = 3
	}
	lost := links.Between(s.r, 0.01, 0.03)
	s.longest = math.Floor(0.8*4*b.Draw) / 4
	first := math.Round(0.45 * b.Draw)
	for k := range pulls {
		draw := first + math.Round(4*(s.longest-first)*float64(k)/float64(pulls-1))/4
		if s.drift {
			s.factor = 1 - lost*float64(k)/float64(pulls-1)
		}
		c, sunk := s.pull(t, draw)
		force := c.Force() * (1 + s.hysteresis*(float64(s.r.IntN(2))-0.5))
		if k == pulls-1 {
			force -= s.low
		}
		hang.Pulls = append(hang.Pulls, estimate.Pull{
			Draw: draw, Peak: math.Round(10*(force+0.3*s.r.NormFloat64())) / 10,
			Line: s.row(func(side model.Side) []float64 { return c.Pose.Slope[side] }, sunk),
		})
	}
	pass.Hangs = []estimate.Hang{hang}
	if s.long { // from here on it is braced
		c := b.Chain(s.factor, s.taken)
		check(t, c.Brace(b.Brace))
		s.string, s.half = c.Pose, c.Half
	}
	return pass
}

// stop is the longest draw that the shop may pull next without passing the ordered weight, by the truth: at
// most 2 in beyond its longest and never beyond the order.
func (s *sitting) stop(t testing.TB) float64 {
	for draw := min(s.longest+2, s.bow.Draw); ; draw -= 1.0 / 8 {
		try := *s
		if c, _ := try.pull(t, draw); c.Force() <= s.bow.Weight {
			return draw
		}
	}
}
