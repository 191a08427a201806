package estimate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/links"
	"bendbook/model/treetest"
)

// series is the computed tree's: go test -long -v asks for its tables over many bows. The seed is not one of
// those that the figures of this package were found with.
var series = treetest.SeriesFlags(600613)

// toShare are pulls up to a share of the draw.
func toShare(draw, share float64) []float64 {
	longest := math.Floor(draw*share*4) / 4
	return []float64{longest - 9, longest - 6, longest - 3, longest}
}

// lines reads the line at four pulls to 75 % of the draw.
func lines(draw, rule float64) treetest.Plan {
	p := treetest.Full(rule)
	p.Draws = toShare(draw, 0.75)
	p.LineDraws = p.Draws
	return p
}

// lines16 are those with a rule in 1/16 in.
func lines16(draw float64) treetest.Plan { return lines(draw, 1.0/16) }

// blocks reads the line and gaps under a 6 in block every 2 in, by a feeler gauge, and the gap to the string.
func blocks(draw float64) treetest.Plan {
	p := lines(draw, 1.0/32)
	p.Block, p.BlockEvery, p.Gauge = 6, 2, 0.003
	p.Relaxed, p.Gap = true, true
	return p
}

// gapsOnly reads gaps to the string at 6, 8 and 12 in, and peaks.
func gapsOnly(draw float64) treetest.Plan {
	p := treetest.Plan{Stations: treetest.Full(0).Stations, Gap: true, GapAt: []float64{6, 8, 12},
		BraceHeight: true, Rule: 1.0 / 16, Scale: 0.1}
	p.Draws = toShare(draw, 0.75)
	return p
}

// someStave is a stave of any kind, read by a plan, with its estimate.
func someStave(t testing.TB, table, i int, plan func(draw float64) treetest.Plan) (
	treetest.Stave, estimate.State,
) {
	t.Helper()
	r := series.Rand(t, table, i)
	stave := treetest.New(r, treetest.Staves(r))
	return stave, folded(t, r, &stave, plan(stave.Draw))
}

// findings are those of a bow as it is shown.
func findings(t testing.TB, st estimate.State, draw float64) []estimate.Finding {
	t.Helper()
	all, err := st.Findings(draw, estimate.Aim{})
	check(t, err)
	return all
}

// weight is what a bow is forecast to weigh at a draw.
func weight(t testing.TB, st estimate.State, draw float64) estimate.Figure {
	t.Helper()
	f, err := st.Forecast(draw)
	if err != nil || len(f) != 1 {
		t.Fatalf("%d forecasts, %v", len(f), err)
	}
	return f[0].Force
}

// folded is the estimate of a stave after one pass.
func folded(t testing.TB, r *rand.Rand, s *treetest.Stave, p treetest.Plan) estimate.State {
	t.Helper()
	return fold(t, s.Estimated(p), s.Read(r, p))
}

// fold is the estimate of a bow after some passes.
func fold(t testing.TB, bow estimate.Bow, passes ...estimate.Pass) estimate.State {
	t.Helper()
	st, err := bow.Prior()
	check(t, err)
	for _, pass := range passes {
		st, err = st.Fold(pass)
		check(t, err)
	}
	return st
}

// A tally is how many of some held.
type tally struct{ in, all int }

func (c *tally) add(in bool) {
	c.all++
	if in {
		c.in++
	}
}

// holds counts a range that should hold the truth.
func (c *tally) holds(f estimate.Figure, truth float64) { c.add(f.Low <= truth && truth <= f.High) }

// bends counts the ranges of bend at a draw that should hold that of a true bow, where it is compared.
func (c *tally) bends(t testing.TB, st estimate.State, draw float64, at [2][]float64, truth *links.Chain) {
	t.Helper()
	both, err := st.Bending(draw, estimate.Aim{}, at)
	check(t, err)
	for _, side := range model.Sides {
		for k, x := range at[side] {
			if both[side].Compared[k] {
				c.holds(both[side].Bend[k], truth.Bend(side, x))
			}
		}
	}
}

// of is as many places as stand for themselves where so many of a limb are wrong together.
func (c tally) of(together int) tally { return tally{c.in / together, c.all / together} }

func (c tally) share() float64 { return float64(c.in) / float64(c.all) }

func (c tally) String() string {
	if c.all == 0 {
		return "-"
	}
	return fmt.Sprintf("%.2f", c.share())
}

// unlikely says whether a tally would come of no share between two in more than one run of two hundred.
func (c tally) unlikely(least, most float64) bool {
	const rare = 0.005
	n, in := float64(c.all), float64(c.in)
	few := distuv.Binomial{N: n, P: least}.CDF(in)
	many := 1 - distuv.Binomial{N: n, P: most}.CDF(in-1)
	return c.all == 0 || few < rare || many < rare
}

// deviation is the true deviation of a place of a limb against the rest, and against the limb as a whole as
// findings tell it, on a fine grid.
func deviation(s *treetest.Stave, side model.Side, from, to float64) (rest, whole float64) {
	length := s.Limb(side).Length
	var at []float64
	for x := 0.125; x < 0.9*length; x += 0.25 {
		at = append(at, x)
	}
	bend := s.Bend(side, s.Draw, at)
	var compass aim.Aim
	var logs, n [2]float64
	inside, all, want := 0.0, 0.0, 0.0
	for i, x := range at {
		where, aimed := 0, compass.Bend(x/length)
		if x >= from && x <= to {
			where = 1
			inside += bend[i] / aimed
		}
		logs[where] += math.Log(bend[i] / aimed)
		n[where]++
		all, want = all+bend[i], want+aimed
	}
	return math.Expm1(logs[1]/n[1] - logs[0]/n[0]), inside/n[1]/(all/want) - 1
}

// check fails the test at an error.
func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
