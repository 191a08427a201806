package form

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/session"
)

// StringCaution stands where the bow is strung.
const StringCaution = "String it with care and stand clear of the limbs; look for cracks before you go on."

func bracedKind() Kind {
	k := asks(Kind{
		Key: "b", Name: "braced", Main: true, Long: "Enter a braced reading: brace height and the gaps to " +
			"the string.",
		Word: "braced reading", Title: "Braced: gaps to the string", Caution: StringCaution,
		About: "The bow at rest on its string: the brace height, then the gaps from the belly to the " +
			"string, upper limb first, each out from the handle.",
	}, bracedTable)
	correct := k.correct
	k.correct = func(story session.Story, what model.Event) (*Sheet, bool) {
		if braced, ok := what.(model.Braced); ok && isBlock(braced) {
			return nil, false
		}
		return correct(story, what)
	}
	return k
}

// Braced asks for the bow at rest on its string: brace height, then the gaps to the string.
func Braced(story session.Story) *Sheet { return bracedKind().Of(story) }

func bracedTable(story session.Story, _ model.Braced) table[model.Braced] {
	bow := story.Bow()
	here := session.Pose{Kind: model.KindBraced, From: model.FromString}
	t := table[model.Braced]{
		was: model.Braced{From: model.FromString, Readings: unread()},
		fields: []field[model.Braced]{optionalField("height", Question{
			Label: "brace height", Unit: string(bow.Units.Length),
			Hint: fmt.Sprintf("handle to string, such as %s; Enter alone where it was not read",
				exampleLength(bow.Units.Length, 5.75)),
			was: func(*Sheet) string {
				var last maybeLength
				for _, pass := range story.Passes {
					for _, braced := range pass.Braced {
						if braced.Height.Known() {
							last = braced.Height
						}
					}
				}
				return optional(last, bow.Ruler().Print)
			},
		}, exactLengths(), func(b *model.Braced) *maybeLength { return &b.Height })},
		whole: func(_ *Sheet, b *model.Braced) error {
			if b.Readings.Any() {
				b.From = model.FromString
			}
			if !b.Height.Known() && !b.Readings.Any() {
				return errors.New("nothing was read: type the brace height or a gap")
			}
			return nil
		},
	}
	t.fields = append(t.fields, stationFields(story, model.FromString, in(here), false,
		func(b *model.Braced) *model.Readings { return &b.Readings })...)
	return t
}
