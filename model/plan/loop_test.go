package plan_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bendbook/model/plan"
	"bendbook/model/virtualtest"
)

// A table is the results of many staves.
type table struct {
	n, right, under, over, tiller, done int
	off, passes, uneven, before, most   []float64
}

func (a *table) add(res result) {
	a.n++
	count := func(n *int, is bool) {
		if is {
			*n++
		}
	}
	count(&a.right, res.off >= -0.5 && res.off <= 1)
	count(&a.under, res.off < -1.5)
	count(&a.over, res.most > 1)
	count(&a.tiller, math.Abs(res.tiller) <= 1.0/16)
	count(&a.done, res.verdict == plan.Done)
	a.off = append(a.off, res.off)
	a.most = append(a.most, res.most)
	a.passes = append(a.passes, float64(res.passes))
	a.uneven = append(a.uneven, res.uneven[:]...)
	a.before = append(a.before, res.before[:]...)
}

func (a *table) share(n int) float64 { return float64(n) / float64(a.n) }

func (a *table) log(t testing.TB, name string) {
	t.Logf("%-36s %d staves: right weight %.3f (%+.2f to %+.2f lb), under by more than 1.5 lb %d, pulled over by more than 1 lb %d (most %.2f), tiller %.3f, "+
		"uneven %.3f median %.3f 90th (before %.3f), passes %.0f median %.0f 90th, called done %d",
		name, a.n, a.share(a.right), quantile(a.off, 0), quantile(a.off, 1), a.under, a.over, quantile(a.most, 1), a.share(a.tiller),
		quantile(a.uneven, 0.5), quantile(a.uneven, 0.9), quantile(a.before, 0.5), quantile(a.passes, 0.5), quantile(a.passes, 0.9), a.done)
}

// hold holds a table to the bars: over many staves as they stand, over few with what chance does to them.
func (a *table) hold(t testing.TB, name string, mostUneven float64) {
	slack := 0.0
	if a.n < 200 {
		slack = 1 / float64(a.n) // one stave
		mostUneven *= 1.3
	}
	for _, bar := range []struct {
		what string
		ok   bool
	}{
		{"weight within -0.5 to +1 lb in 95 %", a.share(a.right) >= 0.95-slack},
		{"never more than 1.5 lb under", a.under == 0},
		{"no pull more than 1 lb over", a.over == 0},
		{"tiller within 1/16 in in 90 %", a.share(a.tiller) >= 0.90-slack},
		{"bend even", quantile(a.uneven, 0.5) <= mostUneven},
		{"6 passes in the median", quantile(a.passes, 0.5) <= 6},
	} {
		if !bar.ok {
			t.Errorf("%s: not met: %s", name, bar.what)
		}
	}
}

// TestStavesTilleredByThePlan follows only what is said, and the notebook's way on the same staves.
func TestStavesTilleredByThePlan(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		way    way
		rough  func(*rand.Rand) virtualtest.Rough
		uneven float64 // most unevenness in the median, 0 where no bar is set
		short  bool    // also in the short run
	}{
		{"rule in sixteenths", notebook(), planed, 0.08, true},
		{"rule in sixteenths, set and loss", notebook().tire(), planed, 0.08, false},
		{"blocks, rule in 32nds", gauged(), planed, 0.05, false},
		{"blocks, rule in 32nds, set and loss", gauged().tire(), planed, 0.05, true},
		{"crooked, rule in sixteenths, set and loss", notebook().tire(), crooked, 0, false},
		{"crooked, blocks, set and loss", gauged().tire(), crooked, 0, false},
	} {
		if !c.short && !series.Long {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			var told, ruled table
			for k := range series.Count(4, 200) {
				r := series.Rand(t, 0, k)
				stave := ordered(r, c.rough)
				other := stave.Clone()
				told.add(newSitting(t, r, &stave, c.way).told())
				ruled.add(newSitting(t, series.Rand(t, 1, k+1), &other, c.way).ruled())
			}
			told.log(t, c.name)
			ruled.log(t, "  the notebook's way")
			if c.uneven > 0 {
				told.hold(t, c.name, c.uneven)
			}
			if quantile(told.uneven, 0.5) > quantile(ruled.uneven, 0.5) {
				t.Errorf("%s: the notebook's way bends more evenly", c.name)
			}
		})
	}
}
