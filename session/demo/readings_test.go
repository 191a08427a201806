package demo

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// scaleError is what two peaks of the same bow at the same draw may differ by: the scale's error, twice.
const scaleError measure.Force = 0.4

func TestPeaksRiseWithTheDrawAndFallFromPassToPass(t *testing.T) {
	for _, s := range stories(t) {
		before := make(map[measure.Length]measure.Force)
		for _, pass := range s.Passes {
			last := model.Pull{}
			for _, pull := range pass.Peaks() {
				peak := pull.Peak.Or(0)
				if peak <= last.Peak.Or(0) {
					t.Errorf("%s, pass %d: %v at %v after %v at %v", s.Bow().Name, pass.Number, peak, pull.Draw, last.Peak.Or(0), last.Draw)
				}
				if was, known := before[pull.Draw]; known && peak > was+scaleError {
					t.Errorf("%s, pass %d: %v at %v, before %v", s.Bow().Name, pass.Number, peak, pull.Draw, was)
				}
				before[pull.Draw], last = peak, pull
			}
		}
	}
}

// Never past the weight and the draw that the bow is meant to have; the last pass weighs what finishing takes more.
func TestNoPullGoesPastTheOrder(t *testing.T) {
	for _, s := range stories(t) {
		order := s.Bow().Order
		for _, pass := range s.Passes {
			for _, pull := range pass.Pulls {
				most := order.Weight.Or(0)
				if pull.Draw >= order.Draw.Or(0)-2 {
					most += order.Allow.Or(0)
				}
				if pull.Draw > order.Draw.Or(0) || pull.Peak.Or(0) > most {
					t.Errorf("%s, pass %d: %v at %v", s.Bow().Name, pass.Number, pull.Peak.Or(0), pull.Draw)
				}
			}
		}
	}
}

func TestEveryPullHasAPeakAndMostReadingsAreThere(t *testing.T) {
	read, missing := 0, 0
	for _, s := range stories(t) {
		for _, pass := range s.Passes {
			for _, pull := range pass.Pulls {
				if !pull.Peak.Known() {
					t.Errorf("%s, pass %d: no peak at %v", s.Bow().Name, pass.Number, pull.Draw)
				}
				if !pull.Readings.Any() {
					continue
				}
				for _, side := range model.Sides {
					for i := range s.Bow().Limbs[side].Stations {
						if pull.Readings.At(side, i).Known() {
							read++
						} else {
							missing++
						}
					}
				}
			}
		}
	}
	if missing == 0 || missing > read/30 {
		t.Errorf("%d readings, %d missing; want a few missing", read, missing)
	}
}

// A limb does not stretch: between two marks it can't rise by more than lies between them along the limb.
func TestDrawnLimbsRiseOutwardsWithinTheirLength(t *testing.T) {
	for _, s := range stories(t) {
		slack := 2 * s.Bow().Rule
		for _, pass := range s.Passes {
			for _, pull := range pass.Pulls {
				for _, side := range model.Sides {
					last := model.Place{}
					for i, at := range s.Bow().Limbs[side].Stations {
						y, known := pull.Readings.At(side, i).Get()
						if !known {
							continue
						}
						if rise := y - last.Reading; rise < -s.Bow().Rule || rise > at-last.At+slack {
							t.Errorf("%s, pass %d, drawn %v: %v limb %v at %v after %v at %v",
								s.Bow().Name, pass.Number, pull.Draw, side, y, at, last.Reading, last.At)
						}
						last = model.Place{At: at, Reading: y}
					}
				}
			}
		}
	}
}

