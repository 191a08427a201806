package ui

import (
	"os"
	"strings"
	"testing"

	"bendbook/ui/command/topics"
)

// Help on keys names each letter and sign, and none means what another does.
func TestHelpNamesEachKey(t *testing.T) {
	help, err := os.ReadFile("command/topics/keys.md")
	if err != nil {
		t.Fatal(err)
	}
	keys := make(map[string]string)
	for key, name := range meanings {
		if other := keys[name]; other != "" {
			t.Errorf("%s and %s both mean %s", key, other, name)
		}
		keys[name] = key
		if !strings.Contains(string(help), "`"+key+"`") {
			t.Errorf("help keys doesn't name %s, %s", key, name)
		}
	}
}

// The help of a screen shows the topics that belong to it behind its keys; each topic stands behind one.
func TestEachTopicOpensFromItsScreen(t *testing.T) {
	shown := map[string]bool{}
	for _, p := range pages() {
		for _, name := range topicsOf(p.name) {
			shown[name] = true
		}
	}
	for _, name := range topics.Names() {
		if !shown[name] {
			t.Errorf("no screen's help shows %s", name)
		}
	}
	h := atThePlan(t)
	h.press("?", "end")
	h.see("Choose a stretch with the arrows", "It stops where the bow bends evenly")
	h.fits(80, 24)
}
