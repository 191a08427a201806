package estimate_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// A long string is hung first and pulled a little; then the bow is braced. Both describe one bow.
func TestLongStringAndBracedBowTellOfOneBow(t *testing.T) {
	for i := range 5 {
		r := series.Rand(t, 80, i)
		stave := treetest.New(r, treetest.Staves(r))
		plan := lines16(stave.Draw)
		pass := stave.Read(r, plan)
		long := onLong(t, &stave, stave.Bow.Upper.Length+stave.Bow.Lower.Length+stave.Bow.Handle+1, 10, 13)
		for k := range long.Pulls {
			long.Pulls[k].Line = nil
			long.Pulls[k].Peak += 0.3 * r.NormFloat64()
		}
		pass.Hangs = append([]estimate.Hang{long}, pass.Hangs...)
		st := fold(t, stave.Estimated(plan), pass)
		f, truth := weight(t, st, stave.Draw), stave.Force(stave.Draw)
		if math.Abs(f.Estimate/truth-1) > 0.04 || len(st.Wild()) > 0 {
			t.Errorf("bow %d: %+v, truly %v; %+v", i, f, truth, st.Wild())
		}
	}
}

// stiffness is that of both limbs at places.
func stiffness(t *testing.T, st estimate.State, at []float64) [2][]estimate.Figure {
	t.Helper()
	both, err := st.Bending(20, estimate.Aim{}, [2][]float64{at, at})
	check(t, err)
	return [2][]estimate.Figure{both[model.Upper].Stiffness, both[model.Lower].Stiffness}
}

// logError is the standard deviation of a stiffness's logarithm.
func logError(f estimate.Figure) float64 {
	return (f.High - f.Low) / 2 / estimate.BandWidth / f.Estimate
}

// Scraping lowers stiffness where wood came off and nowhere else, and makes it less sure there.
func TestScrapingLowersAndWidens(t *testing.T) {
	_, st := someStave(t, 81, 0, lines16)
	at := []float64{2, 5, 13.5, 14.5, 24, 28}
	before := stiffness(t, st, at)[model.Lower]
	after, err := st.Fold(estimate.Pass{Scrapes: []estimate.Scrape{{Side: model.Lower, From: 10, To: 18,
		Share: 0.03}}})
	check(t, err)
	now := stiffness(t, after, at)
	for i, at := range at {
		was, is := before[i], now[model.Lower][i]
		change := math.Log(is.Estimate / was.Estimate)
		if within := at > 13 && at < 15; within && (change > -0.07 || change < -0.1) ||
			within && logError(is) <= logError(was)+0.001 || !within && math.Abs(change) > 1e-9 {
			t.Errorf("at %v: changed by %v, sure to %v after %v", at, change, logError(is), logError(was))
		}
	}
	if math.Abs(now[model.Upper][2].Estimate/stiffness(t, st, at)[model.Upper][2].Estimate-1) > 1e-9 {
		t.Error("the other limb changed")
	}
}

// Widths and depths give the stiffness to within the wood's error before any reading.
func TestSizesGiveThePrior(t *testing.T) {
	bow := estimate.Bow{Handle: 4, Modulus: 1.5e6,
		Errors: estimate.UsualErrors(1.0/16, 0.1, false)}
	for side := range bow.Limbs {
		bow.Limbs[side] = estimate.Limb{Length: 34, Sizes: []estimate.Size{{At: 0, Width: 1.2, Depth: 1.1},
			{At: 17, Width: 1.1, Depth: 0.9}, {At: 34, Width: 0.6, Depth: 0.6}}}
	}
	k := stiffness(t, fold(t, bow), []float64{0, 7, 18, 34})[model.Upper]
	if e := logError(k[1]); e < 0.14 || e > 0.2 || !(k[0].Estimate > k[2].Estimate &&
		k[2].Estimate > k[3].Estimate) {
		t.Errorf("%+v", k)
	}
}