func TestGapsToTheStringFallOutwardsFromTheBraceHeight(t *testing.T) {
	for _, s := range stories(t) {
		for _, pass := range s.Passes {
			for _, braced := range pass.Braced {
				height, known := braced.Height.Get()
				if !known || height < 5.5 || height > 6.25 {
					t.Errorf("%s, pass %d: braced at %v", s.Bow().Name, pass.Number, height)
				}
				for _, side := range model.Sides {
					last := height + 0.25 // a string may be tilted, and stands farther off on one limb
					for i := range s.Bow().Limbs[side].Stations {
						gap, known := braced.Readings.At(side, i).Get()
						if !known {
							continue
						}
						if gap >= last+s.Bow().Rule || gap <= 0 {
							t.Errorf("%s, pass %d, %v limb, station %d: gap %v after %v", s.Bow().Name, pass.Number, side, i, gap, last)
						}
						last = gap
					}
				}
			}
		}
	}
}

// The upper limb's gap at 8 in larger by ¼ in, give or take a mark of the rule, is common practice for a bow that is
// held below the arrow.
func TestTheTillerOfTheDoneBowsIsMet(t *testing.T) {
	for _, name := range []string{"Yew", "Hickory"} {
		s := storyOf(t, name)
		tiller, ok := s.TillerOf(s.Pass().Number)
		off, known := tiller.OffAim()
		if !ok || !known || tiller.AimAt != 8 || tiller.Aim.Or(0) != 0.25 || math.Abs(float64(off)) > 1.0/16 {
			t.Errorf("%s: off its tiller by %v (%t) of %+v", s.Bow().Name, off, known, tiller)
		}
		if tiller.Pass != s.Pass().Number {
			t.Errorf("%s: its tiller was last read in pass %d", s.Bow().Name, tiller.Pass)
		}
	}
}

// One or two pounds over on the tree, for settling and sanding, are common practice.
func TestTheBowThatIsNearlyDoneIsAPoundOrTwoOver(t *testing.T) {
	s := storyOf(t, "Yew")
	peak, known := s.Pass().Peak(28).Get()
	if over := peak - s.Bow().Order.Weight.Or(0); !known || over < 1 || over > 2 {
		t.Errorf("it weighs %v, over the order by %v", peak, over)
	}
}

func TestSetGrowsToThreeQuartersOfAnInch(t *testing.T) {
	for _, name := range []string{"Yew", "Hickory"} {
		s := storyOf(t, name)
		var set []float64 // what the outermost stations moved towards the string since the first reading, both limbs' mean
		var first float64
		for _, line := range s.Lines {
			relaxed, isRelaxed := line.Entry.What.(model.Relaxed)
			if !isRelaxed {
				continue
			}
			sum := 0.0
			for _, side := range model.Sides {
				y, known := relaxed.Readings.At(side, len(s.Bow().Limbs[side].Stations)-1).Get()
				if !known {
					t.Fatalf("%s: the outermost station was not read", s.Bow().Name)
				}
				sum += float64(y) / 2
			}
			if len(set) == 0 {
				first = sum
			}
			set = append(set, sum-first)
		}
		for i := 1; i < len(set); i++ {
			if set[i] < set[i-1]-1.0/8 {
				t.Errorf("%s: set %v", s.Bow().Name, set)
			}
		}
		if last := set[len(set)-1]; last < 0.5 || last > 0.85 {
			t.Errorf("%s: a set of %v at 32 in, want about ⅔ and so ¾ at the nock", s.Bow().Name, last)
		}
	}
}

// bendAt is the finite-difference bend about each station between its neighbours, by its distance from the root:
// the change of the chords' angles over half of what they span. It is none where a reading is missing.
func bendAt(bow model.Bow, side model.Side, rows model.Readings) map[measure.Length]float64 {
	bend := make(map[measure.Length]float64)
	at := append([]measure.Length{0}, bow.Limbs[side].Stations...)
	angle := make([]float64, len(at)) // of the chord that ends at each place
	for i := 1; i < len(at); i++ {
		y, known := rows.At(side, i-1).Get()
		before := measure.Some(measure.Length(0))
		if i > 1 {
			before = rows.At(side, i-2)
		}
		was, wasKnown := before.Get()
		angle[i] = math.NaN()
		if known && wasKnown {
			angle[i] = math.Asin(float64((y - was) / (at[i] - at[i-1])))
		}
		if i > 1 {
			if k := (angle[i] - angle[i-1]) / float64((at[i]-at[i-2])/2); !math.IsNaN(k) {
				bend[at[i-1]] = k
			}
		}
	}
	return bend
}

