package plan_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
	"bendbook/model/treetest"
)

// known is the estimate of a stave that was read as well as may be.
func known(t testing.TB, k int, heavy float64) (treetest.Stave, estimate.State) {
	t.Helper()
	return knownBy(t, k, heavy, false)
}

// knownBy is that, read by the rule or off photographs.
func knownBy(t testing.TB, k int, heavy float64, photo bool) (treetest.Stave, estimate.State) {
	t.Helper()
	r := series.Rand(t, 7, k)
	rough := planed(r)
	rough.Heavy, rough.Width, rough.Rest, rough.Follow = heavy, 4, 1e-5, 1e-5
	stave := treetest.New(r, rough)
	p := gauged().read
	p.Gauge, p.Rule = 0.0003, 1.0/32
	p.Draws = []float64{9, 11, 13, 15, 17, 19, 21, stave.Draw - 2, stave.Draw}
	p.LineDraws = p.Draws
	if photo {
		r, p.Rule = nil, 1.0/1000
	}
	pass := stave.Read(r, p)
	for _, pull := range pass.Hangs[0].Pulls {
		for i := range pull.Line {
			pull.Line[i].Photo = photo
		}
	}
	return stave, folded(t, stave.Estimated(p), pass)
}

func marks(s *treetest.Stave, every float64) [2][]float64 {
	at := sitting{stave: s, way: way{marks: every}}
	return at.marks()
}

// made is the plan for a stave with marks so far apart (in).
func made(t testing.TB, s *treetest.Stave, st estimate.State, every float64, found ...estimate.Finding) plan.Plan {
	t.Helper()
	p, err := plan.Make(st, wanted(s), marks(s, every), found)
	check(t, err)
	return p
}

// TestTheWholeWayLeadsThere takes all that is left to take off a stave whose stiffness is known, by the
// forward model on its finer grid: weight and tiller are then as wanted, and it bends evenly.
func TestTheWholeWayLeadsThere(t *testing.T) {
	t.Parallel()
	for k := range 6 {
		stave, st := known(t, k, 1.4)
		p := made(t, &stave, st, 2)
		before := [2]float64{stave.Uneven(model.Upper), stave.Uneven(model.Lower)}
		var all []treetest.Scraping
		for _, c := range p.Way {
			all = append(all, treetest.Scraping{Side: c.Side, From: c.From, To: c.To, Loss: c.Loss})
		}
		stave.Work(series.Rand(t, 8, k), all, 0)
		// The plan leaves what wear takes, and makes for the middle of what is right.
		middle := stave.Weight + 0.25
		force := stave.Force(stave.Draw) * math.Exp(-p.Wear.Mean)
		if math.Abs(force/middle-1) > 0.01 {
			t.Errorf("stave %d weighs %.2f lb, wanted %.2f", k, force, middle)
		}
		if tiller := stave.Tiller(8); math.Abs(tiller-0.25) > 1.0/16 {
			t.Errorf("stave %d has a tiller of %.3f in", k, tiller)
		}
		for _, side := range model.Sides {
			if u := stave.Uneven(side); u > 0.05 || u > before[side] {
				t.Errorf("stave %d, %v limb: uneven by %.3f, before %.3f", k, side, u, before[side])
			}
		}
	}
}

