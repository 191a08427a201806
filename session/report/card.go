package report

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Card makes the card that goes with a bow to its owner, in the shop's words. A line with a place that has no
// value is left out. a is what its readings say, nil while that is being worked out.
func Card(story session.Story, f verdict.Finishing, a *verdict.Advice) Document {
	places := placesOf(story, f, a)
	d := Document{Kind: "card half-letter", Title: session.NameOf(story.Bow()), Card: true}
	if story.Bow().Units.Length != measure.Inch {
		d.Kind = "card a5"
	}
	if f.Cracked != "" {
		d.Facts = []fact{{Value: fmt.Sprintf("No card. Don't draw it: %s.", f.Cracked)}}
		return d
	}
	if missing := f.Missing(); len(missing) > 0 {
		d.Facts = []fact{{Value: "DRAFT. Not done yet: " + strings.Join(missing, ", ")}}
		delete(places, "day")
	}
	for _, line := range fill(f.Settings.Card.Facts, places) {
		name, value, isPair := strings.Cut(line, ": ")
		if !isPair {
			name, value = "", line
		}
		d.Facts = append(d.Facts, fact{Name: name, Value: value})
	}
	if a != nil {
		d.Mark = bracedMark(*a)
		d.pulls(*a, f)
	}
	if care := fill(f.Settings.Card.Care, places); len(care) > 0 {
		d.Parts = append(d.Parts, part{Heading: "Keeping and shooting it", Blocks: []block{{List: care}}})
	}
	return d
}

// pulls adds the weight at each inch from 24, or every 2 cm from 60, to the order, by the last weighing, if
// there was one. Draws are given as they were ordered, to the belly or to the back.
func (d *Document) pulls(a verdict.Advice, f verdict.Finishing) {
	bow, rule := a.Bow, a.Bow.Ruler()
	order, ordered := bow.Order.Draw.Get()
	first, step := measure.Length(24), measure.Length(1)
	if rule.Unit != measure.Inch {
		first, step = measure.Centimetre.Length(60), measure.Centimetre.Length(2)
	}
	for first > order-2*step {
		first -= step // of a bow for a short draw
	}
	var draws []float64
	beyond := order - measure.Length(a.Draw) // the handle's depth, where the draw is to the back
	for draw := first; draw < order-step/8; draw += step {
		draws = append(draws, float64(draw-beyond))
	}
	pulls := a.AsWeighed(append(draws, a.Draw)...)
	if !ordered || len(pulls) == 0 {
		return
	}
	scale := bow.Weigher()
	t := table{Head: []string{"drawn (" + string(rule.Unit) + ")"},
		Rows: [][]string{{"weight (" + scale.Unit.Symbol() + ")"}}}
	for _, pull := range pulls {
		t.Head = append(t.Head, rule.Short(measure.Length(pull.Draw)+beyond))
		t.Rows[0] = append(t.Rows[0], scale.Print(measure.Force(pull.Force.Estimate)))
	}
	heading := "What it pulls"
	if f.Mark.Or(finish.Mark{}).Weighed == finish.Finished {
		heading += " when new"
	}
	d.Parts = append(d.Parts, part{Heading: heading, Blocks: []block{{Table: &t}}})
}

var cardPlace = regexp.MustCompile(`\{[a-z_]+\}`)

// fill puts values into the lines' places and drops lines with a place that has no value.
func fill(lines []string, places map[string]string) []string {
	var filled []string
	for _, line := range lines {
		whole := true
		text := cardPlace.ReplaceAllStringFunc(line, func(found string) string {
			value := places[strings.Trim(found, "{}")]
			whole = whole && value != ""
			return value
		})
		if text = plain.Line(text); whole && text != "" {
			filled = append(filled, text)
		}
	}
	return filled
}

