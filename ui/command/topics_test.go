package command

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/session/form"
)

// Who asks for help on a line, a record or a table finds every kind of entry there.
func TestHelpNamesEveryKindOfEntry(t *testing.T) {
	for _, kind := range form.Kinds() {
		if !strings.Contains(topic("log"), strings.Fields(kind.Name)[0]) {
			t.Errorf("help log doesn't name %s", kind.Name)
		}
	}
	noRow := map[model.Kind]bool{model.KindVoid: true, model.KindEdit: true, model.KindRack: true}
	for _, kind := range model.Kinds() {
		if !strings.Contains(topic("record"), "`"+string(kind)+"`") {
			t.Errorf("help record doesn't name %s", kind)
		}
		if !noRow[kind] && !strings.Contains(topic("table"), string(kind)) {
			t.Errorf("help table doesn't name %s", kind)
		}
	}
}