// TestAPlanOnlyTakes holds plans to what no plan may do. Half of each deepest cut at least comes off its
// neighbours, but for the last of a limb.
func TestAPlanOnlyTakes(t *testing.T) {
	t.Parallel()
	deepest := 0
	for k := range 12 {
		stave, st := knownBy(t, k, []float64{0.9, 1, 1.03, 1.1, 1.3, 1.6}[k%6], k%4 == 0)
		every := []float64{2, 4, 5, 4}[k%4]
		p := made(t, &stave, st, every)
		long := 0.0 // of cuts that hang together
		for i, c := range p.Cuts {
			if most := -2.86 * math.Log(1-0.05); !(c.Loss > 0) || c.Loss > most+1e-4 {
				t.Errorf("stave %d takes %v, more than a twentieth of the depth", k, c.Loss)
			}
			joined := i+1 < len(p.Cuts) && p.Cuts[i+1].Side == c.Side && p.Cuts[i+1].From == c.To
			if long += c.To - c.From; !joined {
				if long < 3.9 {
					t.Errorf("stave %d takes %v in up to %v", k, long, c.To)
				}
				long = 0
			}
			if limit := 0.9*stave.Limb(c.Side).Length + every; c.From < 0 || c.To > limit {
				t.Errorf("stave %d takes from %v to %v", k, c.From, c.To)
			}
			if i > 0 && p.Cuts[i-1].Side == c.Side && p.Cuts[i-1].To > c.From {
				t.Errorf("stave %d: cuts overlap: %+v", k, p.Cuts)
			}
		}
		if len(p.Cuts) > 0 && p.After.ChanceUnder > 0.05 {
			t.Errorf("stave %d: a chance of %.3f of too little weight", k, p.After.ChanceUnder)
		}
		if p.Now.Weight.Estimate < p.Wanted.Least() && (len(p.Cuts) > 0 || p.Judge(nil) != plan.Weak) {
			t.Errorf("stave %d has %.1f lb of %.1f, verdict %v, cuts %+v", k, p.Now.Weight.Estimate, p.Wanted.Weight,
				p.Judge(nil), p.Cuts)
		}
		deepest += fadesOut(t, p)
	}
	if deepest < 12 {
		t.Errorf("%d deepest cuts were looked at", deepest)
	}
}

// fadesOut holds the deepest cuts of a plan to their neighbours, and counts them.
func fadesOut(t *testing.T, p plan.Plan) (deepest int) {
	t.Helper()
	for j, s := range p.Stretches {
		c, in, out := lossAt(p, j, s.Side), lossAt(p, j-1, s.Side), lossAt(p, j+1, s.Side)
		last := j+2 >= len(p.Stretches) || p.Stretches[j+2].Side != s.Side
		if c < 0.01 || c < in || c < out {
			continue
		}
		deepest++
		if j > 0 && p.Stretches[j-1].Side == s.Side && in < c/2-1e-9 || !last && out < c/2-1e-9 {
			t.Errorf("%.3f comes off %+v and %.3f and %.3f beside it", c, s, in, out)
		}
	}
	return deepest
}

// lossAt is what a plan takes off one of its stretches, 0 where that is none of a limb.
func lossAt(p plan.Plan, j int, side model.Side) float64 {
	if j < 0 || j >= len(p.Stretches) || p.Stretches[j].Side != side {
		return 0
	}
	for _, c := range p.Cuts {
		if c.Stretch == p.Stretches[j] {
			return c.Loss
		}
	}
	return 0
}

// TestNothingComesOffAHingeThatIsNamed has staves with a place that is too weak: where it is found, nothing
// is taken there, and the rest comes down to it.
func TestNothingComesOffAHingeThatIsNamed(t *testing.T) {
	t.Parallel()
	named, cut := 0, 0
	for k := range series.Count(10, 200) {
		r := series.Rand(t, 12, k)
		stave := treetest.New(r, treetest.Rough{Rest: 0.0002, Heavy: 1})
		stave.Even(func(u float64) float64 { return min(1, 5*(1-u)) })
		for _, side := range model.Sides {
			stave.Step(side, 0, 99, 1.1+0.2*r.Float64())
		}
		from := 4 + 16*r.Float64()
		stave.Step(model.Upper, from, from+5, 0.72)
		p := gauged().read
		p.Draws = []float64{9, 13, 17, 20}
		p.LineDraws = p.Draws
		st := folded(t, stave.Estimated(p), stave.Read(r, p))
		found, err := st.Findings(stave.Draw, estimate.Aim{})
		check(t, err)
		next := made(t, &stave, st, 4, found...)
		for _, f := range found {
			if !f.Hinge {
				continue
			}
			named++
			for _, c := range next.Cuts {
				if c.Side == f.Side && c.From < f.To && f.From < c.To {
					t.Errorf("stave %d takes %.3f off %v to %v, with a hinge from %v to %v", k, c.Loss, c.From, c.To,
						f.From, f.To)
				}
			}
			if len(next.Cuts) > 0 {
				cut++
			}
		}
	}
	t.Logf("%d hinges are named, and %d times the rest comes down to them", named, cut)
	if named < series.Count(10, 200)/2 || 2*cut < named {
		t.Errorf("%d hinges are named, and %d times the rest comes down to them", named, cut)
	}
}

