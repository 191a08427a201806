package verdict_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// A flat is a stiff place of an even bow, scraped away in three passes up to the one by which it is gone.
type flat struct {
	side     model.Side
	from, to float64
	gone     int
}

// flatBow is a bow of so many passes with a flat.
func flatBow(t *testing.T, seed uint64, passes int, f flat) *tree {
	w := newTree(t, seed)
	var compass aim.Aim
	w.stave.Even(compass.Bend)
	w.stave.Step(f.side, f.from, f.to, 1.4)
	w.read(9, 14)
	for n := 1; n <= passes; n++ {
		for _, side := range model.Sides {
			w.down(side, 0, w.stave.Limb(side).Length, 0.01, 3)
		}
		if n > f.gone-3 && n <= f.gone {
			w.down(f.side, f.from, f.to, 1-math.Pow(1.4, -1.0/3), 10)
		}
		w.read(9, 14)
	}
	return w
}

// down takes a share of the stiffness off a stretch, and logs strokes.
func (w *tree) down(side model.Side, from, to, share float64, strokes int) {
	w.t.Helper()
	w.stave.Scrape(side, from, to, share)
	w.add(model.Scrape{Limb: side, From: measure.Length(from), To: measure.Length(to), Tool: "scraper",
		Strokes: measure.Some(strokes), DepthShare: measure.Some(1 - math.Pow(1-share, 1/2.86))})
}

// Of ten bows with a flat that goes at a known pass the line of words tells limb, place and pass.
func TestTheHistoryTellsWhereAndWhenAFlatWent(t *testing.T) {
	said := regexp.MustCompile(`^Flat at (\d+)–(\d+) in on the (upper|lower) limb from pass 0 to pass \d+; even since pass ` +
		`(\d+) \([^)]+\)\. (\d+) strokes there\.$`)
	for i := range 10 {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(uint64(i), 20))
			passes := 6 + 34*i/9
			from := float64(5 + r.IntN(14))
			f := flat{model.Sides[i%2], from, from + 6, 3 + r.IntN(passes-4)}
			a := flatBow(t, uint64(i+1), passes, f).says(verdict.Usual())
			says := a.SayHistory(date.DayFirst)[0]
			words := said.FindStringSubmatch(says)
			if words == nil {
				t.Fatalf("%+v: it says %q", f, says)
			}
			number := func(k int) float64 {
				v, err := strconv.ParseFloat(words[k], 64)
				must(t, err)
				return v
			}
			if words[3] != f.side.String() || math.Abs(number(1)-f.from) > 2 || math.Abs(number(2)-f.to) > 2 ||
				math.Abs(number(4)-float64(f.gone)) > 2 || number(5) != 30 {
				t.Errorf("%+v of %d passes: it says %q", f, passes, says)
			}
		})
	}
}

// No place beyond the outermost reading, or out of the comparison, is shown as known, and none before the first.
func TestStripsShowNothingThatWasNotRead(t *testing.T) {
	t.Parallel()
	w := newTree(t, 6)
	w.add(model.Pull{Draw: 9, Peak: pounds(w.stave.Force(9)), From: model.FromLine})
	if s := w.says(verdict.Usual()).Strips[0]; s.Tells() || !s.Weight.Known() {
		t.Errorf("a peak alone tells %+v", s)
	}
	stations := len(w.bow.Limbs[0].Stations)
	for outermost := 2; outermost <= stations; outermost++ {
		w := newTree(t, 6)
		for side := range w.bow.Limbs {
			w.bow.Limbs[side].Stations = w.bow.Limbs[side].Stations[:outermost]
		}
		for range 3 {
			w.pull(w.stave.Read(w.r, w.plan(9, 13)).Hangs[0])
		}
		a := w.says(verdict.Usual())
		for side, c := range a.Strips[0].Limbs {
			last := float64(w.bow.Limbs[side].Stations[outermost-1])
			for i, at := range c.At {
				if c.Known[i] && (at > last || at > a.Aim.ComparedTo(float64(w.bow.Limbs[side].Length))) {
					t.Errorf("read out to %v in, %v in on the %v limb is known", last, at, model.Side(side))
				}
			}
		}
	}
}
