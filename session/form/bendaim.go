package form

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/plain"
	"bendbook/session"
)

// A bendChoice is an aim by what it is called here and in a record.
type bendChoice struct {
	says     string
	recorded string
}

// bendChoices are the aims that may be chosen: the named ones, the shapes of finished bows, and what the
// bow's aim is now, where that is none of these.
func (d description) bendChoices() []bendChoice {
	var choices []bendChoice
	for _, name := range aim.Names() {
		called, _ := session.SayAim(name)
		choices = append(choices, bendChoice{called, name})
	}
	add := func(says string, recorded string) {
		if !slices.ContainsFunc(choices, func(c bendChoice) bool { return c.says == says }) {
			choices = append(choices, bendChoice{says, recorded})
		}
	}
	for _, bow := range d.Finished {
		if bow.ID == d.was.ID {
			continue
		}
		says := aim.Like(session.NameOf(bow))
		if slices.ContainsFunc(choices, func(c bendChoice) bool { return c.says == says }) {
			says += fmt.Sprintf(" (%s)", plain.Line(bow.ID))
		}
		add(says, aim.Like(bow.ID))
	}
	if now := d.was.Aim.Bend; now != "" && !slices.ContainsFunc(choices,
		func(c bendChoice) bool { return c.recorded == now }) {
		add(plain.Line(now), now)
	}
	return choices
}

// bendField asks for the aim: how the limbs are to bend.
func (d description) bendField() field[model.Bow] {
	choices := d.bendChoices()
	var says []string
	for _, c := range choices {
		says = append(says, c.says)
	}
	named := len(aim.Names())
	hint := fmt.Sprintf("%s; as a finished bow, once the book has one", list(1, says[:named]))
	if len(says) > named {
		hint = fmt.Sprintf("%s, or as a finished bow: %s", list(1, says[:named]), list(named+1, says[named:]))
	}
	return field[model.Bow]{
		Question: Question{Name: "bend", Label: "bend", Group: "aim", Preset: says[0], Choices: says,
			Hint: hint},
		path: "aim.bend",
		print: func(_, bow model.Bow) string {
			for _, c := range choices {
				if c.recorded == bow.Aim.Bend {
					return c.says
				}
			}
			return ""
		},
		set: func(_ model.Bow, bow *model.Bow, text string) error {
			bow.Aim.Bend = ""
			for _, c := range choices {
				if c.says == text {
					bow.Aim.Bend = c.recorded
				}
			}
			return nil
		},
	}
}