// TestAPlanFollowsTheEvidence has staves read with rule and scale alone: near its weight a plan promises
// more than is unsure, or nothing; tiller moves wood there from its own tolerance on; and beside tips that
// are left out nothing is taken that is less than what is unsure of the bend there.
func TestAPlanFollowsTheEvidence(t *testing.T) {
	t.Parallel()
	near, turned, tips := 0, 0, 0
	for k := range series.Count(24, 200) {
		r := series.Rand(t, 13, k)
		rough := planed(r)
		rough.Stiffness, rough.Heavy = 0.04, []float64{1.01, 1.03, 1.05, 1.3}[k%4]
		stave := ordered(r, func(*rand.Rand) treetest.Rough { return rough })
		p := notebook().read
		p.Draws = []float64{stave.Draw - 9, stave.Draw - 4, stave.Draw}
		p.LineDraws = p.Draws
		st := folded(t, stave.Estimated(p), stave.Read(r, p))
		w := wanted(&stave)
		tiller, err := st.Tiller(w.TillerAt)
		check(t, err)
		make := func(off, stiff float64) plan.Plan {
			w.Tiller, w.Aim.StiffTips = tiller[0].Estimate+off, stiff
			made, err := plan.Make(st, w, marks(&stave, 4), nil)
			check(t, err)
			return made
		}
		if made := make(0.06, 0); made.Now.Weight.Estimate < 1.05*w.Weight {
			near++
			now := made.Now.Weight
			gain, unsure := now.Estimate-made.After.Weight.Estimate, (now.High-now.Low)/2/1.645
			if len(made.Cuts) > 0 && gain < 0.99*unsure {
				t.Errorf("stave %d: %d cuts promise %.2f lb, and %.2f lb are unsure", k, len(made.Cuts), gain, unsure)
			}
			if len(made.Cuts) == 0 && len(make(0.07, 0).Cuts) > 0 {
				turned++
			}
		}
		made := make(0, 8)
		for i, c := range made.Cuts {
			if i+1 < len(made.Cuts) && made.Cuts[i+1].Side == c.Side {
				continue
			}
			j := slices.Index(made.Stretches, c.Stretch)
			if j+1 < len(made.Stretches) && made.Stretches[j+1].Side == c.Side {
				continue
			}
			tips++
			at := (c.From + c.To) / 2
			both, err := st.Bending(w.Draw, w.Aim, [2][]float64{{at}, {at}})
			check(t, err)
			bend := both[c.Side].Bend[0]
			if unsure := math.Log(bend.High/bend.Low) / 2 / 1.645; c.Loss < 0.3*unsure {
				t.Errorf("stave %d: %.3f off beside the tip, where %.3f is unsure", k, c.Loss, unsure)
			}
		}
	}
	t.Logf("%d staves are near their weight, %d of them scraped for tiller alone; %d cuts beside tips", near, turned, tips)
	if near < series.Count(24, 200)/4 || turned == 0 || tips == 0 {
		t.Error("too few to tell")
	}
}

// TestWantsWithoutSense are refused.
func TestWantsWithoutSense(t *testing.T) {
	stave, st := known(t, 0, 1.2)
	for name, change := range map[string]func(*plan.Wanted){
		"no draw":    func(w *plan.Wanted) { w.Draw = 0 },
		"weight NaN": func(w *plan.Wanted) { w.Weight = math.NaN() },
		"under":      func(w *plan.Wanted) { w.Under = -1 },
		"tiller":     func(w *plan.Wanted) { w.Tiller = math.Inf(1) },
	} {
		w := wanted(&stave)
		change(&w)
		if _, err := plan.Make(st, w, marks(&stave, 4), nil); !errors.Is(err, estimate.ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if p, err := plan.Make(st, wanted(&stave), [2][]float64{}, nil); err != nil || len(p.Stretches) != 2 {
		t.Errorf("without marks: %d stretches, %v", len(p.Stretches), err)
	}
}
