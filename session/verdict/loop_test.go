package verdict_test

import (
	"flag"
	"math"
	"slices"
	"strconv"
	"sync"
	"testing"

	"bendbook/model"
	"bendbook/model/links"
	"bendbook/model/measure"
	"bendbook/model/virtualtest"
	"bendbook/session/verdict"
)

var (
	staves    = flag.Int("staves", 4, "staves of each kind that are tillered by the verdict alone")
	staveSeed = flag.Uint64("seed", 260911, "seed of the staves")
)

// A practice is how a bowyer of the closed loop works, and what his tree does.
type practice struct {
	name       string
	blocks     float64 // readings under a block on each limb in each pass
	sink       float64 // of the support at 40 lb, under the wall's line (in)
	hysteresis float64 // force come to by loading over that by unloading, less 1
}

// A loop is a stave that a bowyer tillers who does what the verdict says.
type loop struct {
	*tree
	practice
	wood   *links.Bow
	braced int // the pass in which it was last read braced
	most   float64
	looked int // judgements
	id     int
}

// newLoop hangs up a stave that is half again too heavy and rough by 13% in stiffness.
func newLoop(t testing.TB, p practice, seed uint64) *loop {
	w := newTree(t, seed)
	w.bow.Rule = 1.0 / 16
	l := &loop{tree: w, practice: p, wood: links.New(w.r, 0.13, 0.05), braced: -1}
	l.wood.Scale(1.5 * l.wood.Weight)
	w.stave = virtualtest.Stave{Draw: l.wood.Draw, Weight: l.wood.Weight}
	w.bow.Handle = measure.Length(l.wood.Handle)
	w.bow.Order = model.Order{Draw: measure.Some(measure.Length(l.wood.Draw)),
		Weight: measure.Some(measure.Force(l.wood.Weight - 2))}
	for s := range w.bow.Limbs {
		limb := &w.bow.Limbs[s]
		limb.Length, limb.Stations = measure.Length(l.wood.Limbs[s].Length), nil
		for at := measure.Length(4); at < limb.Length-1; at += 4 {
			limb.Stations = append(limb.Stations, at)
		}
	}
	return l
}

// ruled is a length as read with the rule.
func (l *loop) ruled(truth, sd float64) measure.Length {
	return measure.Length(math.Round(16*(truth+sd*l.r.NormFloat64())) / 16)
}

// row reads the line at all stations, from a wall below which the bow sank (in).
func (l *loop) row(slope [2][]float64, sunk float64) (all model.Readings) {
	for s := range all {
		for _, at := range l.bow.Limbs[s].Stations {
			_, y := l.wood.Limbs[s].Point(slope[s], float64(at))
			all[s] = append(all[s], measure.Some(l.ruled(y+sunk, 1.0/32)))
		}
	}
	return all
}

// brace reads the braced bow.
func (l *loop) brace() {
	c := l.wood.Chain(1, 0)
	must(l.t, c.Brace(l.wood.Brace))
	b := model.Braced{Height: measure.Some(l.ruled(l.wood.Brace, 1.0/16)), From: model.FromLine, Readings: l.row(c.Pose.Slope, 0)}
	if l.blocks > 0 {
		b.Block = &model.Block{Length: 6}
		for k := range int(l.blocks) {
			// Other places in each pass, between those of the one before.
			share := (float64(k) + 0.3 + 0.5*float64(l.story().Pass().Number%2)) / l.blocks
			at := measure.Length(math.Round(share * float64(l.bow.Limbs[model.Lower].Length-2)))
			b.Block.At = append(b.Block.At, max(at, 3))
		}
		for s := range b.Block.Gaps {
			for _, at := range b.Block.At {
				gap := l.wood.Limbs[s].Gap(c.Pose.Slope[s], float64(at), 6) + 0.004*l.r.NormFloat64()
				b.Block.Gaps[s] = append(b.Block.Gaps[s], measure.Some(measure.Length(gap)))
			}
		}
	}
	l.add(b)
	l.braced = l.story().Pass().Number
}

