package finish

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
)

// Value is how a setting stands.
func (t Setting) Value(s Settings) string {
	if t.Stage >= 0 {
		return t.stage(s)
	}
	var parts []string
	for _, f := range t.Fields {
		if value := f.Print(s); value != "" {
			parts = append(parts, value)
		}
	}
	return strings.Join(parts, " / ")
}

// stage is what a stage has beside its name.
func (t Setting) stage(s Settings) string {
	none := Settings{Stages: make([]Stage, t.Stage+1)}
	var parts []string
	for _, f := range t.Fields {
		if value := f.Print(s); f.told != "" && value != f.Print(none) {
			parts = append(parts, strings.ReplaceAll(f.told, "%s", value))
		}
	}
	return strings.Join(parts, ", ")
}

// Usual says whether a setting stands as it does to begin with.
func (t Setting) Usual(s, usual Settings) bool {
	if t.Stage < 0 {
		return t.Value(t.inUnits(usual, s)) == t.Value(s)
	}
	same := func(u Stage) bool { return fmt.Sprint(u) == fmt.Sprint(s.Stages[t.Stage]) }
	return slices.ContainsFunc(usual.Stages, same)
}

// inUnits are usual settings in the shop's units, except where those are the setting: a pound stays a pound.
func (t Setting) inUnits(usual, s Settings) Settings {
	if t.Group != "units" {
		usual.Units = s.Units
	}
	return usual
}

// AsUsual are the settings with this one, which is no stage, as it is to begin with.
func (t Setting) AsUsual(s Settings) Settings {
	fields := make(map[string]string)
	for _, f := range t.Fields {
		fields[f.Path] = f.Print(t.inUnits(Usual(), s))
	}
	s, _ = t.Change(s, func(path string) string { return fields[path] }) // what is usual can be set
	return s
}

// Change are the settings with the answers to this one's fields, which are not checked.
func (t Setting) Change(s Settings, answer func(path string) string) (Settings, error) {
	s = s.Clone()
	for _, f := range t.Fields {
		if err := f.Parse(&s, answer(f.Path)); err != nil {
			return s, err
		}
	}
	empty := func(line string) bool { return line == "" }
	s.Card.Facts, s.Card.Care = slices.DeleteFunc(s.Card.Facts, empty), slices.DeleteFunc(s.Card.Care, empty)
	return s, nil
}

// Insert puts a stage without a name before another, for a form to fill in.
func (s Settings) Insert(at int) (Settings, Setting) {
	s.Stages = slices.Insert(slices.Clone(s.Stages), at, Stage{})
	table := s.Table()
	return s, table[len(table)-len(s.Stages)+at]
}

// Remove leaves out a stage. The error says why a shop cannot do without it.
func (s Settings) Remove(at int) (Settings, error) {
	s.Stages = slices.Delete(slices.Clone(s.Stages), at, at+1)
	return s, s.Check()
}

// Move sets a stage at another's place, where there is one. The error says why it cannot stand there.
func (s Settings) Move(at, to int) (Settings, error) {
	if to < 0 || to >= len(s.Stages) {
		return s, nil
	}
	stages := slices.Delete(slices.Clone(s.Stages), at, at+1)
	s.Stages = slices.Insert(stages, to, s.Stages[at])
	return s, s.Check()
}

// Check says whether a shop can work by the settings. The error is a *model.FieldError.
func (s Settings) Check() error {
	const mostLines = 60 // against slips of the hand
	if len(s.Card.Facts) > mostLines || len(s.Card.Care) > mostLines {
		return model.Fault("card", "expected lists of %d lines at most", mostLines)
	}
	for _, setting := range s.Table() {
		for _, field := range setting.Fields {
			if want := field.Want(s); want != "" {
				return model.Fault(field.Path, "%s", want)
			}
		}
	}
	return s.checkStages()
}

// checkStages judges the stages one by another.
func (s Settings) checkStages() error {
	const most = 60
	if len(s.Stages) == 0 || len(s.Stages) > most {
		return model.Fault("stages", "expected from 1 to %d stages", most)
	}
	names, seen := map[string]bool{}, map[Sign]bool{}
	for i, stage := range s.Stages {
		at, name := fmt.Sprintf("stages[%d]", i), strings.ToLower(stage.Name)
		switch {
		case names[name]:
			return model.Fault(at+".name", "%q stands twice", stage.Name)
		case stage.Seen != "" && seen[stage.Seen]:
			return model.Fault(at+".seen", "%q stands twice", string(stage.Seen))
		case seen[SignAway] && !stage.afterwards():
			return model.Fault(at, "it stands after the handing over, but belongs before it")
		case stage.Coats > 0 && len(stage.Grits) > 0:
			return model.Fault(at, "a stage has coats or grits, not both")
		case len(stage.Grits) > 20:
			return model.Fault(at+".grits", "expected 20 grits at most")
		}
		for k, grit := range stage.Grits {
			if grit < 1 || grit > 10_000 || k > 0 && grit <= stage.Grits[k-1] {
				at = fmt.Sprintf("%s.grits[%d]", at, k)
				return model.Fault(at, "expected grits from coarse to fine, as 80, 120, 240")
			}
		}
		names[name], seen[stage.Seen] = true, true
	}
	if !seen[SignAway] {
		return model.Fault("stages", `expected one with "seen": "handed over": by it a bow leaves the shop`)
	}
	return nil
}
