package estimate_test

import (
	"math/rand/v2"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// A camera takes what is read of a stave as pictures show it: each place is off by its own sticker.
type camera struct {
	r      *rand.Rand
	placed map[estimate.Reading]float64
}

// stick puts stickers on, or anew: off their places by a sixty-fourth.
func (c *camera) stick() { c.placed = make(map[estimate.Reading]float64) }

// pictured are readings as pictures show them, which hold no error yet.
func (c *camera) pictured(all []estimate.Reading) {
	for i := range all {
		place := estimate.Reading{Side: all[i].Side, At: all[i].At}
		if _, known := c.placed[place]; !known {
			c.placed[place] = c.r.NormFloat64() / 64
		}
		all[i].Value += c.placed[place] + 0.003*c.r.NormFloat64()
		all[i].Photo = true
	}
}

// take reads a stave off pictures.
func (c *camera) take(s *treetest.Stave, relaxed bool) estimate.Pass {
	p := treetest.Plan{Rule: 1e-6, Scale: 0.1, Relaxed: relaxed, BraceHeight: true, Draws: toShare(s.Draw, 0.8)}
	p.LineDraws = p.Draws
	for at := 2.0; at < 29; at += 2 {
		p.Stations = append(p.Stations, at)
	}
	pass := s.Read(nil, p)
	c.pictured(pass.Relaxed)
	for _, h := range pass.Hangs {
		for _, pull := range h.Pulls {
			c.pictured(pull.Line)
		}
	}
	return pass
}

// Stickers stay on from pass to pass: with a picture of the unstrung bow, though from the pass before, later
// ones show the bend far better than where the limbs lie. Stickers put on anew make no bend that isn't there.
func TestStickersStayOn(t *testing.T) {
	t.Parallel()
	at := [2][]float64{{6, 10, 14, 18, 22}, {6, 10, 14, 18, 22}}
	var stay, anew tally
	narrower := 0
	const staves = 6
	for k := range staves {
		r := series.Rand(t, 31, k)
		stave := treetest.New(r, treetest.Staves(r))
		fold := func(again bool, passes ...bool) (width float64, limbs [2]estimate.Bending) {
			stave, c := stave, camera{r: rand.New(rand.NewPCG(uint64(k), 31))}
			c.stick()
			st, err := stave.Estimated(lines16(stave.Draw)).Prior()
			check(t, err)
			for n, relaxed := range passes {
				if n > 0 && again {
					c.stick()
				}
				st, err = st.Fold(c.take(&stave, relaxed))
				check(t, err)
			}
			limbs, err = st.Bending(stave.Draw, estimate.Aim{}, at)
			check(t, err)
			for _, l := range limbs {
				for _, f := range l.Bend {
					width += f.High - f.Low
				}
			}
			return width, limbs
		}
		never, _ := fold(false, false, false)
		once, limbs := fold(false, true, false)
		_, other := fold(true, true, false)
		if once < 0.9*never {
			narrower++
		}
		for _, side := range model.Sides {
			truth := stave.Bend(side, stave.Draw, at[side])
			for i := range truth {
				stay.holds(limbs[side].Bend[i], truth[i])
				anew.holds(other[side].Bend[i], truth[i])
			}
		}
	}
	t.Logf("of %d staves %d are better known; bands hold %.3f, with stickers put on anew %.3f", staves, narrower,
		stay.share(), anew.share())
	if narrower < staves-1 || stay.share() < 0.8 || anew.share() < 0.75 {
		t.Error("pictures don't tell what they show")
	}
}
