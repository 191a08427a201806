package form

import (
	"errors"

	"bendbook/model"
	"bendbook/session"
)

func relaxedKind() Kind {
	return asks(Kind{
		Key: "r", Name: "relaxed", Main: true, Long: "Enter a relaxed reading: the unstrung limbs to the line.",
		Word: "relaxed reading", Title: "Relaxed: unstrung, to the line",
		About: "The unstrung bow: the distances from the belly to the straight line through the handle, below 0 where a limb bends away from the string.",
	}, func(story session.Story, _ model.Relaxed) table[model.Relaxed] {
		here := session.Pose{Kind: model.KindRelaxed, From: model.FromLine}
		return table[model.Relaxed]{
			was:    model.Relaxed{Readings: unread()},
			fields: stationFields(story, model.FromLine, in(here), true, func(r *model.Relaxed) *model.Readings { return &r.Readings }),
			whole: func(_ *Sheet, r *model.Relaxed) error {
				if !r.Readings.Any() {
					return errors.New("nothing was read: type a distance")
				}
				return nil
			},
		}
	})
}

// Relaxed asks for the unstrung bow: distances from the line, below 0 where a limb bends away from the string.
func Relaxed(story session.Story) *Sheet { return relaxedKind().Of(story) }
