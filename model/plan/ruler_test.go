package plan_test

import (
	"math"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
	"bendbook/model/virtualtest"
)

// ruled tillers a stave the notebook's way: the weight at full draw from a ruler laid through the last two peaks, an even cut by what it is too
// heavy, half again as much where second differences of the line look stiff and none where they look weak, and more on the limb that the
// tiller shows too strong.
func (s *sitting) ruled() result {
	res := result{before: uneven(s.stave), verdict: plan.Done}
	for ; res.passes < mostPasses; res.passes++ {
		s.exercise(res.passes)
		var pass estimate.Pass
		s.read(&pass, s.rulerPulls(&pass))
		pulls := pass.Hangs[0].Pulls
		weight := ruler(pulls, s.stave.Draw)
		tiller := tillerOf(pass.Hangs[0].Gap) - 0.25
		excess := math.Log(weight / s.stave.Weight)
		if excess < 0.5/s.stave.Weight {
			break
		}
		share := 0.6
		if excess < 0.06 {
			share = 0.85
		}
		var cuts []plan.Cut
		for _, side := range model.Sides {
			even := excess * share
			// A quarter of an inch of tiller is some 6 % between the limbs (common practice: scrape the strong limb).
			strong := tiller
			if side == model.Upper {
				strong = -tiller
			}
			even *= 1 + min(max(2*strong, -0.8), 0.8)
			cuts = append(cuts, s.bySecondDifferences(side, pulls[len(pulls)-1].Line, even)...)
		}
		s.scrape(cuts, s.stave.Estimated(s.way.read))
	}
	res.finish(s)
	return res
}

// rulerPulls goes 2 in farther each time, while the ruler foretells no more than the weight wanted.
func (s *sitting) rulerPulls(pass *estimate.Pass) float64 {
	last := 0.0
	for draw := math.Floor(s.start + 3); draw <= s.stave.Draw; draw += 2 {
		if len(pass.Hangs) > 0 && len(pass.Hangs[0].Pulls) > 1 && ruler(pass.Hangs[0].Pulls, draw) > s.stave.Weight {
			break
		}
		s.pull(pass, draw)
		last = draw
	}
	return last
}

// ruler is the weight at a draw on the line through the two farthest peaks.
func ruler(pulls []estimate.Pull, draw float64) float64 {
	var a, b estimate.Pull
	for _, p := range pulls {
		switch {
		case p.Draw > b.Draw:
			a, b = b, p
		case p.Draw > a.Draw && p.Draw < b.Draw:
			a = p
		}
	}
	return b.Peak + (draw-b.Draw)*(b.Peak-a.Peak)/(b.Draw-a.Draw)
}

// tillerOf is the gap of the upper limb less that of the lower at 8 in.
func tillerOf(gaps []estimate.Reading) float64 {
	sum := 0.0
	for _, g := range gaps {
		if g.At == 8 {
			if g.Side == model.Upper {
				sum += g.Value
			} else {
				sum -= g.Value
			}
		}
	}
	return sum
}

// bySecondDifferences cuts between stations by what the second differences of the line there are against their mean.
func (s *sitting) bySecondDifferences(side model.Side, line []estimate.Reading, even float64) []plan.Cut {
	at, y := []float64{0}, []float64{0}
	for _, r := range line {
		if r.Side == side {
			at, y = append(at, r.At), append(y, r.Value)
		}
	}
	n := len(at)
	curved := make([]float64, n)
	sum := 0.0
	for i := 1; i+1 < n; i++ {
		left, right := (y[i]-y[i-1])/(at[i]-at[i-1]), (y[i+1]-y[i])/(at[i+1]-at[i])
		curved[i] = 2 * (right - left) / (at[i+1] - at[i-1])
		sum += curved[i] / float64(n-2)
	}
	var cuts []plan.Cut
	for i := 1; i+1 < n; i++ {
		loss := even
		switch ratio := curved[i] / sum; {
		case ratio < 0.85:
			loss *= 1.5
		case ratio > 1.15:
			loss = 0
		}
		from, to := (at[i-1]+at[i])/2, (at[i]+at[i+1])/2
		if i == 1 {
			from = 0
		}
		if i+2 == n {
			to = virtualEnd(s.stave, side)
		}
		if loss > 0 {
			cuts = append(cuts, plan.Cut{Stretch: estimate.Stretch{Side: side, From: from, To: to}, Loss: loss})
		}
	}
	return cuts
}

// virtualEnd is where a limb is scraped to at the most.
func virtualEnd(s *virtualtest.Stave, side model.Side) float64 { return 0.95 * s.Limb(side).Length }
