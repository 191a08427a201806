package form

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// in is a pose that doesn't follow from the answers.
func in(pose session.Pose) func(*Sheet) (session.Pose, bool) {
	return func(*Sheet) (session.Pose, bool) { return pose, true }
}

// stationFields ask for the upper and then the lower limb, each out from the handle. pose says how the bow
// stands, as far as the sheet knows; signed readings may lie below 0.
func stationFields[E any](
	story session.Story, from model.Datum, pose func(*Sheet) (session.Pose, bool), signed bool,
	at func(*E) *model.Readings,
) []field[E] {
	var fields []field[E]
	for _, side := range model.Sides {
		for i := range story.Bow().Limbs[side].Stations {
			fields = append(fields, field[E]{
				Question: stationQuestion(story, from, pose, side, i), path: fmt.Sprintf("%s[%d]", side, i),
				print: func(of model.Bow, e E) string {
					return optional(at(&e).At(side, i), func(l measure.Length) string { return exactLength(of, l) })
				},
				set: func(of model.Bow, e *E, text string) error {
					l, err := parsed(text, of.ParseLength)
					if !signed && l.Or(0) < 0 {
						err = fmt.Errorf("a distance to the %s is not below 0 here; expected something "+
							"like 6 3/8", from)
					}
					at(e)[side] = withReading(at(e)[side], i, l)
					return err
				},
			})
		}
	}
	return fields
}

func stationQuestion(story session.Story, from model.Datum, pose func(*Sheet) (session.Pose, bool),
	side model.Side, i int) Question {
	bow := story.Bow()
	at := bow.Limbs[side].Stations[i]
	earlier := func(s *Sheet) maybeLength {
		if p, ok := pose(s); ok {
			if rows, _, ok := story.Latest(p); ok {
				return rows.At(side, i)
			}
		}
		return maybeLength{}
	}
	q := Question{
		Name: stationName(side, i), Label: bow.Ruler().WithUnit(at), Group: fmt.Sprintf("%s limb", side),
		Unit: string(bow.Units.Length),
		Hint: fmt.Sprintf("the distance to the %s, such as %s; Enter alone leaves it out", from,
			exampleLength(bow.Units.Length, 6.375)),
		was: func(s *Sheet) string { return optional(earlier(s), bow.Ruler().Print) },
		where: func(s *Sheet) (estimate.Where, bool) {
			p, ok := pose(s)
			return estimate.Where{Kind: kindOf(p), Draw: float64(p.Draw), Side: side, At: float64(at)}, ok
		},
		say: func(v float64) string { return bow.Ruler().Print(measure.Length(v)) },
	}
	q.doubt = doubtReading(bow, from, q, side, i, earlier)
	return q
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

// withReading is a row with a reading at a station, as far as its last reading; the row itself stays.
func withReading(row []maybeLength, i int, l maybeLength) []maybeLength {
	out := make([]maybeLength, max(len(row), i+1))
	copy(out, row)
	out[i] = l
	for len(out) > 0 && !out[len(out)-1].Known() {
		out = out[:len(out)-1]
	}
	return out
}

func stationName(side model.Side, i int) string { return fmt.Sprintf("%s.%d", side, i) }

// unread are readings of nothing.
func unread() model.Readings { return model.Readings{{}, {}} }

func relaxedKind() Kind {
	return asks(Kind{
		Key: "r", Name: "relaxed", Main: true, Long: "Enter a relaxed reading: the unstrung limbs to the line.",
		Word: "relaxed reading", Title: "Relaxed: unstrung, to the line",
		About: "The unstrung bow: the distances from the belly to the straight line through the handle, " +
			"below 0 where a limb bends away from the string.",
	}, func(story session.Story, _ model.Relaxed) table[model.Relaxed] {
		here := session.Pose{Kind: model.KindRelaxed, From: model.FromLine}
		return table[model.Relaxed]{
			was: model.Relaxed{Readings: unread()},
			fields: stationFields(story, model.FromLine, in(here), true,
				func(r *model.Relaxed) *model.Readings { return &r.Readings }),
			whole: func(_ *Sheet, r *model.Relaxed) error {
				if !r.Readings.Any() {
					return errors.New("nothing was read: type a distance")
				}
				return nil
			},
		}
	})
}
