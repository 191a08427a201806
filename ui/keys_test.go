package ui

import (
	"os"
	"strings"
	"testing"
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
