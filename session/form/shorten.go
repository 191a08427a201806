package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func shortenKind() Kind {
	return asks(Kind{
		Key: "S", Name: "shorten", Long: "Enter what came off the limbs at their nocks.", Caution: dustCaution,
		About: "What you sawed off at each nock. Or how far in you cut new ones. Stations stay where they are. " +
			"It needs a shorter string: you are asked for that next. A shorter bow strains more.",
	}, func(story session.Story, _ model.Shorten) table[model.Shorten] {
		bow := story.Bow()
		unit, such := string(bow.Units.Length), exampleLength(bow.Units.Length, 0.75)
		return table[model.Shorten]{
			fields: []field[model.Shorten]{
				optionalField("off_upper", Question{Name: "upper", Unit: unit,
					Hint: fmt.Sprintf("off at the upper nock, such as %s; Enter alone for nothing", such)},
					exactLengths(), func(e *model.Shorten) *maybeLength { return &e.Upper }),
				optionalField("off_lower", Question{Name: "lower", Unit: unit,
					Hint: fmt.Sprintf("off at the lower nock, such as %s; Enter alone for nothing", such)},
					exactLengths(), func(e *model.Shorten) *maybeLength { return &e.Lower }),
			},
		}
	})
}

// ShortenBy asks what came off where so much was to come off each end: Enter alone takes that.
func ShortenBy(story session.Story, each measure.Length) *Sheet {
	s := shortenKind().Of(story)
	for i := range s.Questions {
		s.Questions[i].Preset = exactLength(story.Bow(), each)
	}
	return s
}
