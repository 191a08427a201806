package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/virtualtest"
)

// TestCurvesOfDetection compares three ways to find a flat of 30 % more stiffness over 6 in on one limb, by the share found at
// given shares of even limbs falsely told: this package's, the best possible test, which is given the even limb
// itself and the errors and weighs the likelihoods of a flat at each place against none, and the notebook's,
// second differences of the longest pull's line against their median.
func TestCurvesOfDetection(t *testing.T) {
	if !series.Long {
		t.Skip("only with -long")
	}
	plans := []struct {
		name string
		of   func(draw float64) virtualtest.Plan
	}{
		{"blocks every 2 in by feeler, line in 1/32", blocks},
		{"blocks every 4 in by wedge, line in 1/32", func(d float64) virtualtest.Plan {
			p := blocks(d)
			p.BlockEvery, p.Gauge, p.Relaxed, p.Gap = 4, 0.004, false, false
			return p
		}},
		{"line in 1/32", func(d float64) virtualtest.Plan { return lines(d, 1.0/32) }},
		{"line in 1/16", func(d float64) virtualtest.Plan { return lines(d, 1.0/16) }},
	}
	for table, plan := range plans {
		var even, flat [3][]float64
		for i := range series.Count(1, 150) {
			stave := evenBow(t, 70, i)
			p := plan.of(stave.Draw)
			best := newBestTest(&stave, p)
			r := series.Rand(t, 71+table, i)
			from := 2 + r.Float64()*(0.9*stave.Bow.Upper.Length-10)
			for flawed, scores := range []*[3][]float64{&even, &flat} {
				if flawed == 1 {
					stave.Step(model.Upper, from, from+6, 1.3)
				}
				pass := stave.Read(r, p)
				prior, err := stave.Estimated(p).Prior()
				if err != nil {
					t.Fatal(err)
				}
				st, err := prior.Fold(pass)
				if err != nil {
					t.Fatal(err)
				}
				found, err := st.Findings(stave.Draw, estimate.Aim{}, estimate.Bar{Size: 0.12, Chance: 0.02})
				if err != nil {
					t.Fatal(err)
				}
				own := 0.0
				for _, f := range found {
					if f.Side == model.Upper && !f.Hinge {
						own = max(own, f.Chance)
					}
				}
				for k, v := range []float64{own, best.score(pass), secondDifferences(pass)} {
					scores[k] = append(scores[k], v)
				}
			}
		}
		for k, name := range []string{"this package", "best possible", "notebook"} {
			var shares []float64
			for _, alarms := range []float64{0.01, 0.05, 0.1, 0.2, 0.4} {
				bar := quantile(even[k], 1-alarms)
				hits := 0
				for _, v := range flat[k] {
					if v > bar {
						hits++
					}
				}
				shares = append(shares, float64(hits)/float64(len(flat[k])))
			}
			t.Logf("%-42s %-14s found at 1, 5, 10, 20, 40 %% false alarms: %.2f", plan.name, name, shares)
		}
	}
}

// A bestTest knows what an even stave reads without error, and how a flat at each place changes that.
type bestTest struct {
	even  []float64
	sd    []float64
	flats [][]float64
}

func newBestTest(s *virtualtest.Stave, p virtualtest.Plan) bestTest {
	var b bestTest
	b.even, b.sd = flatten(s.Exact(p), p.Errors())
	for from := 1.0; from+6 < 0.95*s.Bow.Upper.Length; from += 1.5 {
		other := s.Clone()
		other.Step(model.Upper, from, from+6, 1.3)
		change, _ := flatten(other.Exact(p), p.Errors())
		for i := range change {
			change[i] -= b.even[i]
		}
		b.flats = append(b.flats, change)
	}
	return b
}

// score is the largest logarithm of a likelihood ratio.
func (b bestTest) score(p estimate.Pass) float64 {
	read, _ := flatten(p, estimate.Errors{})
	best := math.Inf(-1)
	for _, flat := range b.flats {
		sum := 0.0
		for i, d := range flat {
			off := read[i] - b.even[i]
			sum += (off*d - d*d/2) / (b.sd[i] * b.sd[i])
		}
		best = max(best, sum)
	}
	return best
}

// flatten is the readings of a pass in a row, with their errors.
func flatten(p estimate.Pass, e estimate.Errors) (values, sd []float64) {
	add := func(rows []estimate.Reading, err float64) {
		for _, r := range rows {
			values, sd = append(values, r.Value), append(sd, err)
		}
	}
	add(p.Relaxed, e.Line)
	for _, h := range p.Hangs {
		add(h.Line, e.Line)
		add(h.Gap, e.Line)
		for _, b := range h.Blocks {
			add(b.Gaps, e.Block)
		}
		for _, pull := range h.Pulls {
			values, sd = append(values, pull.Peak), append(sd, e.Peak)
			add(pull.Line, e.Line)
		}
	}
	return values, sd
}

// secondDifferences is how far the least bend at a station of the upper limb lies below the median, by the longest pull.
func secondDifferences(p estimate.Pass) float64 {
	pulls := p.Hangs[0].Pulls
	at, y := []float64{0}, []float64{0}
	for _, r := range pulls[len(pulls)-1].Line {
		if r.Side == model.Upper {
			at, y = append(at, r.At), append(y, r.Value)
		}
	}
	var bend []float64
	for i := 1; i < len(at)-2; i++ {
		bend = append(bend, 2*((y[i+1]-y[i])/(at[i+1]-at[i])-(y[i]-y[i-1])/(at[i]-at[i-1]))/(at[i+1]-at[i-1]))
	}
	least := math.Inf(1)
	for _, b := range bend {
		least = min(least, b)
	}
	return 1 - least/quantile(bend, 0.5)
}
