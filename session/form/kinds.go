package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
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
	return asks(Kind{
		Name: "track", Reads: true, Caution: stringCaution,
		Line: "track OFFSET [left or right] [twist_upper DEGREES] [twist_lower DEGREES]",
		Long: "Enter how the string of the braced bow runs: how far off the handle's middle, and which way.",
	}, func(story session.Story, _ model.Track) table[model.Track] {
		bow := story.Bow()
		twist := func(side model.Side) field[model.Track] {
			return optionalField("twist_"+side.String(), Question{
				Hint: "how far its tip is turned, in degrees or by eye, such as 2; Enter alone for none"},
				simple(aNumber, parseNumber, plainNumber),
				func(t *model.Track) *measure.Optional[float64] { return &t.Twists[side] })
		}
		return table[model.Track]{fields: []field[model.Track]{
			valueField("offset", Question{Unit: string(bow.Units.Length), must: true,
				Hint: fmt.Sprintf("from the handle's middle to the string, such as %s",
					exampleLength(bow.Units.Length, 0.125))},
				exactLengths(), func(t *model.Track) *measure.Length { return &t.Offset }),
			textField("toward", Question{Choices: model.Towards(), Hint: "1 left or 2 right, seen from the belly"},
				func(t *model.Track) *string { return &t.Toward }),
			twist(model.Upper), twist(model.Lower),
		}}
	})
}

func heatKind() Kind {
	return asks(Kind{
		Name: "heat", Caution: "Mind burns, steam and fumes; never heat a strung bow. Learn it from who knows.",
		Line: "heat LIMB FROM-TO setback, straighten, twist or toast [steam or dry] [reached LENGTH]",
		Long: "Enter a stretch that was set back, straightened, untwisted or toasted with heat.",
	}, func(story session.Story, _ model.Heat) table[model.Heat] {
		bow := story.Bow()
		return table[model.Heat]{fields: append(stretchFields(bow,
			func(h *model.Heat) (*model.Side, *measure.Length, *measure.Length) { return &h.Limb, &h.From, &h.To }),
			textField("why", Question{must: true, Choices: model.HeatedFor()},
				func(h *model.Heat) *string { return &h.Why }),
			textField("with", Question{Choices: model.HeatedWith()},
				func(h *model.Heat) *string { return &h.With }),
			optionalField("reached", Question{Unit: string(bow.Units.Length),
				Hint: fmt.Sprintf("how far the nock stands behind the line now, such as %s; Enter alone for none",
					exampleLength(bow.Units.Length, 1))},
				exactLengths(), func(h *model.Heat) *maybeLength { return &h.Reached }),
		)}
	})
}

func patchKind() Kind {
	return asks(Kind{
		Name: "patch", Caution: dustCaution,
		Line: "patch LIMB FROM-TO backing, sinew, glue or handle",
		Long: "Enter what was put on a stretch: backing, sinew, glue or a longer handle. It may be stiffer there.",
	}, func(story session.Story, _ model.Patch) table[model.Patch] {
		return table[model.Patch]{fields: append(stretchFields(story.Bow(),
			func(p *model.Patch) (*model.Side, *measure.Length, *measure.Length) { return &p.Limb, &p.From, &p.To }),
			textField("what", Question{must: true, Choices: model.Patches()},
				func(p *model.Patch) *string { return &p.What }))}
	})
}

func shotKind() Kind {
	return asks(Kind{
		Form: "shot", Name: "shot in", Caution: "Shoot at a safe butt; arrows weigh 10 grains a pound or more.",
		Line: "shot in ARROWS [GRAINS] [DRAW]",
		Long: "Enter how many arrows were shot to let it settle.",
	}, func(story session.Story, _ model.Shot) table[model.Shot] {
		bow := story.Bow()
		return table[model.Shot]{fields: []field[model.Shot]{
			valueField("arrows", Question{must: true, Preset: "30", Hint: "how many; 20 to 100 is common practice"},
				counts(1, 100_000), func(s *model.Shot) *int { return &s.Arrows }),
			optionalField("grains", Question{Hint: "what one arrow weighs, such as 450; Enter alone for unknown"},
				simple(aNumber, parseNumber, plainNumber),
				func(s *model.Shot) *measure.Optional[float64] { return &s.Grains }),
			optionalField("draw", Question{Unit: string(bow.Units.Length),
				Hint: fmt.Sprintf("how far they were drawn, such as %s", exampleLength(bow.Units.Length, 26))},
				exactLengths(), func(s *model.Shot) *maybeLength { return &s.Draw }),
		}}
	})
}

// ShotIn asks how many arrows were shot.
func ShotIn(story session.Story) *Sheet { return shotKind().Of(story) }

func crackKind() Kind {
	return asks(Kind{
		Key: "!", Name: "crack", Caution: "Ease it down, unstring it, and don't draw it again.",
		Line: "crack LIMB PLACE [splinter, chrysal or noise]",
		Long: "Enter a crack, a lifted splinter, a chrysal or a noise. The bow isn't drawn until it's mended.",
	}, func(story session.Story, _ model.Crack) table[model.Crack] {
		return table[model.Crack]{fields: []field[model.Crack]{
			limbField(Question{}, func(c *model.Crack) *model.Side { return &c.Limb }),
			placeField(story.Bow(), Question{}, func(c *model.Crack) *maybeLength { return &c.Place }),
			textField("what", Question{must: true, Choices: model.Flaws(), Preset: model.Flaws()[0]},
				func(c *model.Crack) *string { return &c.What }),
		}}
	})
}

func mendedKind() Kind {
	return asks(Kind{
		Name: "mended", Caution: "In doubt, ask a bowyer who knows such damage. Draw it little by little.",
		Line: "mended [LIMB PLACE] how TEXT",
		Long: "Enter how a crack was made good. Only then may the bow be drawn again.",
	}, func(story session.Story, _ model.Mended) table[model.Mended] {
		limb, place := Question{}, Question{}
		if crack, cracked := story.Crack(); cracked {
			limb.Preset, place.Preset = crack.Limb.String(), exactLengths().say(story.Bow(), crack.Place)
		}
		return table[model.Mended]{fields: []field[model.Mended]{
			limbField(limb, func(m *model.Mended) *model.Side { return &m.Limb }),
			placeField(story.Bow(), place, func(m *model.Mended) *maybeLength { return &m.Place }),
			textField("how", Question{must: true, Hint: "how it was made good, such as glued and bound"},
				func(m *model.Mended) *string { return &m.How }),
		}}
	})
}

// placeField asks for a place on a limb.
func placeField[T any](bow model.Bow, q Question, at func(*T) *maybeLength) field[T] {
	q.Unit = string(bow.Units.Length)
	q.Hint = fmt.Sprintf("from the handle out, such as %s; Enter alone where you can't tell",
		exampleLength(bow.Units.Length, 14))
	if q.Preset != "" {
		q.Hint = fmt.Sprintf("from the handle out, such as %s", q.Preset)
	}
	return optionalField("place", q, exactLengths(), at)
}

// correctPrefix stands before the entry's id in the name of a correction.
const correctPrefix = "correct "

// Correct makes the sheet of an entry that was read or typed wrong, filled in. The story is the one without
// that entry, so that it is checked against what came before. ok is false for an entry that has no sheet.
func Correct(story session.Story, entry model.Entry) (s *Sheet, ok bool) {
	for _, kind := range Kinds() {
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
