package verdict_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// A random story (-rapid.checks 2000 makes 2,000) has one verdict that keeps to what it may say.
func TestAnyStoryHasOneVerdict(t *testing.T) {
	t.Parallel()
	hinged, sound := even(t, 1.2), even(t, 1.05)
	hinged.step(model.Lower, 10, 17, 0.7)
	rapid.Check(t, func(r *rapid.T) {
		w := rapid.SampledFrom([]*tree{sound, hinged}).Draw(r, "bow").fork(t)
		for range rapid.IntRange(0, 9).Draw(r, "entries") {
			w.tell(r)
		}
		a := w.says(verdict.Usual())
		checkVerdict(r, a, judge(a))
	})
}

// fork is another bow of the same stave, with errors of its own.
func (w *tree) fork(t testing.TB) *tree {
	f := *w
	f.t, f.items, f.r = t, nil, rand.New(rand.NewPCG(1, 2))
	for _, side := range model.Sides {
		limb := f.stave.Limb(side)
		limb.Stiffness, limb.RestBend = slices.Clone(limb.Stiffness), slices.Clone(limb.RestBend)
	}
	return &f
}

// tell adds something to a story: what may be, and what should not.
func (w *tree) tell(r *rapid.T) {
	draw := rapid.SampledFrom([]float64{8, 10, 14, 18, 20, 24, 28}).Draw(r, "draw")
	side := rapid.SampledFrom(model.Sides[:]).Draw(r, "side")
	switch rapid.IntRange(0, 15).Draw(r, "what") {
	case 0, 1, 2, 3:
		w.readEvery(rapid.SampledFrom([]float64{0, 4}).Draw(r, "block"), draw)
	case 4, 5:
		w.weigh(draw, rapid.SampledFrom([]float64{0, 0, 1.2, -8, 9}).Draw(r, "off"))
	case 6, 7:
		share := rapid.SampledFrom([]float64{0, 0.01, 0.06}).Draw(r, "share")
		w.add(model.Scrape{Limb: side, From: 4, To: 20, Tool: "scraper", DepthShare: measure.Some(share)})
	case 8, 9:
		w.add(model.Exercise{Pulls: 20})
	case 10:
		notes := []string{"crack at the grip", "sound", "", "grain runs out"}
		w.add(model.Note{Text: rapid.SampledFrom(notes).Draw(r, "note")})
	case 11:
		steps := []string{"roughed out", "horn nocks fitted", "filed", "sanded", "varnish", "strung", "handed over",
			"waxed"}
		w.add(model.Finish{Step: rapid.SampledFrom(steps).Draw(r, "step")})
	case 12:
		w.add(model.Rack{InHand: rapid.Bool().Draw(r, "in hand"), Why: "horn on order"})
	case 13:
		if n := len(w.items); n > 0 {
			w.add(model.Void{Entry: w.items[rapid.IntRange(0, n-1).Draw(r, "entry")].Entry.ID})
		}
	case 14:
		content := rapid.SampledFrom([]float64{0.09, 0.2}).Draw(r, "content")
		w.add(model.Moisture{Where: model.ShopAir, Content: measure.Some(content)})
	default:
		w.follows(rapid.SampledFrom([]float64{0, 0, 0.4}).Draw(r, "set"))
		w.later += 8 * time.Hour
	}
}

// checkVerdict holds a verdict to what any may say.
func checkVerdict(t rapid.TB, a verdict.Advice, v verdict.Verdict) {
	t.Helper()
	ten := []verdict.Do{verdict.Tell, verdict.Check, verdict.Draw, verdict.DrawAgain, verdict.Scrape,
		verdict.Exercise, verdict.Measure, verdict.Finish, verdict.Stop, verdict.None}
	if !slices.Contains(ten, v.Do) || v.Word == "" || v.Rule == "" || v.Say == "" ||
		!strings.HasSuffix(v.Say, ".") && !(v.Do == verdict.Tell && strings.HasSuffix(v.Say, "?")) {
		t.Errorf("%+v", v)
	}
	next, line := a.Next.Get()
	draws := v.Do == verdict.Draw || v.Do == verdict.DrawAgain
	to, known := v.Draw.Get()
	if draws != known || draws && (to > v.Most || line && to > next.Draw+1.0/8) {
		t.Errorf("%+v, with the stop line %+v", v, next.Draw)
	}
	if v.Do == verdict.Draw {
		checkMayDraw(t, a, v)
	}
	if a.Story().HandedOver() && v.Do != verdict.None {
		t.Errorf("handed over, but %+v", v)
	}
	var doc struct {
		Next_pull *struct{ Draw float64 }
	}
	written(t, a, v, &doc)
	if doc.Next_pull != nil && doc.Next_pull.Draw > v.Most+1e-6 {
		t.Errorf("the document draws to %v, %+v", doc.Next_pull.Draw, v)
	}
}

// checkMayDraw holds a longer draw to a bow without a sure hinge, and without a wild reading that was not read again.
func checkMayDraw(t rapid.TB, a verdict.Advice, v verdict.Verdict) {
	t.Helper()
	for _, f := range a.Findings {
		if f.Hinge && f.Deviation.Estimate >= 0.15 && f.Chance >= 0.9 {
			t.Errorf("%+v, with %s", v, f.Says)
		}
	}
	pass := a.Story().Pass()
	for _, wild := range a.Wild {
		read := len(pass.Braced)
		if wild.Where.Draw > 0 {
			read = 0
			for _, pull := range pass.Pulls {
				if session.SameDraw(pull.Draw, measure.Length(wild.Where.Draw)) {
					read++
				}
			}
		}
		if read < 2 && wild.Where.Kind != estimate.Relaxed && wild.Where.Kind != estimate.String {
			t.Errorf("%+v, with %s", v, a.SayWild(wild))
		}
	}
	if to := v.Draw.Or(0); math.IsNaN(to) || to <= 0 || to > float64(a.Bow.DrawToBelly().Or(0)) {
		t.Errorf("%+v", v)
	}
}

// BenchmarkJudge is the verdict on a bow of forty passes, beyond its estimate.
func BenchmarkJudge(b *testing.B) {
	a := forty(b).says(verdict.Usual())
	for b.Loop() {
		judge(a)
	}
}
