package report

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Card makes the card that goes with a bow to its owner, in the shop's words. A line with a place that has no
// value is left out. a is what its readings say, nil while that is being worked out.
func Card(story session.Story, f verdict.Finishing, a *verdict.Advice) Document {
	places := placesOf(story, f, a)
	d := Document{Kind: "card", Title: session.NameOf(story.Bow()), Open: true}
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
	if care := fill(f.Settings.Card.Care, places); len(care) > 0 {
		d.Parts = append(d.Parts, part{Heading: "Keeping and shooting it", Blocks: []block{{List: care}}})
	}
	return d
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
	day := f.Now // of handing over
	for _, stage := range f.Progress.Stages {
		if n := len(stage.Done); n > 0 && stage.Step() == model.HandedOver {
			day = stage.Done[n-1].At.In(f.Now.Location())
			break
		}
	}
	places := map[string]string{
		"name": session.NameOf(bow), "number": plain.Line(bow.Number), "for": plain.Line(bow.Order.For),
		"wood": plain.Line(bow.Wood), "maker": plain.Line(f.Settings.Card.Maker), "mark": plain.Line(f.Stamped),
		"bow_length": ruler.WithUnit(bow.Length()), "hand": string(bow.Order.Hand),
		"string": sayString(story, a), "day": day.Format(time.DateOnly),
		"brace": known(braceHeight(story), ruler.WithUnit),
	}
	if draw, known := bow.Order.Draw.Get(); known {
		places["draw"] = ruler.Short(draw) + " " + string(ruler.Unit)
		places["draw_to"] = session.SayDrawTo(bow.Order.DrawTo)
	}
	if mark, known := f.Mark.Get(); known && !mark.Foretold() {
		scale := measure.Scale{Unit: bow.Units.Force, Step: bow.Units.Force.Force(f.Settings.Mark.Step)}
		places["weight"] = scale.Short(mark.Weight) + " " + bow.Units.Force.Symbol()
	}
	return places
}

// sayString is the length of the string that braced the bow last, or else that which the readings say would
// brace it so high, marked as computed; "" where neither is known.
func sayString(story session.Story, a *verdict.Advice) string {
	rule := story.Bow().Ruler()
	length := story.Strings().Bracing().Length
	if a == nil || length.Known() {
		return known(length, rule.WithUnit)
	}
	return known(a.StringFor(braceHeight(story)), func(l measure.Length) string {
		return rule.WithUnit(l) + " (computed)"
	})
}

// braceHeight is the last brace height that was read.
func braceHeight(story session.Story) measure.Optional[measure.Length] {
	for _, braced := range slices.Backward(counting[model.Braced](story.Lines)) {
		if braced.Height.Known() {
			return braced.Height
		}
	}
	return measure.Optional[measure.Length]{}
}
