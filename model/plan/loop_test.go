package plan_test

import (
	"math"
	"testing"

	"bendbook/model/treetest"
)

// A table is the results of many staves.
type table struct {
	n, right, under, over, tiller float64
	off, passes, uneven, most     []float64
}

func (a *table) add(res result) {
	a.n++
	for n, counts := range map[*float64]bool{
		&a.right: res.off >= -0.5 && res.off <= 1, &a.under: res.off < -1.5,
		&a.over: res.most > 1, &a.tiller: math.Abs(res.tiller) <= 1.0/16,
	} {
		if counts {
			*n++
		}
	}
	a.off = append(a.off, res.off)
	a.most = append(a.most, res.most)
	a.passes = append(a.passes, float64(res.passes))
	a.uneven = append(a.uneven, res.uneven[:]...)
}

func (a *table) log(t testing.TB) {
	q := treetest.Quantile
	t.Logf("%v staves: right weight %.3f (%+.2f to %+.2f lb), under by more than 1.5 lb %v, "+
		"pulled over by more than 1 lb %v (most %.2f), tiller %.3f, uneven %.3f median %.3f 90th, "+
		"passes %.0f median %.0f 90th",
		a.n, a.right/a.n, q(a.off, 0), q(a.off, 1), a.under, a.over, q(a.most, 1), a.tiller/a.n,
		q(a.uneven, 0.5), q(a.uneven, 0.9), q(a.passes, 0.5), q(a.passes, 0.9))
}

// hold holds a table to the bars: over many staves as they stand, over few with what chance does to them. Of
// crooked staves only evenness is asked.
func (a *table) hold(t testing.TB, mostUneven float64, crooked bool) {
	slack := 0.0
	if a.n < 200 {
		slack = 1 / a.n // one stave
		mostUneven *= 1.3
	}
	for _, bar := range []struct {
		what string
		ok   bool
	}{
		{"weight within -0.5 to +1 lb in 95 %", crooked || a.right/a.n >= 0.95-slack},
		{"never more than 1.5 lb under", crooked || a.under == 0},
		{"no pull more than 1 lb over", crooked || a.over == 0},
		{"tiller within 1/16 in in 90 %", crooked || a.tiller/a.n >= 0.90-slack},
		{"bend even", treetest.Quantile(a.uneven, 0.5) <= mostUneven},
		{"6 passes in the median", crooked || treetest.Quantile(a.passes, 0.5) <= 6},
	} {
		if !bar.ok {
			t.Errorf("not met: %s", bar.what)
		}
	}
}

// TestStavesTilleredByThePlan follows the stop line and the plan alone, and ends what stays unsure, on wood
// that gives way (TestClosedLoop of session/verdict has wood that doesn't). The bars of evenness lie below
// what a bowyer reaches with a ruler laid through the last two peaks, even cuts and second differences of the
// line: 0.11 to 0.13 on these staves.
func TestStavesTilleredByThePlan(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		way     way
		crooked bool
		uneven  float64 // most unevenness in the median
		short   bool    // also in the short run
	}{
		{"rule in sixteenths, set and loss", notebook().tire(), false, 0.08, false},
		{"blocks, rule in 32nds, set and loss", gauged().tire(), false, 0.05, true},
		{"crooked, rule in sixteenths, set and loss", notebook().tire(), true, 0.09, false},
		{"crooked, blocks, set and loss", gauged().tire(), true, 0.07, false},
	} {
		if !c.short && !series.Long {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			var told table
			for k := range series.Count(5, 200) {
				r := series.Rand(t, 0, k)
				rough := planed
				if c.crooked {
					rough = crooked
				}
				stave := ordered(r, rough)
				told.add(newSitting(t, r, &stave, c.way).told())
			}
			told.log(t)
			told.hold(t, c.uneven, c.crooked)
		})
	}
}
