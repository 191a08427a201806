package verdict_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/plan"
	"bendbook/session/verdict"
)

// tillered is a stave that was tillered by what the advice said alone, through entries, until it was done.
func tillered(t testing.TB) *tree {
	t.Helper()
	one.Do(func() {
		w := newTree(t, 3)
		for range 12 {
			w.pullOn()
			w.read(w.along()...)
			a := w.says(verdict.Usual())
			if len(a.Removal) == 0 {
				ended = w
				return
			}
			w.scrape(a.Removal)
			w.add(model.Exercise{Pulls: 30})
		}
		ended = w
	})
	if ended == nil {
		t.Fatal("the stave could not be tillered")
	}
	copied := *ended
	copied.t, copied.items = t, slices.Clone(ended.items)
	return &copied
}

// pullOn goes on along the stop line by the scale alone, from a short pull on.
func (w *tree) pullOn() {
	w.t.Helper()
	draw := math.Ceil(w.stave.Brace) + 5
	for range 14 {
		next, ok := w.weigh(draw, 0).says(verdict.Usual()).Next.Get()
		if !ok || next.Draw <= draw+0.5 {
			return
		}
		draw = next.Draw
	}
}

var (
	one   sync.Once
	ended *tree
)

// A stave that is tillered by nothing but the advice, entry by entry, is done and truly has the weight and tiller
// wanted.
func TestABowTilleredByTheAdviceAlone(t *testing.T) {
	t.Parallel()
	w := tillered(t).drawOn()
	a := w.says(verdict.Usual())
	p, ok := a.Plan.Get()
	if !ok || p.Verdict != plan.Done || len(a.Removal) > 0 || !strings.HasPrefix(p.Says[0], "On its weight: ") {
		t.Fatalf("%d, %+v, it says %q", p.Verdict, a.Removal, p.Says)
	}
	// It was at its draw twice: by the scale alone, and to be read. Once is not enough.
	v := judge(a)
	short := *w
	short.items = w.items[:len(w.items)-1]
	once := judge(short.says(verdict.Usual()))
	if once.Rule == "done" || v.Rule != "done" || v.Do != verdict.Finish ||
		v.Say != "Make its string. Then shoot it in." {
		t.Errorf("at its draw once %+v, twice %+v", once, v)
	}
	off := w.weight() - w.stave.Weight
	tiller := w.stave.Tiller(8) - 0.25
	t.Logf("after %d passes it is %+.2f lb and %+.3f in off", a.Pass, off, tiller)
	if off < -0.5 || off > 1 || math.Abs(tiller) > 1.0/16 {
		t.Errorf("it is %+.2f lb and %+.3f in off", off, tiller)
	}
	var doc struct{ Done bool }
	if text := written(t, a, v, &doc); !doc.Done {
		t.Errorf("the document says %s", text)
	}
}

// The removal in the document is what the plan takes: fractions of stiffness that agree with those of the depth,
// outwards, on the stations and the places of the block between them.
func TestTheRemoval(t *testing.T) {
	a := newTree(t, 4).read(9, 12, 15, 18).says(verdict.Usual())
	var doc struct {
		Removal []struct {
			Limb                             string
			From, To, Stiffness, Depth_share float64
			Depth, Strokes                   *float64
		}
		Done bool
		Plan struct{ Verdict string }
	}
	text := written(t, a, judge(a), &doc)
	if len(doc.Removal) == 0 || doc.Done || doc.Plan.Verdict != "scrape" {
		t.Fatal(text)
	}
	for i, r := range doc.Removal {
		// A flat-backed D scraped on its belly follows the power 2.86 of its depth (testdata/reference/sections.json).
		if math.Abs(1-math.Pow(1-r.Depth_share, 2.86)-r.Stiffness) > 1e-6 || r.Depth != nil || r.Strokes != nil {
			t.Errorf("%+v", r)
		}
		before := doc.Removal[max(i-1, 0)]
		if r.From != 0 && math.Mod(r.From, 2) != 0 || i > 0 && before.Limb == r.Limb && before.To > r.From {
			t.Errorf("%+v after %+v", r, before)
		}
	}
}