// read draws the bow as far as the bowyer sees it, and reads scale and line; in each pass the braced bow first.
func (l *loop) read(draw float64) {
	if l.braced != l.story().Pass().Number {
		l.brace()
	}
	c, sunk := l.wood.Chain(1, 0), 0.0
	must(l.t, c.Brace(l.wood.Brace))
	for range 5 {
		must(l.t, c.Draw(draw-sunk))
		sunk = l.sink * c.Force() / 40
	}
	l.most = max(l.most, c.Force()-l.wood.Weight)
	peak := c.Force()*(1+l.hysteresis*(float64(l.r.IntN(2))-0.5)) + 0.3*l.r.NormFloat64()
	l.add(model.Pull{Draw: measure.Length(draw), Peak: measure.Some(measure.Force(math.Round(10*peak) / 10)),
		From: model.FromLine, Readings: l.row(c.Pose.Slope, sunk)})
}

// scrape takes wood off, by a fifth more or less along the limb than is meant.
func (l *loop) scrape(removal []verdict.Removal) {
	var cuts []links.Cut
	for _, r := range removal {
		cuts = append(cuts, links.Cut{Side: r.Side, From: r.From, To: r.To, Loss: r.Loss})
		l.add(model.Scrape{Limb: r.Side, From: measure.Length(r.From), To: measure.Length(r.To), Tool: "scraper",
			DepthShare: measure.Some(r.DepthShare)})
	}
	must(l.t, l.wood.Work(l.r, cuts, 0.2))
}

// lightly takes a few strokes down both limbs.
func (l *loop) lightly() {
	var all []verdict.Removal
	for _, side := range model.Sides {
		r := verdict.Removal{DepthShare: 0.003}
		r.Side, r.To, r.Loss = side, l.wood.Limbs[side].Length, 0.0086
		all = append(all, r)
	}
	l.scrape(all)
}

// follow does what the verdict asks for and nothing else, from a first short pull on, until it asks for no
// more work at the tree. It returns the last verdict.
func (l *loop) follow() (v verdict.Verdict) {
	l.t.Helper()
	relaxed := l.wood.Chain(1, 0)
	l.add(model.Relaxed{Readings: l.row([2][]float64{relaxed.Limbs[0].Unstrung(), relaxed.Limbs[1].Unstrung()}, 0)})
	l.read(8)
	var a verdict.Advice
	for l.looked = range 120 {
		var err error
		a, err = a.Again(l.story(), verdict.Usual(), nil)
		must(l.t, err)
		v = judge(a)
		if testing.Verbose() && *trace {
			c := l.wood.Strung(l.wood.Draw)
			l.t.Logf("%d pass %d %s | %s | %s | wanted %.0f true %.1f tiller %+.2f uneven %.3f %.3f", l.id, l.story().Pass().Number, v.Rule, v.Say, v.Why,
				l.wood.Weight, c.Force(), l.wood.Tiller(8), l.wood.Uneven(0), l.wood.Uneven(1))
			if p, ok := a.Plan.Get(); ok {
				l.t.Logf("   now %+v tiller %+v", p.Now.Weight, p.Now.Tiller)
				if v.Do == verdict.Scrape {
					for _, c := range p.Cuts {
						l.t.Logf("      cut %v %.0f-%.0f %.3f", c.Side, c.From, c.To, c.Loss)
					}
					for _, c := range p.Way {
						l.t.Logf("      way %v %.0f-%.0f %.3f", c.Side, c.From, c.To, c.Loss)
					}
				}
			}
		}
		if !l.does(a, v) {
			break
		}
	}
	return v
}

var only = flag.Int("only", -1, "")

var trace = flag.Bool("trace", false, "log each verdict of the closed loop")

