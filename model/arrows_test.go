package model_test

import (
	"os/exec"
	"strings"
	"testing"
)

// The arrows between the rooms point one way: main → ui → session → model and main → storage → model. Tests may cross
// them, to see whether the rooms fit.
func TestTheArrowsBetweenTheRoomsPointOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "bendbook/...").Output()
	if err != nil {
		t.Fatalf("listing the packages: %v", err)
	}
	rooms := map[string][]string{ // a room's packages may import those of these rooms
		"model": {"model"}, "session": {"session", "model"}, "storage": {"storage", "model"},
		"ui": {"ui", "session", "model"}, "main": {"ui", "session", "storage", "model"},
	}
	// What a room has no business with, whatever the way it comes by it.
	foreign := map[string][]string{
		"model":   {"os", "time/tzdata", "go.etcd.io/bbolt", "github.com/charmbracelet/bubbletea"},
		"session": {"os", "go.etcd.io/bbolt", "github.com/charmbracelet/bubbletea", "github.com/charmbracelet/lipgloss"},
		"storage": {"github.com/charmbracelet/bubbletea", "github.com/charmbracelet/lipgloss"},
	}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		from := words[0]
		for _, to := range words[1:] {
			for _, banned := range foreign[room(from)] {
				if to == banned {
					t.Errorf("%s imports %s", from, to)
				}
			}
			if !strings.HasPrefix(to, "bendbook/") {
				continue
			}
			allowed := false
			for _, r := range rooms[room(from)] {
				allowed = allowed || r == room(to)
			}
			if !allowed {
				t.Errorf("%s imports %s: that arrow points the wrong way", from, to)
			}
		}
	}
}

// room is the first part of a package's path within the module; main for the module itself.
func room(path string) string {
	if path == "bendbook" {
		return "main"
	}
	name, _, _ := strings.Cut(strings.TrimPrefix(path, "bendbook/"), "/")
	return name
}
