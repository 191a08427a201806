package form

import (
	"fmt"

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
		crackKind(),
		mendedKind(),
		noteKind(),
		stringKind(),
		weighKind(),
		moistureKind(),
	}
}

func crackKind() Kind {
	return asks(Kind{
		Key: "!", Name: "crack", Caution: "Ease it down, unstring it, and don't draw it again.",
		Long: "Enter a crack, a lifted splinter, a chrysal or a noise. The bow isn't drawn until it's mended.",
	}, func(story session.Story, _ model.Crack) table[model.Crack] {
		return table[model.Crack]{fields: []field[model.Crack]{
			limbField(Question{}, func(c *model.Crack) *model.Side { return &c.Limb }),
			placeField(story.Bow(), Question{}, func(c *model.Crack) *maybeLength { return &c.Place }),
			textField("what", Question{must: true, Choices: model.Flaws(), Preset: model.Flaws()[0],
				Hint: "1 crack, 2 splinter, 3 chrysal or 4 noise"},
				func(c *model.Crack) *string { return &c.What }),
		}}
	})
}

func mendedKind() Kind {
	return asks(Kind{
		Name: "mended", Caution: "In doubt, ask a bowyer who knows such damage. Draw it little by little.",
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
