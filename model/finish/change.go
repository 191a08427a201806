package finish

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
)

// Value is the setting in words; for a stage, all but its name.
func (t Setting) Value(s Settings) string {
	none, between := Settings{Stages: make([]Stage, t.Stage+1)}, " / "
	if t.Stage >= 0 {
		between = ", "
	}
	var parts []string
	for _, f := range t.Fields {
		switch value := f.Print(s); {
		case t.Stage < 0 && value != "":
			parts = append(parts, value)
		case f.told != "" && value != f.Print(none):
			parts = append(parts, strings.ReplaceAll(f.told, "%s", value))
		}
	}
	return strings.Join(parts, between)
}

// Usual reports whether the setting is as it was to begin with.
func (t Setting) Usual(s, usual Settings) bool {
	if t.Stage < 0 {
		return t.Value(t.copied(s, usual)) == t.Value(s)
	}
	same := func(u Stage) bool { return fmt.Sprint(u) == fmt.Sprint(s.Stages[t.Stage]) }
	return slices.ContainsFunc(usual.Stages, same)
}

// AsUsual sets this setting, which isn't a stage, back to what it was to begin with.
func (t Setting) AsUsual(s Settings) Settings { return t.copied(s, Usual()) }

// copied takes this setting, which isn't a stage, from other settings.
func (t Setting) copied(s, from Settings) Settings {
	s = s.clone()
	for _, f := range t.Fields {
		lookup(&s, f.Path).Set(lookup(&from, f.Path))
		if f.every != "" {
			lookup(&s, f.every).Set(lookup(&from, f.every))
		}
	}
	return s.compact()
}

// Change sets this setting's fields to the answers, which Check judges.
func (t Setting) Change(s Settings, answer func(path string) string) (Settings, error) {
	s = s.clone()
	for _, f := range t.Fields {
		if err := f.parse(&s, answer(f.Path)); err != nil {
			return s, err
		}
	}
	return s.compact(), nil
}

// clone copies the lists, so that they can be changed.
func (s Settings) clone() Settings {
	s.Stages = slices.Clone(s.Stages)
	s.Card.Facts, s.Card.Care = slices.Clone(s.Card.Facts), slices.Clone(s.Card.Care)
	return s
}

// compact leaves out empty lines of the card.
func (s Settings) compact() Settings {
	empty := func(line string) bool { return line == "" }
	s.Card.Facts, s.Card.Care = slices.DeleteFunc(s.Card.Facts, empty), slices.DeleteFunc(s.Card.Care, empty)
	return s
}

// Insert puts a nameless stage before another, for a form to fill in.
func (s Settings) Insert(at int) (Settings, Setting) {
	s.Stages = slices.Insert(slices.Clone(s.Stages), at, Stage{})
	table := s.Table()
	return s, table[len(table)-len(s.Stages)+at]
}

// Remove leaves out a stage. The error says why a shop needs it.
func (s Settings) Remove(at int) (Settings, error) {
	s.Stages = slices.Delete(slices.Clone(s.Stages), at, at+1)
	return s, s.Check()
}

// Move puts a stage in another's place, if there is one. The error says why it can't stand there.
func (s Settings) Move(at, to int) (Settings, error) {
	if to < 0 || to >= len(s.Stages) {
		return s, nil
	}
	rest := slices.Delete(slices.Clone(s.Stages), at, at+1)
	s.Stages = slices.Insert(rest, to, s.Stages[at])
	return s, s.Check()
}

// mostRows is how many lines or stages a list may have, against slips of the hand.
const mostRows = 60

// Check reports whether a shop can work by the settings. The error is a *model.FieldError.
func (s Settings) Check() error {
	if len(s.Card.Facts) > mostRows || len(s.Card.Care) > mostRows {
		return model.Fault("card", "write lists of %d lines at most", mostRows)
	}
	for _, setting := range s.Table() {
		for _, field := range setting.Fields {
			if want := field.wants(s); want != "" {
				return model.Fault(field.Path, "%s", want)
			}
		}
	}
	return s.checkStages()
}

func (s Settings) checkStages() error {
	if len(s.Stages) == 0 || len(s.Stages) > mostRows {
		return model.Fault("stages", "write 1 to %d stages", mostRows)
	}
	names, seen := map[string]bool{}, map[sign]bool{}
	for i, stage := range s.Stages {
		at, name := fmt.Sprintf("stages[%d]", i), strings.ToLower(stage.Name)
		switch {
		case names[name]:
			return model.Fault(at+".name", "%q stands twice", stage.Name)
		case stage.Seen != "" && seen[stage.Seen]:
			return model.Fault(at+".seen", "%q stands twice", string(stage.Seen))
		case seen[SignAway] && !stage.afterwards():
			return model.Fault(at, "it stands after the handing over, but belongs before it")
		}
		if err := stage.checkGrits(at); err != nil {
			return err
		}
		names[name], seen[stage.Seen] = true, true
	}
	if !seen[SignAway] {
		return model.Fault("stages", `give one "seen": "handed over": so a bow leaves the shop`)
	}
	return nil
}

func (s Stage) checkGrits(at string) error {
	switch {
	case s.Coats > 0 && len(s.Grits) > 0:
		return model.Fault(at, "a stage has coats or grits, not both")
	case len(s.Grits) > 20:
		return model.Fault(at+".grits", "write 20 grits at most")
	}
	for k, grit := range s.Grits {
		if grit < 1 || grit > 10_000 || k > 0 && grit <= s.Grits[k-1] {
			at = fmt.Sprintf("%s.grits[%d]", at, k)
			return model.Fault(at, "go from coarse to fine, as 80, 120, 240")
		}
	}
	return nil
}
