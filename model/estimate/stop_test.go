package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/section"
	"bendbook/model/treetest"
)

// weighed is a bow of 72 in, ordered at 40 lb at 28 in, that was braced to 6 in and drawn to 20 in, and more.
func weighed(t testing.TB, more ...estimate.Pull) estimate.State {
	t.Helper()
	return fold(t, sizedBow(), drawnTo20(more...))
}

func sizedBow() estimate.Bow {
	bow := estimate.Bow{Handle: 4, Draw: 28, Weight: 40, Errors: estimate.UsualErrors(1.0/16, 0.5, false)}
	for side := range bow.Limbs {
		bow.Limbs[side] = estimate.Limb{Length: 34, Sizes: []estimate.Size{
			{At: 4, Width: 1.2, Depth: 1.1}, {At: 14, Width: 1.1, Depth: 1}, {At: 24, Width: 0.9, Depth: 0.9},
		}}
	}
	return bow
}

func drawnTo20(more ...estimate.Pull) estimate.Pass {
	pulls := []estimate.Pull{{Draw: 14, Peak: 17}, {Draw: 17, Peak: 23}, {Draw: 20, Peak: 28.5}}
	return estimate.Pass{Hangs: []estimate.Hang{{Brace: 6, Pulls: append(pulls, more...)}}}
}

func stop(t testing.TB, st estimate.State, limits estimate.Limits) estimate.Stop {
	t.Helper()
	s, err := st.Stop(limits)
	check(t, err)
	return s
}

// At the stop line even the most that the bow may pull is no more than the weight wanted, and an eighth of
// an inch farther it may be more: the line is drawn by the upper edge of the range, not by the estimate.
func TestTheStopLineKeepsTheWholeRangeOfThePeak(t *testing.T) {
	st := weighed(t, estimate.Pull{Draw: 18, Peak: 24.9})
	const wanted = 31
	s := stop(t, st, estimate.Limits{Weight: wanted, Draw: 28})
	if s.Because != estimate.ByWeight || s.Force.High > wanted {
		t.Errorf("at the line at %v in it may pull %.2f lb of %v: reason %v", s.Draw, s.Force.High, wanted,
			s.Because)
	}
	if f := weight(t, st, s.Draw+1.0/8); f.High <= wanted || f.Estimate >= wanted {
		t.Errorf("an eighth beyond the line at %v in it pulls %+v: the range doesn't reach %v lb there", s.Draw, f,
			wanted)
	}
}

// A scale that reads high by a guess widens what is said of the bow by that guess, and draws the stop line
// in.
func TestAGuessedGainDrawsTheStopLineIn(t *testing.T) {
	at := func(gainError float64) (estimate.Figure, estimate.Stop) {
		bow := sizedBow()
		bow.GainError = gainError
		st := fold(t, bow, drawnTo20())
		return weight(t, st, 20), stop(t, st, estimate.Limits{Weight: 31.5, Draw: 28})
	}
	sure, far := at(0)
	guessed, near := at(0.05)
	if guessed.Estimate != sure.Estimate || guessed.High < sure.Estimate*math.Exp(1.645*0.05) {
		t.Errorf("of a scale by the hook %+v, of a guess %+v", sure, guessed)
	}
	if near.Draw > far.Draw-0.25 || near.Force.High > 31.5 {
		t.Errorf("the line is at %v in, %+v, and at %v for a sure scale", near.Draw, near.Force, far.Draw)
	}
}

// Where the line moves with the bow the support has no part in the readings: they say more of the bow, and a
// misfit isn't the support's.
func TestALineThatMovesWithTheBowKnowsNoSupport(t *testing.T) {
	r := series.Rand(t, 84, 0)
	stave := treetest.New(r, treetest.Staves(r))
	plan := lines16(stave.Draw)
	pass, bow := stave.Read(r, plan), stave.Estimated(plan)
	width := func() float64 {
		st := fold(t, bow, pass)
		if fit := st.Fit(); !fit.Good {
			t.Errorf("%+v", fit)
		}
		f := weight(t, st, stave.Draw)
		return f.High - f.Low
	}
	fixed := width()
	bow.LineMoves = true
	if moving := width(); !(moving < fixed) {
		t.Errorf("the weight's range is %v lb wide, and %v by a line on the wall", moving, fixed)
	}
}

