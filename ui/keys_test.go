package ui

import (
	"os"
	"strings"
	"testing"
)

// Help on keys names each letter and sign.
func TestHelpNamesEachKey(t *testing.T) {
	help, err := os.ReadFile("command/topics/keys.md")
	if err != nil {
		t.Fatal(err)
	}
	for key, name := range meanings {
		if !strings.Contains(string(help), "`"+key+"`") {
			t.Errorf("help keys doesn't name %s, %s", key, name)
		}
	}
}
