package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

const keepIt = "Enter again to keep"

// doubtReading asks about a reading far from what is foretold, from the last one in the same pose, or off
// the line of the stations inward of it.
func doubtReading(bow model.Bow, from model.Datum, q Question, side model.Side, i int,
	earlier func(*Sheet) maybeLength) func(*Sheet, string) string {
	return func(s *Sheet, text string) string {
		now, _ := bow.ParseLength(text)
		rule := bow.Ruler()
		was, hadOne := earlier(s).Get()
		if hadOne && model.FarFromEarlier(now, was) {
			return fmt.Sprintf("was %s, now %s: %s", rule.Print(was), rule.Print(now), keepIt)
		}
		if doubt, told := s.unexpected(q, float64(now)); told || hadOne {
			return doubt
		}
		inner, nearest, ok := inward(s, from, side, i)
		if !ok {
			return ""
		}
		here := model.Place{At: bow.Limbs[side].Stations[i], Reading: now}
		if expected, far := model.FarFromNeighbours(inner, nearest, here); far {
			return fmt.Sprintf("about %s by its neighbours, now %s: %s", rule.Print(expected),
				rule.Print(now), keepIt)
		}
		return ""
	}
}

// inward finds the two read places nearest to station i on its inner side. The limb root itself lies on the
// line.
func inward(s *Sheet, from model.Datum, side model.Side, i int) (inner, nearest model.Place, ok bool) {
	var found []model.Place
	for j := i - 1; j >= 0 && len(found) < 2; j-- {
		if l, known := s.lengthOf(stationName(side, j)).Get(); known {
			found = append(found, model.Place{At: s.of.Limbs[side].Stations[j], Reading: l})
		}
	}
	if from == model.FromLine && len(found) < 2 {
		found = append(found, model.Place{})
	}
	if len(found) < 2 {
		return model.Place{}, model.Place{}, false
	}
	return found[1], found[0], true
}

// boldStep is how much farther than ever before a pull may go unasked.
const boldStep measure.Length = 2

func doubtDraw(story session.Story) func(*Sheet, string) string {
	bow := story.Bow()
	return func(_ *Sheet, text string) string {
		draw, _ := bow.ParseLength(text)
		rule := bow.Ruler()
		if ordered, known := bow.DrawToBelly().Get(); known && draw > ordered+1.0/16 {
			return fmt.Sprintf("%s is past the ordered draw, %s: %s", rule.Print(draw),
				rule.WithUnit(ordered), keepIt)
		}
		// A bow on its string is never drawn less than its brace height, as last read in this pass.
		var height measure.Length
		for _, braced := range story.Pass().Braced {
			height = braced.Height.Or(height)
		}
		if draw < height {
			return fmt.Sprintf("%s is under the brace height, %s: %s", rule.Print(draw),
				rule.WithUnit(height), keepIt)
		}
		if longest := story.LongestDraw(); longest > 0 && draw > longest+boldStep+1.0/16 {
			return fmt.Sprintf("that is %s farther than ever before: %s", rule.WithUnit(draw-longest), keepIt)
		}
		return ""
	}
}

func doubtPeak(story session.Story) func(*Sheet, string) string {
	bow := story.Bow()
	return func(s *Sheet, text string) string {
		peak, _ := bow.ParseForce(text)
		draw, ok := s.lengthOf("draw").Get()
		if !ok {
			return ""
		}
		scale, rule := bow.Weigher(), bow.Ruler()
		if was, pass, ok := earlierPeak(story, draw); ok && model.FarFromEarlierPeak(peak, was) {
			return fmt.Sprintf("was %s at this draw in pass %d, now %s: %s", scale.Print(was), pass,
				scale.Print(peak), keepIt)
		}
		this := model.Pull{Draw: draw, Peak: measure.Some(peak)}
		for _, other := range story.Pass().Peaks() {
			if model.Sawtooth(other, this) || model.Sawtooth(this, other) {
				return fmt.Sprintf("this pass had %s at %s, now %s at %s: %s",
					scale.Print(other.Peak.Or(0)), rule.Print(other.Draw), scale.Print(peak),
					rule.Print(draw), keepIt)
			}
		}
		if wanted, known := bow.Order.Weight.Get(); known && peak > wanted+bow.Order.Allow.Or(0) {
			return fmt.Sprintf("that is over the ordered %s; never draw a bow past its weight: %s",
				session.SayOrdered(bow, wanted), keepIt)
		}
		doubt, _ := s.unexpected(s.Questions[s.index("peak")], float64(peak))
		return doubt
	}
}

// earlierPeak is the last peak at the draw in any pass, this one included.
func earlierPeak(story session.Story, draw measure.Length) (peak measure.Force, pass int, ok bool) {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		if peak, known := story.Passes[n].Peak(draw).Get(); known {
			return peak, n, true
		}
	}
	return 0, 0, false
}

// Expected is what is foretold for question i, with its 90 % band; "" where nothing is.
func (s *Sheet) Expected(i int) string {
	q := s.Questions[i]
	figure, ok := s.foretold(q)
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s (%s to %s)", q.say(figure.Estimate), q.say(figure.Low), q.say(figure.High))
}

// Foretold says whether the question asks for a reading that can be foretold.
func (q Question) Foretold() bool { return q.where != nil }

func (s *Sheet) foretold(q Question) (estimate.Figure, bool) {
	if s.Expect == nil || q.where == nil {
		return estimate.Figure{}, false
	}
	where, ok := q.where(s)
	if !ok {
		return estimate.Figure{}, false
	}
	figure, ok := s.Expect(where, float64(s.lengthOf("height").Or(0)))
	return figure, ok && figure.High > figure.Low
}

// unexpected asks about a value that lies more than four standard deviations from what is foretold; told
// says whether anything is.
func (s *Sheet) unexpected(q Question, now float64) (doubt string, told bool) {
	figure, ok := s.foretold(q)
	if !ok {
		return "", false
	}
	if !figure.Doubtful(now) {
		return "", true
	}
	return fmt.Sprintf("expected about %s (%s to %s), now %s: %s",
		q.say(figure.Estimate), q.say(figure.Low), q.say(figure.High), q.say(now), keepIt), true
}
