package verdict_test

import (
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// onRope are a bow's entries as a scale shows them that hangs by a rig.
func (w *tree) onRope(rig model.Rig) *tree {
	f := w.fork(w.t)
	f.bow.Rig = rig
	for _, item := range w.items {
		if pull, isPull := item.Entry.What.(model.Pull); isPull {
			pull.Peak = measure.Some(rig.OnScale(pull.Peak.Or(0)))
			item.Entry.What = pull
		}
		f.add(item.Entry.What)
	}
	return f
}

// With a scale on the rope the advice is that with one at the hook; what to read next is given as it will show it.
func TestAScaleOnTheRopeSaysWhatTheBowWeighs(t *testing.T) {
	w := even(t, 1.25).look(10, 12, 14, 16)
	rope := w.onRope(model.Rig{ScaleAt: model.OnRope, High: 0.12, Tare: 0.4})
	a, b := w.says(verdict.Usual()), rope.says(verdict.Usual())
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s is %v, at the hook %v", what, got, want)
		}
	}
	near("the weight", b.Weight.Or(estimate.Forecast{}).Force.High, a.Weight.Or(estimate.Forecast{}).Force.High)
	hook, _ := a.Next.Get()
	scale, _ := b.Next.Get()
	near("the stop line", scale.Draw, hook.Draw)
	near("its force", scale.Force.Estimate, hook.Force.Estimate)
	v := judge(b)
	shown := b.Bow.Weigher().WithUnit(measure.Force(hook.Force.Estimate*1.12 + 0.4))
	if v.Do != verdict.Draw || !strings.Contains(v.Why, "Expect "+shown) || !strings.Contains(v.Why, "on the scale") ||
		!strings.Contains(v.Why, "let down at 47.4 lb on the scale, 42 lb at the hook") {
		t.Errorf("it says %+v, want %s", v, shown)
	}
	if line := b.SayStop(v); !strings.Contains(line, shown) || !strings.Contains(line, "let down at 47.4 lb") {
		t.Errorf("the stop line is told as %q", line)
	}
	if says := judge(a); strings.Contains(says.Why+a.SayStop(says), "scale") {
		t.Errorf("of a scale at the hook it says %+v", says)
	}
}

// Where nobody weighed both ways the ranges are wider, no stop line goes past the weight though the scale reads 6 %
// high and not 10, and the reading that would settle it is asked for. Once the gain is known, what was read
// before counts by it too.
func TestAGainThatIsLearntLaterCountsForWhatWasRead(t *testing.T) {
	known := even(t, 1.3).look(10, 14, 18, 21)
	rope := known.onRope(model.Rig{ScaleAt: model.OnRope, High: 0.06})
	guess := rope.fork(t)
	guess.bow.Rig.High = 0
	for _, item := range rope.items {
		guess.add(item.Entry.What)
	}
	a, b := rope.says(verdict.Usual()), guess.says(verdict.Usual())
	sure, wide := a.Weight.Or(estimate.Forecast{}).Force, b.Weight.Or(estimate.Forecast{}).Force
	if !(wide.High/wide.Low > 1.03*sure.High/sure.Low) {
		t.Errorf("guessed: %+v, known: %+v", wide, sure)
	}
	next, _ := b.Next.Get()
	if truth := guess.stave.Force(next.Draw); next.Because == "" || truth > 42 {
		t.Errorf("at the stop line of %v in it weighs %v lb, wanted 42", next.Draw, truth)
	}
	if truth := guess.stave.Force(28); truth < wide.Low || truth > wide.High {
		t.Errorf("%v lb is outside %+v", truth, wide)
	}
	if !strings.Contains(strings.Join(b.Cautions, " "), "Type both readings") {
		t.Errorf("it doesn't ask for the reading that tells: %q", b.Cautions)
	}
	before := guess.story()
	guess.edit(func(bow *model.Bow) { bow.Rig.High = 0.06 })
	after := before.With(guess.items[len(guess.items)-1])
	peak := func(s session.Story) float64 { return float64(s.Pass().Peak(21, s.Pass().PulledOn()).Or(0)) }
	if got, want := peak(after), peak(known.story()); math.Abs(got-want) > 1e-9 {
		t.Errorf("the peak counts as %v lb, at the hook it was %v", got, want)
	}
	if got := after.SayEntry(after.Lines[len(after.Lines)-2]); !strings.Contains(got, "lb on the scale") {
		t.Errorf("what was typed is told as %q", got)
	}
}

// Where the support sinks by half an inch at 40 lb, the line is read too far out and the draws are shorter than
// they look. The verdict says that the readings fit no bow well; of the same bow on a tree that holds it doesn't.
func TestATreeThatGivesIsSaid(t *testing.T) {
	for _, sinks := range []float64{0, 0.5 / 40} {
		w := newTree(t, 4)
		p := w.plan(10, 13, 16, 19, 22)
		p.BraceHeight = true
		hang := w.stave.Read(w.r, p).Hangs[0]
		w.add(model.Braced{Height: inches(hang.Brace)})
		for i := range hang.Pulls {
			pull := &hang.Pulls[i]
			sunk := sinks * pull.Peak
			pull.Draw += sunk
			for k := range pull.Line {
				pull.Line[k].Value += sunk
			}
		}
		w.pull(hang)
		a := w.says(verdict.Usual())
		v := judge(a)
		said := strings.Contains(v.Why+strings.Join(a.Cautions, " "), "fit one bow well")
		if said != (sinks > 0) {
			t.Errorf("with a tree that sinks %v in per lb it says %q %q, %q", sinks, v.Say, v.Why, a.Cautions)
		}
	}
}