// placesOf are the values that a card may name.
func placesOf(story session.Story, f verdict.Finishing, a *verdict.Advice) map[string]string {
	bow := story.Bow()
	ruler := bow.Ruler()
	places := map[string]string{
		"name": session.NameOf(bow), "number": plain.Line(bow.Number), "for": plain.Line(bow.Order.For),
		"wood": plain.Line(bow.Wood), "mark": plain.Line(f.Stamped), "maker": plain.Line(f.Settings.Card.Maker),
		"contact": plain.Line(f.Settings.Card.Contact), "bow_length": ruler.WithUnit(bow.Length()),
		"hand": string(bow.Order.Hand), "string": sayString(story, a), "up": sayUpper(story),
		"day": f.Dates.Print(handedOver(f)), "brace": known(story.BraceHeight(), ruler.WithUnit),
	}
	if draw, known := bow.Order.Draw.Get(); known {
		places["draw"] = ruler.Short(draw) + " " + string(ruler.Unit)
		places["draw_to"] = session.SayDrawTo(bow.Order.DrawTo)
	}
	if strings.Contains(strings.ToLower(bow.Wood), "yew") {
		places["yew"] = "Yew"
	}
	weight, unit := stampedWeight(f)
	if weight > 0 {
		in := func(unit measure.ForceUnit) string {
			return measure.Scale{Unit: unit, Step: unit.Force(0.1)}.Short(weight) + " " + unit.Symbol()
		}
		if places["weight"] = in(unit); unit != bow.Units.Force {
			places["weight"] += " (" + in(bow.Units.Force) + ")"
		}
		grains := leastArrow * float64(weight)
		grams := grains * gramsPerGrain
		places["arrow"] = fmt.Sprintf("%.0f grains (%.0f g)", math.Ceil(grains/10)*10, math.Ceil(grams))
	}
	return places
}

// handedOver is when the bow was handed over, or now.
func handedOver(f verdict.Finishing) time.Time {
	for _, stage := range f.Progress.Stages {
		if n := len(stage.Done); n > 0 && stage.Step() == model.HandedOver {
			return stage.Done[n-1].At.In(f.Now.Location())
		}
	}
	return f.Now
}

// leastArrow is the lightest arrow for a wooden bow, in grains a pound of draw weight: common practice, no
// published source. A grain is 64.79891 mg (NIST SP 811, from memory).
const (
	leastArrow    = 10
	gramsPerGrain = 0.06479891
)

var weightInStamp = regexp.MustCompile(`(?i)\d+(?:[.,]\d+)?\s*(?:lbf|lbs|lb|#|pounds?|kgf|kg|n)(?:\W|$)`)

// stampedWeight is the weight that the bow was stamped with, in the stamp's unit, or else what it should be
// stamped with; 0 where neither is known.
func stampedWeight(f verdict.Finishing) (measure.Force, measure.ForceUnit) {
	text := strings.TrimRight(weightInStamp.FindString(f.Stamped), " @,;:.-/")
	if unit := measure.ForceNamed(text); unit != "" {
		if weight, err := measure.ParseForce(text, unit); err == nil {
			return weight, unit
		}
	}
	if mark, known := f.Mark.Get(); known && !mark.Foretold() {
		return mark.Weight, f.Bow.Units.Force
	}
	return 0, ""
}

// sayUpper tells an archer which limb is the upper one: by its length, or by its gap to the string; "" where
// both are alike.
func sayUpper(story session.Story) string {
	bow, rule := story.Bow(), story.Bow().Ruler()
	tiller, _ := story.TillerOf(len(story.Passes) - 1)
	gap, _ := tiller.AtAim()
	longer := bow.Limbs[model.Upper].Length - bow.Limbs[model.Lower].Length
	return cmp.Or(moreOrLess(rule, longer, "the longer one, by %s", "the shorter one, by %s"),
		moreOrLess(rule, gap.Difference,
			"the one farther from the string, by %s", "the one nearer to the string, by %s"))
}

// sayString is what the string that braced the bow last is made of, and its length, or else the length that
// the readings say would brace it so high, marked as computed; "" where neither is known.
func sayString(story session.Story, a *verdict.Advice) string {
	rule, on := story.Bow().Ruler(), story.Strings().Bracing()
	said := known(on.Length, rule.WithUnit)
	if said == "" && a != nil {
		said = known(a.StringFor(story.BraceHeight()), func(l measure.Length) string {
			return rule.WithUnit(l) + " (computed)"
		})
	}
	if material := plain.Line(on.Material); material != "" && said != "" {
		said = material + ", " + said
	}
	return said
}
