package form

import (
	"bendbook/model/finish"
)

// Setting is one of a shop's settings: how it stands, what it is, and how it is asked for anew.
type Setting struct {
	Group, Label string
	Value        string // how it stands; "" for nothing
	Usual        bool   // it stands as it does to begin with
	Means        string // what it is
	Source       string // where comes from what it is to begin with
	Change       *Sheet // asks for it anew; its outcome has all settings
	// AsUsual are all settings with this one as it is to begin with.
	AsUsual finish.Settings
	List    List // the list that it is a line of, "" for none
	Place   int  // in that list
}

// Settings are a shop's settings one by one, in the order of their document.
func Settings(s finish.Settings) []Setting {
	var all []Setting
	for _, c := range ofShop(s) {
		all = append(all, c.setting(s))
	}
	all = append(all, stageSettings(s)...)
	for _, list := range []List{CardFacts, CardCare} {
		all = append(all, lineSettings(s, list)...)
	}
	return all
}

// choice is a setting that one question asks for.
type choice struct {
	group, label, means, source string

	question Question
	print    func(finish.Settings) string
	set      func(s *finish.Settings, text string) error
}

func (c choice) setting(s finish.Settings) Setting {
	usual := finish.Usual()
	out := Setting{Group: c.group, Label: c.label, Value: c.print(s), Means: c.means, Source: c.source}
	// In the shop's own units, a pound stays a pound.
	usual.Units = s.Units
	if c.group == groupUnits {
		usual.Units = finish.Usual().Units
	}
	out.Usual = c.print(usual) == out.Value
	out.AsUsual = s
	// What is usual can be set.
	_ = c.set(&out.AsUsual, c.print(usual))
	q := c.question
	q.Name, q.Label, q.Group = "value", c.label, c.group
	out.Change = asking(s, []Question{q}, map[string]string{"value": out.Value}, func(sh *Sheet, to *finish.Settings) error {
		return c.set(to, sh.answer("value"))
	})
	return out
}

// asking is a sheet about some of a shop's settings, with what they say filled in. Each answer is judged by the settings that it would make.
func asking(s finish.Settings, questions []Question, filled map[string]string, set func(*Sheet, *finish.Settings) error) *Sheet {
	made := func(sh *Sheet) (finish.Settings, error) {
		to := s
		if !sh.Any() {
			return to, nil // what is left as it was keeps its value to the last digit
		}
		if err := set(sh, &to); err != nil {
			return to, err
		}
		return to, pathless(to.Check())
	}
	sh := newSheet("setting", "the shop's settings", questions, func(sh *Sheet) (Outcome, error) {
		to, err := made(sh)
		return Outcome{Settings: to}, err
	})
	sh.of.Units = s.Units
	for name, text := range filled {
		if text != "" {
			sh.answers[name], sh.filled[name] = text, text
		}
	}
	for i := range sh.Questions {
		q := &sh.Questions[i]
		q.check = func(sh *Sheet, text string) error {
			was, given := sh.answers[q.Name]
			defer func() {
				if given {
					sh.answers[q.Name] = was
				} else {
					delete(sh.answers, q.Name)
				}
			}()
			sh.answers[q.Name] = text
			_, err := made(sh)
			return err
		}
	}
	return sh
}
