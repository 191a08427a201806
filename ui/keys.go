package ui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
)

// action is a key, what it does and what is said of it: the key line, the help and the README's table come from it.
type action struct {
	keys []string // as tea.KeyMsg.String spells them; the first is shown
	show string   // the key as it is shown; "" for the first of keys
	name string   // a word or two, for the key line
	long string   // a sentence, for the help
	// main says that the key stands on the key line, as far as there is room.
	main bool
	off  func() string // why it cannot be done now; "" or nil where it can
	do   func(msg tea.KeyMsg) move
}

func (a action) has(msg tea.KeyMsg) bool { return slices.Contains(a.keys, msg.String()) }

func (a action) why() string {
	if a.off == nil {
		return ""
	}
	return a.off()
}

func (a action) label() string {
	if a.show != "" {
		return a.show
	}
	return a.keys[0]
}

// keyLine is the bottom line: the keys of the screen that matter now.
func (a *App) keyLine() string {
	s := a.desk.Styles
	if a.help {
		return s.Quiet.Render("any key goes back")
	}
	var parts []string
	width := 0
	add := func(key, name string) {
		part := s.Accent.Render(key) + " " + name
		if w := ansi.StringWidth(part) + 2; width+w <= a.width-8 {
			parts, width = append(parts, part), width+w
		}
	}
	for _, action := range a.top().actions() {
		if action.main && action.why() == "" {
			add(action.label(), action.name)
		}
	}
	return strings.Join(append(parts, s.Accent.Render("?")+" help"), "  ")
}

// helpView explains the present screen in its own words.
func (a *App) helpView(width, height int) string {
	s := a.desk.Styles
	var lines []string
	for _, action := range a.top().actions() {
		text := action.long
		if why := action.why(); why != "" {
			text += " (Not now: " + why + ".)"
		}
		key := action.label()
		head := s.Accent.Render(key) + strings.Repeat(" ", max(1, 12-ansi.StringWidth(key)))
		for i, line := range strings.Split(ansi.Wordwrap(text, max(20, width-13), ""), "\n") {
			if i > 0 {
				head = strings.Repeat(" ", 12)
			}
			lines = append(lines, head+line)
		}
	}
	lines = append(lines, s.Accent.Render("ctrl+c")+"      Leave Bendbook from anywhere; what is half typed is kept.", "",
		s.Caution.Render("At the tree: stand clear of the line of the bow, never past its weight, do not hold at"),
		s.Caution.Render("full draw, ease down at a crack. Local rules and qualified teaching come first."))
	if len(lines) > height {
		lines = lines[:height]
	}
	return strings.Join(lines, "\n")
}
