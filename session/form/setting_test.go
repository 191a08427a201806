package form

import (
	"reflect"
	"strings"
	"testing"

	"bendbook/model/finish"
	"bendbook/model/measure"
)

// settingNamed is a setting by its group and label.
func settingNamed(t *testing.T, s finish.Settings, group, label string) Setting {
	t.Helper()
	for _, setting := range Settings(s) {
		if setting.Group == group && setting.Label == label {
			return setting
		}
	}
	t.Fatalf("there is no setting %s, %s", group, label)
	return Setting{}
}

// Every setting says what it is and where it comes from, and stands as it did where its form is confirmed without a change.
func TestEverySettingIsExplainedAndStaysWhenItIsConfirmed(t *testing.T) {
	metric := finish.Usual()
	metric.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	metric.Stages = append([]finish.Stage(nil), metric.Stages...)
	metric.Stages[0].Rest = 90e9 * 60
	for name, s := range map[string]finish.Settings{"usual": finish.Usual(), "metric": metric} {
		for _, setting := range Settings(s) {
			if setting.Means == "" || setting.Source == "" || setting.Group == "" || setting.Label == "" {
				t.Errorf("%s: %+v explains nothing", name, setting)
			}
			if (name == "usual") && !setting.Usual {
				t.Errorf("%s, %s is said not to be usual", setting.Group, setting.Label)
			}
			o, err := setting.Change.Finish()
			if err != nil || !reflect.DeepEqual(o.Settings, s) {
				t.Errorf("%s: %s, %s is another when it is confirmed, or %v", name, setting.Group, setting.Label, err)
			}
			if setting.List == "" {
				if err := setting.AsUsual.Check(); err != nil {
					t.Errorf("%s: %s, %s as usual: %v", name, setting.Group, setting.Label, err)
				}
			}
		}
	}
}

func TestSettingsAreChangedAndRefusedWithAReason(t *testing.T) {
	for _, c := range []struct {
		group, label, answer string
		refused              string // part of the reason; "" where it is taken
		value                string
	}{
		{"units", "lengths", "cm", "expected", ""},
		{"units", "lengths", "cent", "", "centimetres"},
		{"units", "lengths", "inches", "", "inches"},
		{"units", "weights", "2", "", "kilograms"},
		{"units", "dates", "day", "", "day month year"},
		{"screen", "letters", "ascii", "", "ASCII"},
		{"screen", "colours", "16", "", "16"},
		{"mark", "text", "{weight}", "a weight says nothing without its draw", ""},
		{"mark", "text", "{weight} at {draw", "expected {weight} and {draw}", ""},
		{"mark", "text", "{weight} at {draw} {colour}", "{colour} is not known", ""},
		{"mark", "rounding", "up", "", "up"},
		{"mark", "rounded to", "0", "expected the step", ""},
		{"mark", "rounded to", "0,5", "", "0.5"},
		{"number", "pattern", "{day}", "{count}", ""},
		{"number", "first count", "1.5", "no whole number", ""},
		{"number", "first count", "12", "", "12"},
		{"allowances", "finishing takes", "0.5kg", "", "1.102"},
		{"allowances", "finishing takes", "-1", "expected a weight from 0", ""},
		{"allowances", "first use takes", "much", "not a measure", ""},
		{"order", "arrow limit", "70cm", "", "27.559"},
		{"order", "arrow limit", "0", "expected an arrow's length", ""},
		{"tree", "hold", "8", "", "8"},
		{"tree", "hold", "60", "longer at a draw sets the wood", ""},
		{"card", "maker", "Holm", "", "Holm"},
	} {
		setting := settingNamed(t, finish.Usual(), c.group, c.label)
		verdict := setting.Change.Answer(c.answer)
		if c.refused != "" {
			if verdict.State != Refused || !strings.Contains(verdict.Says, c.refused) {
				t.Errorf("%s, %s: %q is %+v", c.group, c.label, c.answer, verdict)
			}
			continue
		}
		o, err := setting.Change.Finish()
		if verdict.State != Taken || err != nil {
			t.Errorf("%s, %s: %q is %+v, %v", c.group, c.label, c.answer, verdict, err)
			continue
		}
		got := settingNamed(t, o.Settings, c.group, c.label)
		if got.Value != c.value || got.Usual {
			t.Errorf("%s, %s: %q is now %q, usual %v; want %q", c.group, c.label, c.answer, got.Value, got.Usual, c.value)
		}
		if back := settingNamed(t, got.AsUsual, c.group, c.label); !back.Usual {
			t.Errorf("%s, %s as usual is %q", c.group, c.label, back.Value)
		}
	}
}

// Stages are added, changed, moved and left out; what a shop cannot do without stays, with the reason.
func TestStagesOfAShop(t *testing.T) {
	s := finish.Usual()
	sh := Stages.Insert(s, 1)
	for _, answer := range []string{"glued", "", "", "", "", "", "12h"} {
		if v := sh.Answer(answer); v.State != Taken {
			t.Fatalf("%q: %+v", answer, v)
		}
	}
	o, err := sh.Finish()
	if err != nil || len(o.Settings.Stages) != len(s.Stages)+1 || o.Settings.Stages[1].Name != "glued" || o.Settings.Stages[1].Rest.Hours() != 12 {
		t.Fatalf("%v, %+v", err, o.Settings.Stages)
	}
	if len(finish.Usual().Stages) != len(s.Stages) || s.Stages[1].Name != "floor tiller" {
		t.Error("the settings before were changed too")
	}
	varnish := settingNamed(t, s, "stages", "varnish")
	varnish.Change.Go(4)
	if v := varnish.Change.Answer("41"); v.State != Refused || !strings.Contains(v.Says, "40 at most") {
		t.Errorf("%+v", v)
	}
	away := settingNamed(t, s, "stages", "handed over")
	if _, err := Stages.Remove(s, away.Place); err == nil || !strings.Contains(err.Error(), "leaves the shop") {
		t.Errorf("the handing over is left out: %v", err)
	}
	if _, err := Stages.Move(s, away.Place, 0); err == nil || !strings.Contains(err.Error(), "after the handing over") {
		t.Errorf("the handing over comes first: %v", err)
	}
	less, err := Stages.Remove(s, 0)
	if err != nil || len(less.Stages) != len(s.Stages)-1 || less.Stages[0].Name != "floor tiller" {
		t.Errorf("%v, %+v", err, less.Stages)
	}
	if lines, err := CardCare.Move(s, 0, 1); err != nil || lines.Card.Care[1] != s.Card.Care[0] || lines.Card.Care[0] != s.Card.Care[1] {
		t.Errorf("%v, %+v", err, lines.Card.Care)
	}
}

// A new bow takes the shop's units, whatever they are, and days in the shop's order.
func TestANewBowTakesTheShopsUnits(t *testing.T) {
	for _, units := range []measure.Units{
		measure.Imperial(), {Length: measure.Centimetre, Force: measure.KilogramForce}, {Length: measure.Centimetre, Force: measure.PoundForce},
	} {
		bow := described(t, NewBow(Practice{Units: units, Dates: "day-month-year"}), map[string]string{"name": "Ash", "upper": "34in", "due": "3.2.2027", "weight": "40lb"})
		if bow.Units != units || bow.Limbs[0].Length != 34 || bow.Order.Due != "2027-02-03" || bow.Order.Weight.Or(0) != 40 {
			t.Errorf("%v: %+v", units, bow)
		}
	}
}
