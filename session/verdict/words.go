package verdict

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Finding is a flat spot or a hinge, in figures and in a sentence.
type Finding struct {
	estimate.Finding
	Says string // Upper limb, 10 to 16 in: bends 18 % less than the aim (97 % sure it is less).
}

// Unsure is a stretch that the readings can't show, and what would.
type Unsure struct {
	estimate.Unsure
	WouldSettle string
}

// Wild is a reading out of place, in figures and in a sentence.
type Wild struct {
	estimate.Wild
	Says string
}

func (a *Advice) length(l float64) string { return a.Bow.Ruler().WithUnit(measure.Length(l)) }

// short is a length that is a whole number of the unit, or nearly, without decimals.
func (a *Advice) short(l float64) string {
	return a.Bow.Ruler().Short(measure.Length(l)) + " " + string(a.Bow.Units.Length)
}

func (a *Advice) force(f float64) string { return a.Bow.Weigher().WithUnit(measure.Force(f)) }

// places is a stretch of a limb: 10 to 16 in.
func (a *Advice) places(from, to float64) string {
	rule := measure.Rule{Unit: a.Bow.Units.Length, Step: 0.5}
	if rule.Unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return fmt.Sprintf("%s to %s", rule.Print(measure.Length(from)), rule.WithUnit(measure.Length(to)))
}

func limbName(side model.Side) string {
	if side == model.Lower {
		return "Lower limb"
	}
	return "Upper limb"
}

func (a *Advice) sayFinding(f estimate.Finding) string {
	how := "less"
	if f.Hinge {
		how = "more"
	}
	return fmt.Sprintf("%s, %s: bends %.0f %% %s than the aim (%d %% sure it is %s).",
		limbName(f.Side), a.places(f.From, f.To), 100*math.Abs(f.Deviation.Estimate), how, percent(f.Chance), how)
}

// percent is a chance in whole per cent, never rounded up and never all.
func percent(chance float64) int { return min(int(math.Floor(100*chance+1e-9)), 99) }

// sayWouldSettle names the reading that would show most for the work: at places of the limb that hold the whole block.
func (a *Advice) sayWouldSettle(u estimate.Unsure) string {
	var at []string
	step, block := measure.Length(either(a.Bow, 2, 5)), measure.Length(either(a.Bow, 6, 15))
	last := min(measure.Length(u.To), a.Bow.Limbs[u.Side].Length-block/2)
	for n := math.Ceil(max(u.From, float64(block)/2) / float64(step)); step*measure.Length(n) <= last; n++ {
		at = append(at, a.Bow.Ruler().Short(step*measure.Length(n)))
	}
	if len(at) == 0 {
		return "No block is short enough for it; the line, read at more stations there."
	}
	return fmt.Sprintf("Braced: the gap under a straight block of %s, read with a wedge gauge, with its middle at %s %s.",
		a.short(float64(block)), strings.Join(at, ", "), a.Bow.Units.Length)
}

func (a *Advice) sayReason(s estimate.Stop) string {
	switch s.Because {
	case estimate.ByWeight:
		if s.Draw == 0 {
			return fmt.Sprintf("even a short pull may weigh more than the %s wanted on the tree", a.force(float64(a.Wanted.Or(0))))
		}
		return fmt.Sprintf("farther out the peak may pass the %s wanted on the tree", a.force(float64(a.Wanted.Or(0))))
	case estimate.ByOrder:
		return "this is the ordered draw"
	case estimate.ByStrain:
		return fmt.Sprintf("farther out the surface strain may pass the %.1f %% that this wood is said to stand", 100*a.strainLimit())
	case estimate.ByReach:
		return "farther out the estimate does not reach"
	default:
		if a.state.Longest() > 0 {
			return fmt.Sprintf("at most %s beyond the longest so far", a.short(pullStep(a.Bow)))
		}
		return "begin with a short pull"
	}
}

// mostWild is the most readings out of place that cautions name one by one; Wild has them all.
const mostWild = 4

// wild fills in the readings out of place, and warns of the farthest off.
func (a *Advice) wild() {
	for _, w := range a.state.Wild() {
		a.Wild = append(a.Wild, Wild{Wild: w, Says: a.sayWild(w)})
	}
	// A bow that is not as described makes most readings wild: a few show it as well as hundreds.
	for i, w := range a.Wild {
		if i == mostWild {
			a.caution("And %d more readings of this pass are out of place.", len(a.Wild)-i)
			break
		}
		a.Cautions = append(a.Cautions, w.Says)
	}
}

func (a *Advice) sayWild(w estimate.Wild) string {
	pose := "braced"
	if w.Where.Draw > 0 {
		pose = fmt.Sprintf("pull to %s", a.length(w.Where.Draw))
	}
	place := fmt.Sprintf("%s limb at %s", w.Where.Side, a.length(w.Where.At))
	what, value, expected := "", a.length(w.Value), a.length(w.Expected)
	switch w.Where.Kind {
	case estimate.Peak:
		what, value, expected = fmt.Sprintf("Peak, %s", pose), a.force(w.Value), a.force(w.Expected)
	case estimate.Brace:
		what = "Brace height"
	case estimate.String:
		what = "String length"
	case estimate.Relaxed:
		what = fmt.Sprintf("Relaxed, %s", place)
	case estimate.Block:
		calliper := a.Bow.Calliper()
		what = fmt.Sprintf("Block gap, %s", place)
		value, expected = calliper.WithUnit(measure.Length(w.Value)), calliper.WithUnit(measure.Length(w.Expected))
	default:
		what = session.Capital(pose) + ", " + place
	}
	return fmt.Sprintf("%s: read %s, where the other readings say %s. Was it read right?", what, value, expected)
}