// does what a verdict asks for; done is false where that is no work at the tree.
func (l *loop) does(a verdict.Advice, v verdict.Verdict) (done bool) {
	l.t.Helper()
	longest := float64(l.story().LongestDraw())
	switch {
	case v.Do == verdict.Draw || v.Do == verdict.DrawAgain:
		to := v.Draw.Or(0)
		if next, ok := a.Next.Get(); !ok || to > v.Most || to > l.wood.Draw || to > max(next.Draw, longest) {
			l.t.Errorf("%+v, with the order at %v and the stop line at %v", v, l.wood.Draw, next.Draw)
		}
		l.read(math.Floor(to*8) / 8)
	case v.Do == verdict.Scrape && len(a.Removal) == 0:
		l.lightly()
	case v.Do == verdict.Scrape || v.Rule == "over weight":
		l.scrape(a.Removal)
		return len(a.Removal) > 0
	case v.Do == verdict.Exercise:
		l.add(model.Exercise{Pulls: 20})
	case v.Do == verdict.Measure || v.Do == verdict.Check:
		l.brace()
	default:
		return false
	}
	return true
}

// An outcome is how a stave came out.
type outcome struct {
	rule          string
	off, most     float64 // of the weight wanted, at the end and at the heaviest pull (lbf)
	passes        float64 // of scraping
	before, after [2]float64
	tiller        float64 // off the aim
}

// A bowyer who does what the verdict says, and nothing else, ends with a bow of the right weight that bends
// evenly, and that was never drawn past its order or its weight. The staves and their springs are not those
// that the estimate knows, and they are read with a rule in sixteenths.
func TestClosedLoop(t *testing.T) {
	for _, c := range []struct {
		practice
		right, uneven float64
	}{
		{practice{name: "rule alone"}, 0.97, 0.07},
		{practice{name: "three places under a block", blocks: 3}, 0.97, 0.05},
		{practice{name: "sinking tree, hysteresis", sink: 0.5, hysteresis: 0.03}, 0.9, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Logf("seed %d", *staveSeed)
			all := make([]outcome, *staves)
			var wait sync.WaitGroup
			turns := make(chan int)
			for range 2 {
				wait.Go(func() {
					for i := range turns {
						if *only >= 0 && i != *only {
							continue
						}
						l := newLoop(t, c.practice, *staveSeed+uint64(i))
						o := &all[i]
						l.id = i
						for s := range o.before {
							o.before[s] = l.wood.Uneven(model.Side(s))
						}
						o.rule = l.follow().Rule
						o.off, o.most = l.wood.Strung(l.wood.Draw).Force()-l.wood.Weight, l.most
						o.passes = float64(l.story().Pass().Number)
						for s := range o.after {
							o.after[s] = l.wood.Uneven(model.Side(s))
						}
						o.tiller = l.wood.Tiller(8) - 0.25
						t.Logf("stave %s: %q after %d judgements, %.0f passes, %+.2f lb off, heaviest %+.2f, uneven %.3f %.3f from %.3f %.3f, tiller %+.3f off",
							strconv.Itoa(i), o.rule, l.looked, o.passes, o.off, o.most, o.after[0], o.after[1], o.before[0], o.before[1], o.tiller)
					}
				})
			}
			for i := range all {
				turns <- i
			}
			close(turns)
			wait.Wait()
			count := func(is func(outcome) bool) float64 {
				n := 0
				for _, o := range all {
					if is(o) {
						n++
					}
				}
				return float64(n) / float64(len(all))
			}
			var passes, before, after, tiller []float64
			for _, o := range all {
				passes = append(passes, o.passes)
				before, after = append(before, o.before[:]...), append(after, o.after[:]...)
				tiller = append(tiller, math.Abs(o.tiller))
			}
			right := count(func(o outcome) bool { return o.off >= -0.5 && o.off <= 1 })
			done := count(func(o outcome) bool { return o.rule == "done" })
			q := virtualtest.Quantile
			t.Logf("%d staves: right weight %.3f, done %.3f, uneven %.3f (90%% %.3f) from %.3f, %.0f passes (90%% %.0f), tiller off %.3f (90%% %.3f), most over %.2f",
				len(all), right, done, q(after, 0.5), q(after, 0.9), q(before, 0.5), q(passes, 0.5), q(passes, 0.9), q(tiller, 0.5), q(tiller, 0.9),
				slices.MaxFunc(all, func(a, b outcome) int { return int(math.Copysign(1, a.most-b.most)) }).most)
		})
	}
}