// Depth is told where the limbs were measured, and strokes where besides the shop's own scrapings say what one
// takes off this wood.
func TestDepthAndStrokes(t *testing.T) {
	w := newTree(t, 4)
	w.bow.Wood = "Ash"
	sized(&w.bow, 0.8)
	w.read(9, 12, 15, 18)
	settings := verdict.Usual()
	tell := func() verdict.Removal {
		a := w.says(settings)
		if len(a.Removal) == 0 {
			t.Fatalf("nothing is taken: %+v", a.Plan)
		}
		return a.Removal[0]
	}
	r := tell()
	if depth, known := r.Depth.Get(); !known || math.Abs(depth-0.8*r.DepthShare) > 1e-9 || r.Strokes.Known() {
		t.Errorf("%+v", r)
	}
	stroke := plan.Stroke{Depth: estimate.Figure{Estimate: 0.003, Low: 0.0025, High: 0.0035}, Scatter: 0.2, Count: 9}
	settings.Strokes = verdict.Strokes{verdict.ToolOn("scraper", "ash"): stroke}
	r = tell()
	if n, known := r.Strokes.Get(); !known || n != int(math.Round(r.Depth.Or(0)/0.003)) {
		t.Errorf("%d strokes for %v in", n, r.Depth.Or(0))
	}
	if says := w.says(settings).SayRemoval(r); !strings.Contains(says, " (scraper)") || !strings.Contains(says, " stroke") {
		t.Errorf("it says %q", says)
	}
	w.bow.Wood = "elm"
	if r := tell(); r.Strokes.Known() {
		t.Errorf("strokes on another wood: %+v", r)
	}
	// Without strokes it counts in 1/64 in, and without depths in hundredths of the thickness.
	for _, want := range []string{"3/64 in", "3% of the thickness"} {
		a := w.says(settings)
		c, err := a.CutBy(r.Stretch, 3)
		if said := a.SayOff(a.RemovalOf(c)); err != nil || said != want {
			t.Errorf("three are %q, %v; want %q", said, err, want)
		}
		for side := range w.bow.Limbs {
			w.bow.Limbs[side].Depths = nil
		}
	}
}

// The weight wanted on the tree says of what it is made up, and where that comes from.
func TestWhatTheWeightWantedIsMadeUpOf(t *testing.T) {
	w := newTree(t, 4)
	w.bow.Order.Weight = pounds(40)
	w.read(9, 12, 15)
	settings := verdict.Usual()
	for _, c := range []struct {
		takes finish.Allowances
		says  string
	}{
		{finish.Allowances{}, "42 lb wanted on the tree = marked 40 + settling 1 + finishing 1 (common practice)."},
		{finish.Allowances{Settling: finish.Allowance{Mean: 0.02, Low: -0.005, High: 0.045, Count: 3},
			Sanding: finish.Allowance{Mean: 0.025}}, "41.8 lb wanted on the tree = marked 40 + settling 0.8 " +
			"(0.0 to 1.8 by 3 bows) + finishing 1 (common practice)."},
	} {
		if c.takes.Settling.Count > 0 {
			settings.Takes = c.takes
		}
		p, _ := w.says(settings).Plan.Get()
		if p.Wish != c.says || !slices.Contains(p.Says, p.Wish) {
			t.Errorf("it says %q, want %q", p.Says, c.says)
		}
	}
}

func (w *tree) weight() float64 { return w.stave.Force(w.stave.Draw) }

// A bow that was pulled too short to tell its weight is not scraped, and the advice names the pull that would
// tell.
func TestWhatWouldTellTheWeight(t *testing.T) {
	w := tillered(t)
	w.items = nil
	w.read(8, 10, 12)
	for _, c := range []struct {
		less    float64
		verdict plan.Verdict
	}{{-1.5, plan.Unsure}, {0, plan.Weak}} {
		w.order(w.weight() + c.less)
		a := w.says(verdict.Usual())
		p, _ := a.Plan.Get()
		v := judge(a)
		next, _ := a.Next.Get()
		if p.Verdict != c.verdict || len(a.Removal) > 0 || v.Do != verdict.Draw || v.Draw.Or(0) != next.Draw ||
			next.Draw <= 12 {
			t.Errorf("%v: verdict %d, weight %+v, stop line %v, %+v", c.less, p.Verdict, p.Now.Weight, next.Draw, v)
		}
	}
}

