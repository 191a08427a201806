package estimate_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/links"
)

// truly strings a bow on the string that it has, or at a brace height and then longer by some inches, and
// draws it.
func truly(t testing.TB, b *links.Bow, brace, longer, draw float64) *links.Chain {
	t.Helper()
	c := b.Chain(1, 0)
	check(t, c.Brace(brace))
	check(t, c.Restring(longer))
	check(t, c.Draw(draw))
	return c
}

// A what-if on bows of other equations, read to four fifths of their draw: its ranges hold what the true bow
// then does, at another draw, brace height, string or hook, thinned, set back and shortened. What the change
// does to the weight is foretold far closer.
func TestWhatIfHoldsTheTruth(t *testing.T) {
	t.Parallel()
	held := map[string]*tally{"bend": {}}
	squares := map[string][2]float64{} // sums: of the error of a change in weight, and of that change
	for i := range series.Count(8, 60) {
		s := realShop{name: "what if"}.sit(t, 40, i)
		st := fold(t, s.known(), s.read(t))
		b := s.bow
		before := b.Force(b.Draw)
		between := func(low, high float64) float64 { return links.Between(s.r, low, high) }
		holds := func(name string, c estimate.Change, made *links.Bow, brace, longer, draw float64) estimate.State {
			t.Helper()
			after, err := st.With(c)
			check(t, err)
			if held[name] == nil {
				held[name] = &tally{}
			}
			truth, got := truly(t, made, brace, longer, draw).Force(), weight(t, after, draw)
			held[name].holds(got, truth)
			was, change := weight(t, st, b.Draw).Estimate, truth-before
			miss := got.Estimate - was - change
			squares[name] = [2]float64{squares[name][0] + miss*miss, squares[name][1] + change*change}
			return after
		}
		at := []float64{6, 12, 18, 24}
		bends := func(after estimate.State, truth *links.Chain) {
			held["bend"].bends(t, after, b.Draw, [2][]float64{at, at}, truth)
		}
		holds("draw", estimate.Change{}, b, b.Brace, 0, b.Draw+between(-3, 1))
		brace := b.Brace + between(-1, 1)
		holds("brace", estimate.Change{Brace: brace}, b, brace, 0, b.Draw)
		longer := between(-0.4, 0.4)
		length := 2*truly(t, b, b.Brace, 0, b.Draw).Half + longer
		holds("string", estimate.Change{String: length}, b, b.Brace, longer, b.Draw)

		side := model.Sides[s.r.IntN(2)]
		from := between(4, 18)
		stretch := estimate.Stretch{Side: side, From: from, To: from + 6}
		thin := estimate.Thin{Stretch: stretch, Depth: 0.03, Width: 0.02}
		thinner := b.Clone()
		loss := s.known().Loss(thin.Depth) - math.Log1p(-thin.Width)
		check(t, thinner.Work(s.r, []links.Cut{{Side: side, From: from, To: from + 6, Loss: loss}}, 0))
		holds("thin", estimate.Change{Thin: []estimate.Thin{thin}}, thinner, thinner.Brace, 0, b.Draw)

		follow := between(-1, 1)
		bent := b.Clone()
		for side, l := range bent.Limbs {
			floats.AddConst(2*follow/(l.Length*l.Length), bent.Limbs[side].Rest)
		}
		longer = 2 * (truly(t, b, b.Brace, 0, b.Draw).Half - truly(t, bent, b.Brace, 0, b.Draw).Half)
		holds("follow", estimate.Change{Follow: follow}, bent, b.Brace, longer, b.Draw)

		hooked := b.Clone()
		hooked.Hook = between(-1, 1)
		after := holds("hook", estimate.Change{Hook: hooked.Hook}, hooked, b.Brace, 0, b.Draw)
		bends(after, truly(t, hooked, b.Brace, 0, b.Draw))

		short, off := b.Clone(), [2]float64{between(0.25, 1.5), between(0.25, 1.5)}
		short.Shorten(off)
		after = holds("shorten", estimate.Change{Shorten: off, Brace: brace}, short, brace, 0, b.Draw)
		bends(after, truly(t, short, brace, 0, b.Draw))
	}
	*held["bend"] = held["bend"].of(4)
	for name, c := range held {
		t.Logf("%-8s %v of %d", name, c, c.all)
		if c.unlikely(0.85, 1) {
			t.Errorf("%s: %v of the ranges hold, of %d", name, c, c.all)
		}
	}
	for name, sum := range squares {
		off := math.Sqrt(sum[0] / sum[1])
		t.Logf("%-8s changes the weight, and is off by %.2f of that", name, off)
		if off > 0.2 {
			t.Errorf("%s: the change of weight is off by %.2f of itself", name, off)
		}
	}
}

// A bow that is shortened between two passes is no contradiction, and its ranges hold what is true of the
// shorter one, from the first reading after the saw.
func TestAShortenedBowIsKnownOn(t *testing.T) {
	t.Parallel()
	var force, bend, said tally
	var before, later []float64
	for i := range series.Count(8, 60) {
		s := realShop{name: "shortened"}.sit(t, 41, i)
		st := fold(t, s.known(), s.read(t))
		eighths := func() float64 { return math.Round(8*links.Between(s.r, 0.5, 1.5)) / 8 }
		off := [2]float64{eighths(), eighths()}
		s.bow.Shorten(off)
		bare, err := st.Fold(estimate.Pass{Shorten: off})
		check(t, err)
		s.bow.Brace += links.Between(s.r, -0.5, 0.5)
		pass := s.read(t)
		pass.Shorten = off
		st, err = st.Fold(pass)
		check(t, err)
		said.add(!st.Fit().Good)
		truth, got, wide := s.now(t, s.bow.Draw), weight(t, st, s.bow.Draw), weight(t, bare, s.bow.Draw)
		force.holds(got, truth.Force())
		bend.bends(t, st, s.bow.Draw, s.stations(), truth)
		before, later = append(before, math.Log(wide.High/wide.Low)), append(later, math.Log(got.High/got.Low))
	}
	wide, narrow := stat.Mean(before, nil), stat.Mean(later, nil)
	t.Logf("weight %v, bend %v, said not to fit %v; ranges %.3f wide before it is read, %.3f after",
		force, bend, said, wide, narrow)
	if force.unlikely(0.85, 1) || bend.of(7).unlikely(0.85, 1) || said.unlikely(0, 0.05) || wide <= narrow {
		t.Error("the shortened bow isn't known")
	}
}
