package form

import (
	"errors"
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// PullCaution is what the shop's safety comes to at the moment of the draw; local rules and qualified teaching come first.
const PullCaution = "Stand clear of the bow's line; never past its weight; ease down at a crack."

// Pull asks for one pull: the draw, the scale's peak, then the stations of the upper and of the lower limb, each
// out from the handle.
func Pull(story session.Story) *Sheet { return pull(story, lastDatum(story)) }

func pull(story session.Story, from model.Datum) *Sheet {
	bow := story.Bow()
	pose := func(s *Sheet) (session.Pose, bool) {
		draw, ok := s.lengthOf(bow, "draw").Get()
		return session.Pose{Kind: model.KindPull, From: from, Draw: draw}, ok
	}
	questions := []Question{
		{
			Name: "draw", Label: "draw", Group: "pull", Unit: string(bow.Units.Length), Must: true,
			Hint: fmt.Sprintf("from the belly to the hook, such as %s; was is the longest draw so far", exampleLength(bow.Units.Length, 18.5)),
			was: func(*Sheet) string {
				if longest := story.LongestDraw(); longest > 0 {
					return bow.Ruler().Print(longest)
				}
				return ""
			},
			check: length(bow, bow.CheckDraw), doubt: doubtDraw(story),
		},
		{
			Name: "peak", Label: "peak", Group: "pull", Unit: bow.Units.Force.Symbol(),
			Hint: fmt.Sprintf("%s; Enter alone where it was not read", peakHint(bow)),
			was: func(s *Sheet) string {
				if p, ok := pose(s); ok {
					if peak, _, ok := earlierPeak(story, p.Draw); ok {
						return bow.Weigher().Print(peak)
					}
				}
				return ""
			},
			check: weight(bow, bow.CheckWeight), doubt: doubtPeak(story),
			where: func(s *Sheet) (estimate.Where, bool) {
				p, ok := pose(s)
				return estimate.Where{Kind: estimate.Peak, Draw: float64(p.Draw)}, ok
			},
			say: func(v float64) string { return bow.Weigher().Print(measure.Force(v)) },
		},
	}
	questions = append(questions, stationQuestions(story, from, pose, false)...)
	s := newSheet("pull", "Pull", questions, func(s *Sheet) (Outcome, error) {
		return Outcome{Event: model.Pull{
			Draw: s.lengthOf(bow, "draw").Or(0), Peak: s.weightOf(bow, "peak"), Held: s.heldOf(), From: from, Readings: s.readings(bow),
		}}, nil
	})
	s.held = heldQuestion()
	s.Caution = PullCaution
	return s
}

// lastDatum is what the last pull was measured to; the line where there is none.
func lastDatum(story session.Story) model.Datum {
	for _, pass := range slices.Backward(story.Passes) {
		if n := len(pass.Pulls); n > 0 {
			return pass.Pulls[n-1].From
		}
	}
	return model.FromLine
}

// Braced asks for the bow at rest on its string: brace height, then the gaps to the string.
func Braced(story session.Story) *Sheet {
	bow := story.Bow()
	here := session.Pose{Kind: model.KindBraced, From: model.FromString}
	pose := func(*Sheet) (session.Pose, bool) { return here, true }
	questions := append([]Question{{
		Name: "height", Label: "brace height", Group: "braced", Unit: string(bow.Units.Length),
		Hint: fmt.Sprintf("handle to string, such as %s; Enter alone where it was not read", exampleLength(bow.Units.Length, 5.75)),
		was: func(*Sheet) string {
			for n := len(story.Passes) - 1; n >= 0; n-- {
				for i := len(story.Passes[n].Braced) - 1; i >= 0; i-- {
					if height, known := story.Passes[n].Braced[i].Height.Get(); known {
						return bow.Ruler().Print(height)
					}
				}
			}
			return ""
		},
		check: length(bow, bow.CheckBraceHeight),
	}}, stationQuestions(story, model.FromString, pose, false)...)
	s := newSheet("braced", "Braced: gaps to the string", questions, func(s *Sheet) (Outcome, error) {
		b := model.Braced{Height: s.lengthOf(bow, "height"), From: model.FromString, Readings: s.readings(bow)}
		if !b.Height.Known() && !b.Readings.Any() {
			return Outcome{}, errors.New("nothing was read: type the brace height or a gap")
		}
		return Outcome{Event: b}, nil
	})
	s.brace = func(s *Sheet) measure.Optional[measure.Length] { return s.lengthOf(bow, "height") }
	s.Caution = StringCaution
	return s
}

// Relaxed asks for the unstrung bow: distances from the line, below 0 where a limb bends away from the string.
func Relaxed(story session.Story) *Sheet {
	bow := story.Bow()
	here := session.Pose{Kind: model.KindRelaxed, From: model.FromLine}
	pose := func(*Sheet) (session.Pose, bool) { return here, true }
	return newSheet("relaxed", "Relaxed: unstrung, to the line", stationQuestions(story, model.FromLine, pose, true),
		func(s *Sheet) (Outcome, error) {
			r := model.Relaxed{Readings: s.readings(bow)}
			if !r.Readings.Any() {
				return Outcome{}, errors.New("nothing was read: type a distance")
			}
			return Outcome{Event: r}, nil
		})
}

// stationQuestions ask for the upper and then the lower limb, each out from the handle. pose says how the bow
// stands, as far as the sheet knows; signed readings may lie below 0.
func stationQuestions(story session.Story, from model.Datum, pose func(*Sheet) (session.Pose, bool), signed bool) []Question {
	bow := story.Bow()
	var questions []Question
	for _, side := range model.Sides {
		for i, at := range bow.Limbs[side].Stations {
			q := Question{
				Name: stationName(side, i), Label: bow.Ruler().WithUnit(at), Group: fmt.Sprintf("%s limb", side),
				Unit: string(bow.Units.Length), Hint: fmt.Sprintf("the distance to the %s, such as %s; Enter alone leaves it out", from, exampleLength(bow.Units.Length, 6.375)),
			}
			earlier := func(s *Sheet) measure.Optional[measure.Length] {
				if p, ok := pose(s); ok {
					if rows, _, ok := story.Latest(p); ok {
						return rows.At(side, i)
					}
				}
				return measure.Optional[measure.Length]{}
			}
			q.was = func(s *Sheet) string {
				if was, ok := earlier(s).Get(); ok {
					return bow.Ruler().Print(was)
				}
				return ""
			}
			q.check = length(bow, func(l measure.Length) error {
				if l < 0 && !signed {
					return fmt.Errorf("a distance to the %s is not below 0 here; expected something like 6 3/8", from)
				}
				return bow.CheckReading(from, side, i, l)
			})
			q.where = func(s *Sheet) (estimate.Where, bool) {
				p, ok := pose(s)
				return estimate.Where{Kind: kindOf(p), Draw: float64(p.Draw), Side: side, At: float64(at)}, ok
			}
			q.say = func(v float64) string { return bow.Ruler().Print(measure.Length(v)) }
			q.doubt = doubtReading(bow, from, q, side, i, earlier)
			questions = append(questions, q)
		}
	}
	return questions
}

// kindOf is the kind of reading that a station gives in a pose.
func kindOf(p session.Pose) estimate.Kind {
	switch {
	case p.Kind == model.KindRelaxed:
		return estimate.Relaxed
	case p.From == model.FromString:
		return estimate.Gap
	}
	return estimate.Line
}

// readings are the answers to the station questions.
func (s *Sheet) readings(bow model.Bow) model.Readings {
	var r model.Readings
	for _, side := range model.Sides {
		row := make([]measure.Optional[measure.Length], len(bow.Limbs[side].Stations))
		last := 0
		for i := range row {
			row[i] = s.lengthOf(bow, stationName(side, i))
			if row[i].Known() {
				last = i + 1
			}
		}
		r[side] = row[:last]
	}
	return r
}

func stationName(side model.Side, i int) string { return fmt.Sprintf("%s.%d", side, i) }

// peakHint says what the scale's peak is, with an example in the bow's unit.
func peakHint(bow model.Bow) string {
	return fmt.Sprintf("what the scale kept, such as %s", exampleForce(bow.Units.Force, 21.4))
}
