package estimate_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// realShopHolds is what must hold of the bows of a row, as shares; a row of "" is every row. It is what holds
// today, and should be tightened as the estimate gets better.
var realShopHolds = []struct {
	row, figure string
	least, most float64
}{
	{"", "over", 0, 0.4},
	{"", "bold", 0.9, 1},

	{"as assumed", "weight", 0.85, 1},
	{"as assumed", "bend", 0.88, 0.98},
	{"as assumed", "said", 0, 0.05},
	{"as assumed", "blamed", 0, 0.05},
	{"as assumed", "over", 0, 0.02},
	{"long string", "weight", 0.85, 1},
	{"long string", "over", 0, 0.02},
	{"hysteresis 3%", "weight", 0.8, 1},
	{"hysteresis 3%", "bend", 0.85, 1},
	{"hysteresis 6%", "weight", 0.8, 1},
	{"hysteresis 6%", "bend", 0.8, 1},
	{"drift 1-3%", "weight", 0.85, 1},
	{"drift 1-3%", "bend", 0.85, 1},
	{"set of 0.6 in", "weight", 0.8, 1},
	{"set of 0.6 in", "bend", 0.75, 1},
	{"set of 0.6 in", "over", 0, 0.02},
	{"draw 0.2 in short", "bend", 0.8, 1},
	{"draw 0.2 in short", "over", 0, 0.02},
	{"rule twice as rough", "weight", 0.8, 1},
	{"rule twice as rough", "bend", 0.8, 1},
	{"rule twice as rough", "over", 0, 0.02},

	{"even, by rule", "weight", 0.85, 1},
	{"even, by rule", "bend", 0.88, 1},
	{"even, by rule", "said", 0, 0.05},
	{"even, by rule", "finding", 0, 0.05},
	{"flat, by rule", "bend", 0.8, 1},
	{"flat, by rule", "found", 0.45, 1},
	{"hinge, by rule", "bend", 0.8, 1},
	{"hinge, by rule", "found", 0.15, 1},
	{"even, with block", "weight", 0.85, 1},
	{"even, with block", "bend", 0.88, 1},
	{"even, with block", "said", 0, 0.05},
	{"even, with block", "finding", 0, 0.05},
	{"flat, with block", "bend", 0.8, 1},
	{"flat, with block", "found", 0.55, 1},
	{"hinge, with block", "bend", 0.8, 1},
	{"hinge, with block", "found", 0.5, 1},
}

// realShops are the rows of the table.
var realShops = []realShop{
	{name: "as assumed"},
	{name: "long string", long: true},
	{name: "sinks 1/4 in", sink: 0.25},
	{name: "sinks 1/2 in", sink: 0.5},
	{name: "hysteresis 3%", hysteresis: 0.03},
	{name: "hysteresis 6%", hysteresis: 0.06},
	{name: "drift 1-3%", drift: true},
	{name: "set of 0.6 in", set: 0.6},
	{name: "draw 0.2 in short", short: 0.2},
	{name: "rule twice as rough", rougher: true},
	{name: "longest peak 3 lb low", low: 3},
	{name: "longest peak 5 lb low", low: 5},
	{name: "even, by rule", even: true},
	{name: "flat, by rule", even: true, fault: 0.25, over: 6},
	{name: "hinge, by rule", even: true, fault: -0.2, over: 4},
	{name: "even, with block", even: true, block: true},
	{name: "flat, with block", even: true, block: true, fault: 0.25, over: 6},
	{name: "hinge, with block", even: true, block: true, fault: -0.2, over: 4},
}

// badFit says whether the estimate says that the readings don't fit its bow.
func badFit(st estimate.State) bool { return !st.Fit().Good }

// A realCount is how many of some held.
type realCount struct{ in, all int }

func (c *realCount) add(in bool) {
	c.all++
	if in {
		c.in++
	}
}

func (c realCount) String() string {
	if c.all == 0 {
		return "-"
	}
	return fmt.Sprintf("%.2f", float64(c.in)/float64(c.all))
}

// realShopFigures are the columns of the table:
//   - weight, bend: 90% ranges of the weight at the order and of bend at the stations that held the truth
//   - said, unsolved: bows whose readings it said don't fit; those that it couldn't string
//   - blamed, caught: good peaks called wild, and low ones, a bow
//   - over, bold: next pulls more than 1 lb over the weight; stop lines at most 1 in short of the best
//   - finding, found: bows with a finding; those whose fault was found
//   - off: findings more than 4 points off the mean of the deviation inside them
//   - dug: bows with a hinge named in which the plan takes wood, of those with one
var realShopFigures = []string{"weight", "bend", "said", "unsolved", "blamed", "caught", "over", "bold",
	"finding", "found", "off", "dug"}

// A realRow is a row of the table.
type realRow struct {
	figures map[string]*realCount
	timid   []float64
	bound   faultBound // sum over bows
}

func newRealRow() *realRow {
	row := &realRow{figures: map[string]*realCount{}}
	for _, name := range realShopFigures {
		row.figures[name] = &realCount{}
	}
	return row
}

// realShopBows are those of a row.
func realShopBows() int { return series.Count(6, 60) }

