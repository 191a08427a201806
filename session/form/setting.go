package form

import "bendbook/model/finish"

// Setting asks for one of a shop's settings anew; its outcome has all settings. Each answer is judged by the
// settings that it would make.
func Setting(s finish.Settings, setting finish.Setting) *Sheet {
	made := func(sh *Sheet) (finish.Settings, error) {
		if !sh.any() {
			return s, nil // what is left as it was keeps its value to the last digit
		}
		to, err := setting.Change(s, sh.answer)
		if err == nil {
			err = pathless(to.Check())
		}
		return to, err
	}
	sh := newSheet("setting", "the shop's settings", func(sh *Sheet) (outcome, error) {
		to, err := made(sh)
		return outcome{Settings: to}, err
	})
	sh.of.Units = s.Units
	for _, f := range setting.Fields {
		q := Question{
			Name: f.Path, Label: f.Label, Group: setting.Group,
			Hint: f.Hint, Unit: f.Unit, Choices: f.Choices, must: f.Must,
			check: func(sh *Sheet, text string) error {
				return sh.supposing(f.Path, text, func() error {
					_, err := made(sh)
					return err
				})
			},
		}
		if q.Hint == "" {
			q.Hint = list(1, q.Choices)
		}
		if text := f.Print(s); text != "" {
			sh.answers[q.Name], sh.filled[q.Name] = text, text
		}
		sh.Questions = append(sh.Questions, q)
	}
	return sh
}

// AddStage asks for a new stage, which is to stand at the given place.
func AddStage(s finish.Settings, at int) *Sheet { return Setting(s.Insert(at)) }