// evenness is the bend at 16 and 20 in over that at 12 and 24 in, by all pulls of a pass that were read there.
func evenness(s session.Story, pass session.Pass, side model.Side) float64 {
	middle, beside := 0.0, 0.0
	for _, pull := range pass.Pulls {
		bend := bendAt(s.Bow(), side, pull.Readings)
		k12, ok12 := bend[12]
		k16, ok16 := bend[16]
		k20, ok20 := bend[20]
		k24, ok24 := bend[24]
		if ok12 && ok16 && ok20 && ok24 {
			middle, beside = middle+k16+k20, beside+k12+k24
		}
	}
	return middle / beside
}

func TestTheFlatPlaceShowsAndGivesWaySlowly(t *testing.T) {
	s := storyOf(t, "Ash")
	var flat []float64
	for _, pass := range s.Passes {
		flat = append(flat, evenness(s, pass, model.Upper))
	}
	early := (flat[0] + flat[1] + flat[2]) / 3
	late := (flat[3] + flat[4] + flat[5]) / 3
	if early > 0.6 || late < early+0.05 {
		t.Errorf("bend at 16 and 20 in over that beside it, by pass: %.2f; want it to rise slowly from below 0.6", flat)
	}
	last := s.Pass()
	if got := flat[last.Number]; got > 0.75 {
		t.Errorf("in the last pass the flat spot bends %.2f of what is beside it; want it still there", got)
	}
	if other := evenness(s, last, model.Lower); other < 0.85 {
		t.Errorf("the other limb bends %.2f there; want no flat spot", other)
	}
	for _, pull := range last.Pulls {
		if !pull.Readings.Any() {
			continue
		}
		upper, lower := bendAt(s.Bow(), model.Upper, pull.Readings), bendAt(s.Bow(), model.Lower, pull.Readings)
		if upper[16]+upper[20] > 0.85*(lower[16]+lower[20]) {
			t.Errorf("drawn %v: bend %.4f and %.4f at 16 and 20 in, the lower limb's %.4f and %.4f", pull.Draw, upper[16], upper[20], lower[16], lower[20])
		}
	}
}

// A straight block laid along the belly shows a flat spot by a small gap.
func TestTheBlockShowsTheFlatPlace(t *testing.T) {
	s := storyOf(t, "Ash")
	braced := s.Pass().Braced
	block := braced[len(braced)-1].Block
	if block == nil {
		t.Fatal("no block was laid on in the last pass")
	}
	gap := func(side model.Side, at measure.Length) measure.Length {
		for i, place := range block.At {
			if place == at {
				return block.Gaps.At(side, i).Or(0)
			}
		}
		t.Fatalf("no gap at %v", at)
		return 0
	}
	if flat, before, beyond := gap(model.Upper, 18), gap(model.Upper, 10), gap(model.Upper, 26); flat > 0.8*before || flat > 0.9*beyond {
		t.Errorf("gaps under the block: %v at 10, %v at 18, %v at 26 in", before, flat, beyond)
	}
}

func TestTheFlatPlaceWasScrapedInEveryPass(t *testing.T) {
	s := storyOf(t, "Ash")
	for _, pass := range s.Passes[1:] {
		there := false
		for _, scrape := range pass.Scrapes {
			there = there || (scrape.Limb == model.Upper && scrape.From <= 16 && scrape.To >= 20)
		}
		if !there || pass.Exercised == 0 {
			t.Errorf("pass %d: scraped at the flat spot: %t, exercised %d", pass.Number, there, pass.Exercised)
		}
	}
}