// TestRealShop reads bows in shops that differ from what the estimate assumes, one difference at a time;
// -bows 60 -v prints the whole table.
func TestRealShop(t *testing.T) {
	rows := make([]*realRow, len(realShops))
	t.Run("rows", func(t *testing.T) {
		for k, shop := range realShops {
			rows[k] = newRealRow()
			t.Run(shop.name, func(t *testing.T) {
				t.Parallel()
				for i := range realShopBows() {
					rows[k].sit(t, shop.sit(t, k, i))
				}
			})
		}
	})
	t.Logf("%-22s %s  timid  known  anywhere", "", strings.Join(realShopFigures, "  "))
	for k, shop := range realShops {
		line := ""
		for _, name := range realShopFigures {
			line += fmt.Sprintf("%*s  ", len(name), rows[k].figures[name])
		}
		timid := "-"
		if len(rows[k].timid) > 0 {
			timid = fmt.Sprintf("%.2f", treetest.Quantile(rows[k].timid, 0.5))
		}
		n := float64(rows[k].figures["said"].all)
		best := rows[k].bound
		t.Logf("%-22s %s%5s  %5.2f  %8.2f", shop.name, line, timid, best.known/n, best.anywhere/n)
	}
	for _, want := range realShopHolds {
		known := false
		for k, shop := range realShops {
			if want.row == "" || want.row == shop.name {
				known = true
				rows[k].hold(t, shop.name, want.figure, want.least, want.most)
			}
		}
		if !known {
			t.Errorf("no row %q", want.row)
		}
	}
}

// hold fails the test where a share is not between two.
func (row *realRow) hold(t *testing.T, name, figure string, least, most float64) {
	got := *row.figures[figure]
	if figure == "bend" { // the stations of a limb are wrong together
		got = realCount{got.in / 7, got.all / 7}
	}
	if unlikely(got, least, most) {
		t.Errorf("%s: %s is %v of %d, want %v to %v", name, figure, got, got.all, least, most)
	}
}

// unlikely says whether a count would come of no share between two in more than one run of two hundred.
func unlikely(c realCount, least, most float64) bool {
	const rare = 0.005
	n, in := float64(c.all), float64(c.in)
	few := distuv.Binomial{N: n, P: least}.CDF(in)
	many := 1 - distuv.Binomial{N: n, P: most}.CDF(in-1)
	return c.all == 0 || few < rare || many < rare
}

// sit reads one bow and counts what the estimate says of it.
func (row *realRow) sit(t testing.TB, s *sitting) {
	f := row.figures
	pass := s.read(t)
	prior, err := s.known().Prior()
	check(t, err)
	st, err := prior.Fold(pass)
	unsolved := errors.Is(err, estimate.ErrUnsolved)
	if !unsolved {
		check(t, err)
	}
	f["said"].add(unsolved || badFit(st))
	f["unsolved"].add(unsolved)
	for _, w := range st.Wild() {
		if w.Where.Kind != estimate.Peak {
			continue
		}
		low := s.low > 0 && w.Where.Draw == s.longest
		f["caught"].in += btoi(low)
		f["blamed"].in += btoi(!low)
	}
	f["caught"].all++
	f["blamed"].all++

	row.stopLine(t, s, st)
	order := *s
	truth := order.now(t, s.bow.Draw)
	got := weight(t, st, s.bow.Draw)
	f["weight"].add(got.Low <= truth.Force() && truth.Force() <= got.High)
	at := [2][]float64{s.stations(model.Upper), s.stations(model.Lower)}
	bending, err := st.Bending(s.bow.Draw, estimate.Aim{}, at)
	check(t, err)
	for _, side := range model.Sides {
		for i, x := range at[side] {
			if bending[side].Compared[i] {
				bend, figure := truth.Bend(side, x), bending[side].Bend[i]
				f["bend"].add(figure.Low <= bend && bend <= figure.High)
			}
		}
	}
	row.findings(t, s, st, pass)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// stopLine counts what comes of the next pull.
func (row *realRow) stopLine(t testing.TB, s *sitting, st estimate.State) {
	stop, err := st.Stop(estimate.Limits{Weight: s.bow.Weight, Draw: s.bow.Draw})
	check(t, err)
	if stop.Draw > s.bow.Brace {
		next := *s
		c, _ := next.pull(t, stop.Draw)
		row.figures["over"].add(c.Force() > s.bow.Weight+1)
	}
	timid := s.stop(t) - stop.Draw
	row.figures["bold"].add(timid <= 1)
	row.timid = append(row.timid, timid)
}

// findings counts the findings, and those that are the bow's fault.
func (row *realRow) findings(t testing.TB, s *sitting, st estimate.State, pass estimate.Pass) {
	f := row.figures
	all := findings(t, st, s.bow.Draw)
	f["finding"].add(len(all) > 0)
	found := false
	for _, one := range all {
		overlap := min(one.To, s.from+s.over) - max(one.From, s.from)
		found = found || one.Side == s.faulty && one.Hinge == (s.fault < 0) && overlap >= 2
		var at []float64
		for x := one.From + 0.5; x < one.To; x++ {
			at = append(at, x)
		}
		both, err := st.Bending(s.bow.Draw, estimate.Aim{}, [2][]float64{at, at})
		check(t, err)
		mean := 0.0
		for _, d := range both[one.Side].Deviation {
			mean += d.Estimate / float64(len(at))
		}
		f["off"].add(math.Abs(mean-one.Deviation.Estimate) > 0.04)
	}
	if s.fault < 0 {
		row.plan(t, s, st, all)
	}
	if s.fault != 0 {
		f["found"].add(found)
		best := s.bound(t, pass)
		row.bound.known += best.known
		row.bound.anywhere += best.anywhere
	}
}
