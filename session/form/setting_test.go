package form

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"bendbook/model/finish"
)

// settingNamed is a setting by its group and label.
func settingNamed(t *testing.T, s finish.Settings, group, label string) finish.Setting {
	t.Helper()
	table := s.Table()
	at := slices.IndexFunc(table, func(s finish.Setting) bool { return s.Group == group && s.Label == label })
	if at < 0 {
		t.Fatalf("there is no setting %s, %s", group, label)
	}
	return table[at]
}

// Every setting says what it is and where it comes from, and stays where its form is confirmed unchanged.
func TestEverySettingIsExplainedAndStaysWhenItIsConfirmed(t *testing.T) {
	other := finish.Usual()
	other.Units, other.Stages = metric, slices.Clone(other.Stages)
	other.Stages[0].Rest = 1.5
	for name, s := range map[string]finish.Settings{"usual": finish.Usual(), "metric": other} {
		for _, setting := range s.Table() {
			if setting.Means == "" || setting.Source == "" || setting.Group == "" || setting.Label == "" {
				t.Errorf("%s: %+v explains nothing", name, setting)
			}
			if (name == "usual") && !setting.Usual(s, finish.Usual()) {
				t.Errorf("%s, %s is said not to be usual", setting.Group, setting.Label)
			}
			o, err := Setting(s, setting).Finish()
			if err != nil || !reflect.DeepEqual(o.Settings, s) {
				t.Errorf("%s: %s, %s is another when it is confirmed, or %v", name, setting.Group, setting.Label, err)
			}
			if setting.Stage < 0 {
				if err := setting.AsUsual(s).Check(); err != nil {
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
		{"units", "lengths", "cm", "choose", ""},
		{"units", "lengths", "cent", "", "centimetres"},
		{"units", "weights", "2", "", "kilograms"},
		{"units", "dates", "day", "", "day month year"},
		{"screen", "letters", "ascii", "", "ASCII"},
		{"mark", "text", "{weight}", "a weight means nothing without its draw", ""},
		{"mark", "text", "{weight} at {draw} {colour}", "{colour} is not known", ""},
		{"mark", "rounded to", "0", "type a step", ""},
		{"number", "pattern", "{day}", "{count}", ""},
		{"number", "first count", "1.5", "isn't a whole number", ""},
		{"allowances", "finishing takes", "3%", "", "3"},
		{"allowances", "finishing takes", "-1", "type a percentage from 0", ""},
		{"allowances", "first use takes", "much", "isn't a number", ""},
		{"tree", "scale hangs", "on", "", "on the hauling rope"},
		{"tree", "reads high by", "44 40", "", "10"},
		{"tree", "reads high by", "30 40", "type a percentage", ""},
		{"tree", "tare", "1/2", "", "1/2lb"},
		{"tree", "tare", "-1", "type a weight", ""},
		{"tree", "hook off middle", "-6mm", "", "-6mm"},
		{"tree", "hook off middle", "9", "3 in at most", ""},
		{"tree", "line", "moves", "", "moves with the bow"},
		{"tree", "hold", "60", "type 1 to 30 seconds", ""},
		{"card", "maker", "Holm", "", "Holm"},
	} {
		sh := Setting(finish.Usual(), settingNamed(t, finish.Usual(), c.group, c.label))
		reply := sh.Answer(c.answer)
		if c.refused != "" {
			if reply.State != Refused || !strings.Contains(reply.Says, c.refused) {
				t.Errorf("%s, %s: %q is %+v", c.group, c.label, c.answer, reply)
			}
			continue
		}
		o, err := sh.Finish()
		if reply.State != Taken || err != nil {
			t.Errorf("%s, %s: %q is %+v, %v", c.group, c.label, c.answer, reply, err)
			continue
		}
		got := settingNamed(t, o.Settings, c.group, c.label)
		if value := got.Value(o.Settings); value != c.value || got.Usual(o.Settings, finish.Usual()) {
			t.Errorf("%s, %s: %q is now %q or said to be usual; want %q", c.group, c.label, c.answer, value, c.value)
		}
		back := got.AsUsual(o.Settings)
		if setting := settingNamed(t, back, c.group, c.label); !setting.Usual(back, finish.Usual()) {
			t.Errorf("%s, %s as usual is %q", c.group, c.label, setting.Value(back))
		}
	}
}

// Stages are added, changed, moved and left out; what a shop cannot do without stays, with the reason.
func TestStagesOfAShop(t *testing.T) {
	s := finish.Usual()
	sh := AddStage(s, 1)
	answered(t, sh, "glued", "", "", "", "", "", "12h")
	more := must(sh.Finish())(t).Settings.Stages
	if len(more) != len(s.Stages)+1 || more[1].Name != "glued" || more[1].Rest != 12 {
		t.Fatalf("%+v", more)
	}
	if len(finish.Usual().Stages) != len(s.Stages) || s.Stages[1].Name != "floor tiller" {
		t.Error("the settings before were changed too")
	}
	coats := Setting(s, settingNamed(t, s, "stages", "varnish"))
	coats.goTo(4)
	if v := coats.Answer("41"); v.State != Refused || !strings.Contains(v.Says, "40 at most") {
		t.Errorf("%+v", v)
	}
	away := settingNamed(t, s, "stages", "handed over")
	if _, err := s.Remove(away.Stage); err == nil || !strings.Contains(err.Error(), "leaves the shop") {
		t.Errorf("the handing over is left out: %v", err)
	}
	if _, err := s.Move(away.Stage, 0); err == nil || !strings.Contains(err.Error(), "after the handing over") {
		t.Errorf("the handing over comes first: %v", err)
	}
	less, err := s.Remove(0)
	if err != nil || len(less.Stages) != len(s.Stages)-1 || less.Stages[0].Name != "floor tiller" {
		t.Errorf("%v, %+v", err, less.Stages)
	}
}

// A line of the card is changed, emptied to leave it out, or added behind the last.
func TestLinesOfTheCard(t *testing.T) {
	s := finish.Usual()
	care := settingNamed(t, s, "card", "how it is kept")
	sh := Setting(s, care)
	answered(t, sh, "Keep it dry.", "")
	sh.goTo(len(sh.Questions) - 1)
	sh.Answer("Oil it.")
	o, err := sh.Finish()
	want := append(append([]string{"Keep it dry."}, s.Card.Care[2:]...), "Oil it.")
	if err != nil || !slices.Equal(o.Settings.Card.Care, want) || care.Usual(o.Settings, s) {
		t.Errorf("%v, %q; want %q", err, o.Settings.Card.Care, want)
	}
	back := settingNamed(t, o.Settings, "card", "how it is kept").AsUsual(o.Settings)
	if !slices.Equal(back.Card.Care, s.Card.Care) {
		t.Errorf("as usual it is %q", back.Card.Care)
	}
}