// Nothing more is taken before the bow is read again, and the plan of the last reading stays to go by.
func TestWoodOffAndNotReadYet(t *testing.T) {
	t.Parallel()
	w := newTree(t, 4).read(9, 12, 15, 18)
	before := w.says(verdict.Usual())
	p, _ := before.Plan.Get()
	w.scrape(before.Removal[:1])
	a := w.says(verdict.Usual())
	q, ok := a.Plan.Get()
	if same := slices.Equal(p.Cuts, q.Cuts); !ok || q.Halt == "" || len(a.Removal) > 0 || !same ||
		judge(a).Do == verdict.Finish || len(a.CameOff) > 0 {
		t.Fatalf("halt %q, %d removed, the same plan %v", q.Halt, len(a.Removal), same)
	}
	for j, s := range q.Stretches {
		if q.Logged[j] != (s == before.Removal[0].Stretch) {
			t.Errorf("%+v is logged: %v", s, q.Logged[j])
		}
	}
	// It is exercised before it is read, and read before it is scraped again.
	rule := func() string { return judge(w.says(verdict.Usual())).Rule }
	if got := rule(); got != "exercise" {
		t.Errorf("scraped, the verdict is %q", got)
	}
	longest := float64(w.story().LongestDraw())
	w.add(model.Exercise{Pulls: 20})
	if v := judge(w.says(verdict.Usual())); v.Rule != "look again" || v.Draw.Or(0) > longest {
		t.Errorf("exercised, the verdict is %+v", v)
	}
	// And what came off is told against what was planned.
	w.read(9, 12, 15, 18)
	a = w.says(verdict.Usual())
	if len(a.CameOff) != 1 {
		t.Fatalf("%+v came off", a.CameOff)
	}
	c := a.CameOff[0]
	if planned := c.Planned.Or(0); math.Abs(planned-before.Removal[0].Stiffness()) > 1e-6 ||
		c.Came.Low > planned || c.Came.High < planned/2 {
		t.Errorf("planned %v, came %+v", planned, c.Came)
	}
	if !regexp.MustCompile("planned .*logged .*came off ").MatchString(c.Says) {
		t.Errorf("it says %q", c.Says)
	}
	if got := rule(); got == "exercise" || got == "look again" {
		t.Errorf("exercised and read, the verdict is %q", got)
	}
	// Exercise before the last scrape says nothing of the wood under it, and reading doesn't stand for exercise.
	scraping := model.Scrape{Limb: model.Upper, From: 4, To: 8, Tool: "scraper"}
	w.add(scraping, model.Exercise{Pulls: 20}, scraping)
	w.read(12)
	if got := rule(); got != "exercise" {
		t.Errorf("scraped again after the exercise and read, the verdict is %q", got)
	}
}

// A sure hinge is what the verdict is about: nothing comes off it, and the bow is drawn no farther.
func TestHingesAreSpared(t *testing.T) {
	a := even(t, 1.3).step(model.Lower, 10, 17, 0.6).look(10, 14, 18, 20).says(verdict.Usual())
	v := judge(a)
	spared := 0
	for _, f := range a.Findings {
		if !f.Hinge || f.Deviation.Estimate < 0.15 || f.Chance < 0.9 {
			continue
		}
		off := 0.0
		for _, r := range a.Removal {
			if r.Side == f.Side {
				off += r.Loss * max(min(r.To, f.To)-max(r.From, f.From), 0) / (f.To - f.From)
			}
		}
		if off > 0.01 {
			t.Errorf("%s, but %.3f comes off there", f.Says, off)
		}
		if v.Rule == "weak" && strings.HasPrefix(v.Say, "Leave the "+f.Side.String()+" limb from ") &&
			!v.Draw.Known() {
			spared++
		}
	}
	if longest := float64(a.Story().LongestDraw()); spared == 0 || v.Most > longest {
		t.Errorf("of %+v the verdict is %+v", a.Findings, v)
	}
}

// What is tried agrees with what was planned: with its cuts the bow is as the plan says, and with none as it is.
func TestTryingThePlan(t *testing.T) {
	a := of(t, shop(t)["Ash for Wren"])
	p, _ := a.Plan.Get()
	for _, c := range []struct {
		cuts []plan.Cut
		want plan.Outcome
	}{{nil, p.Now}, {p.Cuts, p.After}} {
		o, err := p.Try(c.cuts)
		if err != nil || o.Weight != c.want.Weight || o.Tiller != c.want.Tiller {
			t.Errorf("%+v, %v; want %+v", o.Weight, err, c.want.Weight)
		}
		for _, side := range model.Sides {
			if u := o.Uneven[side]; !(u.Low < u.Estimate && u.Estimate < u.High) || len(o.Limbs[side].At) < 25 {
				t.Errorf("unevenness %+v", u)
			}
		}
	}
	for _, bad := range []float64{-0.01, 1e4, math.NaN()} {
		if _, err := a.CutBy(p.Stretches[0], bad); err == nil {
			t.Errorf("%v may come off", bad)
		}
	}
	// What is asked for is told, and no share of stiffness.
	c, err := a.CutBy(p.Stretches[0], 5)
	if said := a.SayOff(a.RemovalOf(c)); err != nil || said != "5/64 in" {
		t.Errorf("five are %q, %v", said, err)
	}
}
