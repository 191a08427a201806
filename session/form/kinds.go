package form

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/session"
)

// Kinds are all kinds of entry, in the order in which they are offered.
func Kinds() []Kind {
	return []Kind{
		pullKind(),
		bracedKind(),
		blockKind(),
		relaxedKind(),
		scrapeKind(),
		shortenKind(),
		measureKind(),
		exerciseKind(),
		trackKind(),
		heatKind(),
		patchKind(),
		shotKind(),
		crackKind(),
		mendedKind(),
		noteKind(),
		stringKind(),
		weighKind(),
		moistureKind(),
		asideKind(),
		backKind(),
	}
}

func trackKind() Kind {
	twist := Question{
		Hint: "how far its tip is turned, in degrees or by eye, such as 2; Enter alone for none"}
	upper, lower := twist, twist
	upper.Name, lower.Name = "twist_upper", "twist_lower"
	return asksFor[model.Track](Kind{
		Name: "track", Reads: true, Caution: stringCaution,
		Line: "track OFFSET [left or right] [twist_upper DEGREES] [twist_lower DEGREES]",
		Long: "Enter how the string of the braced bow runs: how far off the handle's middle, and which way.",
	},
		Question{Name: "offset", must: true, Hint: "from the handle's middle to the string, such as {1/8in}"},
		Question{Name: "toward", Choices: model.Towards(), Hint: "1 left or 2 right, seen from the belly"},
		upper, lower)
}

func heatKind() Kind {
	return asksFor[model.Heat](Kind{
		Name: "heat", Caution: "Mind burns, steam and fumes; never heat a strung bow. Learn it from who knows.",
		Line: "heat LIMB FROM-TO setback, straighten, twist or toast [steam or dry] [reached LENGTH]",
		Long: "Enter a stretch that was set back, straightened, untwisted or toasted with heat.",
	}, stretch(
		Question{Name: "why", must: true, Choices: model.HeatedFor()},
		Question{Name: "with", Choices: model.HeatedWith()},
		Question{Name: "reached",
			Hint: "how far the nock stands behind the line now, such as {1in}; Enter alone for none"})...)
}

func patchKind() Kind {
	return asksFor[model.Patch](Kind{
		Name: "patch", Caution: dustCaution,
		Line: "patch LIMB FROM-TO backing, sinew, glue or handle",
		Long: "Enter what was put on a stretch: backing, sinew, glue or a longer handle. It may be stiffer there.",
	}, stretch(Question{Name: "what", must: true, Choices: model.Patches()})...)
}

func shotKind() Kind {
	return asksFor[model.Shot](Kind{
		Form: "shot", Name: "shot in", Caution: "Shoot at a safe butt; arrows weigh 10 grains a pound or more.",
		Line: "shot in ARROWS [GRAINS] [DRAW]",
		Long: "Enter how many arrows were shot to let it settle.",
	},
		Question{Name: "arrows", must: true, Preset: "30", Hint: "how many; 20 to 100 is common practice"},
		Question{Name: "grains", Hint: "what one arrow weighs, such as 450; Enter alone for unknown"},
		Question{Name: "draw", Hint: "how far they were drawn, such as {26in}"})
}

// ShotIn asks how many arrows were shot.
func ShotIn(story session.Story) *Sheet { return shotKind().Of(story) }

func crackKind() Kind {
	return asksFor[model.Crack](Kind{
		Key: "!", Name: "crack", Caution: "Ease it down, unstring it, and don't draw it again.",
		Line: "crack LIMB PLACE [splinter, chrysal or noise]",
		Long: "Enter a crack, a lifted splinter, a chrysal or a noise. The bow isn't drawn until it's mended.",
	}, askLimb(), askPlace(), Question{Name: "what", must: true, Choices: model.Flaws(),
		Preset: model.Flaws()[0]})
}

func mendedKind() Kind {
	return asks(Kind{
		Name: "mended", Caution: "In doubt, ask a bowyer who knows such damage. Draw it little by little.",
		Line: "mended [LIMB PLACE] how TEXT",
		Long: "Enter how a crack was made good. Only then may the bow be drawn again.",
	}, func(story session.Story, _ model.Mended) table[model.Mended] {
		limb, place := askLimb(), askPlace()
		if crack, cracked := story.Crack(); cracked {
			limb.Preset = crack.Limb.String()
			if place.Preset = exactLengths().say(story.Bow(), crack.Place); place.Preset != "" {
				place.Hint = "from the handle out, such as " + place.Preset
			}
		}
		return table[model.Mended]{asks: []Question{limb, place,
			{Name: "how", must: true, Hint: "how it was made good, such as glued and bound"}}}
	})
}

// askPlace asks for a place on a limb.
func askPlace() Question {
	return Question{Name: "place", Hint: "from the handle out, such as {14in}; Enter alone where you can't tell"}
}

// correctPrefix stands before the entry's id in the name of a correction.
const correctPrefix = "correct "

// Correct makes the sheet of an entry that was read or typed wrong, filled in. The story is the one without
// that entry, so that it is checked against what came before. ok is false for an entry that has no sheet.
func Correct(story session.Story, entry model.Entry) (s *Sheet, ok bool) {
	for _, kind := range slices.Backward(Kinds()) { // a row under a block, else a braced reading
		if kind.correct == nil {
			continue
		}
		if s, ok := kind.correct(story, entry.What); ok {
			s.Form, s.Title = correctPrefix+entry.ID, fmt.Sprintf("Correct: %s", s.Title)
			return s, true
		}
	}
	return nil, false
}