// Stiffness falls with the depth as in the tables, and back: a rectangle by the cube rule, a D nearly so.
func TestDepthTellsStiffnessAndStiffnessDepth(t *testing.T) {
	rectangle, d := estimate.Bow{Section: section.Rectangle}, estimate.Bow{Section: section.D}
	var cube struct {
		Rows []struct {
			Off   float64 `json:"dt_over_t"`
			Ratio float64 `json:"EI_ratio_rect"`
			Depth float64 `json:"thickness_ratio_for_weight_ratio"`
		}
	}
	referenceTable(t, "sections.json", "_cube_rule", &cube)
	for _, row := range cube.Rows {
		assertNear(t, "stiffness", math.Exp(-rectangle.Loss(row.Off)), row.Ratio, 1e-8)
		assertNear(t, "depth", 1-rectangle.DepthShare(-math.Log(1-row.Off)), row.Depth, 1e-8)
	}
	var scraped struct {
		Rows []struct {
			Off   float64 `json:"dh"`
			Ratio float64 `json:"I_ratio"`
		}
	}
	referenceTable(t, "sections.json", "_rounded_D_belly_scrape", &scraped)
	for _, row := range scraped.Rows {
		assertNear(t, "stiffness of a D", math.Exp(-d.Loss(row.Off)), row.Ratio, 5e-4)
		assertNear(t, "depth of a D", d.DepthShare(-math.Log(row.Ratio)), row.Off, 2e-4)
	}
}

// The surface strain of a D is that of its belly: bend times the distance of the belly from the neutral
// axis, 0.554 of the depth. The back's, 0.446 of it, would promise a fifth less than the wood bears.
func TestTheStrainOfADIsThatOfItsBelly(t *testing.T) {
	var d struct {
		Params struct{ H float64 }
		Back   float64 `json:"y_centroid_from_back"`
	}
	referenceTable(t, "sections.json", "rounded_D_t0.4", &d)
	st, share := weighed(t), 1-d.Back/d.Params.H
	if share < 0.55 || share > 0.56 {
		t.Fatalf("the belly lies %v of the depth from the neutral axis", share)
	}
	strains := func(draw float64) (worst float64) {
		var at [2][]float64
		for side, limb := range st.Bow().Limbs {
			for _, size := range limb.Sizes {
				at[side] = append(at[side], size.At)
			}
		}
		both, err := st.Bending(draw, estimate.Aim{}, at)
		check(t, err)
		for _, side := range model.Sides {
			told := st.Strains(side, both[side])
			for i, size := range st.Bow().Limbs[side].Sizes {
				want := share * size.Depth * both[side].Bend[i].Estimate
				if i >= len(told) || math.Abs(told[i]-want) > 1e-6*want {
					t.Errorf("%v limb at %v in: strains %v, want %.6f at %d", side, size.At, told, want, i)
				}
				worst = max(worst, want)
			}
		}
		return worst
	}
	free := stop(t, st, estimate.Limits{Draw: 28})
	if want := strains(free.Draw); math.Abs(free.Strain-want) > 1e-6*want {
		t.Errorf("at %v in the strain is told as %.6f, want %.6f", free.Draw, free.Strain, want)
	}
	// A wood that stands a little less is not drawn so far, and an eighth of an inch farther it would be too
	// much.
	stands := 0.97 * free.Strain
	held := stop(t, st, estimate.Limits{Draw: 28, Strain: stands})
	if held.Because != estimate.ByStrain || strains(held.Draw) > stands || strains(held.Draw+1.0/8) <= stands {
		t.Errorf("a wood that stands %.6f is drawn to %v in, where its belly strains %.6f",
			stands, held.Draw, strains(held.Draw))
	}
}