func TestWhatHasNoSenseIsRefused(t *testing.T) {
	good := estimate.Bow{Handle: 4, Limbs: [2]estimate.Limb{{Length: 34}, {Length: 33}},
		Errors: estimate.UsualErrors(0, 0, false)}
	for name, change := range map[string]func(*estimate.Bow){
		"handle": func(b *estimate.Bow) { b.Handle = math.NaN() },
		"limb":   func(b *estimate.Bow) { b.Limbs[1].Length = 0 },
		"error":  func(b *estimate.Bow) { b.Errors.Line = 0 },
		"tilt":   func(b *estimate.Bow) { b.Errors.Tilt = -1 },
	} {
		b := good
		change(&b)
		if _, err := b.Prior(); !errors.Is(err, estimate.ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	prior := fold(t, good)
	for name, pass := range map[string]estimate.Pass{
		"station":     {Relaxed: []estimate.Reading{{At: 40}}},
		"long string": {Hangs: []estimate.Hang{{Long: true, Length: -1}}},
		"not finite":  {Hangs: []estimate.Hang{{Pulls: []estimate.Pull{{Draw: 12, Peak: math.Inf(1)}}}}},
	} {
		if _, err := prior.Fold(pass); !errors.Is(err, estimate.ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Odd bows, such as a description half typed, give answers or errors and never a panic.
func TestOddBowsNeverPanic(t *testing.T) {
	t.Parallel()
	wild := []estimate.Pull{{Draw: 12, Peak: 20, Line: []estimate.Reading{{At: 0.1, Value: 3}}},
		{Draw: 1, Peak: 2}}
	for _, lengths := range [][2]float64{{0.3, 0.3}, {2, 2}, {6, 5}, {12, 40}, {34, 33}, {120, 120}} {
		bow := estimate.Bow{Handle: 1, Limbs: [2]estimate.Limb{{Length: lengths[0]}, {Length: lengths[1]}},
			Draw: 28, Weight: 40, Errors: estimate.UsualErrors(0, 0, true)}
		st, err := bow.Prior()
		if err != nil {
			continue
		}
		for _, pass := range []estimate.Pass{
			{}, {Hangs: []estimate.Hang{{}}}, {Hangs: []estimate.Hang{{Brace: 6, Pulls: wild}}},
			{
				Relaxed: []estimate.Reading{{At: 0.2, Value: 5}},
				Scrapes: []estimate.Scrape{{From: 5, To: 5}, {From: -3, To: 90, Share: 2}},
			},
		} {
			st, err = st.Fold(pass)
			t.Log(lengths, err)
			if len(pass.Hangs)+len(pass.Relaxed) == 0 {
				continue // the next says as little
			}
			_, _ = st.Stop(estimate.Limits{Weight: 40, Draw: 28})
			_, _ = st.Forecast(-1, 0, 5, 28, math.NaN(), 1e9)
			_, _ = st.Tiller(0.1)
			_, _, _, _ = st.Follow()
			_, _ = st.Expect(estimate.Where{Kind: estimate.Block, At: 0.1, Block: 6}, estimate.Hang{})
			for _, tips := range []float64{12, 500} {
				aim := estimate.Aim{StiffTips: tips}
				_, _ = st.Findings(28, aim)
				_, _ = st.Unsure(20, aim)
				_, _ = st.Bending(math.Inf(1), aim, [2][]float64{{0.1}, {0.2}})
			}
		}
	}
}

// readWrong is a pull to 22 in with the line read every 4 in on both limbs as the bow stands so far, 16
// readings in all, some of them wrong by an inch and a half to two and a half, this way and that.
func readWrong(t testing.TB, st estimate.State, wrong int) estimate.Pass {
	t.Helper()
	pull := estimate.Pull{Draw: 22}
	for _, side := range model.Sides {
		for at := 4.0; at <= 32; at += 4 {
			f, err := st.Expect(estimate.Where{Kind: estimate.Line, Draw: pull.Draw, Side: side, At: at}, estimate.Hang{})
			check(t, err)
			pull.Line = append(pull.Line, estimate.Reading{Side: side, At: at, Value: f.Estimate})
		}
	}
	off := []float64{1.5, -2, 2.5, -1.5, 2, -2.5}
	for i := range wrong {
		// 7 and 16 have no common factor: each is at another station.
		pull.Line[7*i%len(pull.Line)].Value += off[i%len(off)]
	}
	return estimate.Pass{Hangs: []estimate.Hang{{Pulls: []estimate.Pull{pull}}}}
}

// Where at least half of the readings agree on a bow, they are believed and the others are named. Where
// fewer do, any bow would be made of chance: the readings are refused, and of the bow no more is said than
// before.
func TestABowIsBelievedOnlyWhereHalfOfTheReadingsAgree(t *testing.T) {
	st, at := weighed(t), []float64{0, 4, 10, 16, 22, 28, 34}
	none, err := st.Fold(estimate.Pass{Hangs: []estimate.Hang{{Pulls: []estimate.Pull{{Draw: 22}}}}})
	check(t, err)
	for _, wrong := range []int{0, 4, 8, 9, 10, 12} {
		now, err := st.Fold(readWrong(t, st, wrong))
		changed := !reflect.DeepEqual(stiffness(t, now, at), stiffness(t, none, at)) || len(now.Wild()) > 0
		switch refused := errors.Is(err, estimate.ErrUnsolved); {
		case wrong <= 8 && (err != nil || len(now.Wild()) != wrong):
			t.Errorf("%d of 16 readings are wrong: %v, and %d are named", wrong, err, len(now.Wild()))
		case wrong > 8 && !refused:
			t.Errorf("%d of 16 readings are wrong, and yet they are believed: %v", wrong, err)
		case wrong > 8 && changed:
			t.Errorf("%d of 16 readings are wrong, and what was refused changed the bow", wrong)
		}
	}
}
