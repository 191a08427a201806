package ui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/session"
)

// action is a key, what it does and what is said of it: the key line, the help and the README's table come from it.
type action struct {
	keys []string // as tea.KeyMsg.String spells them; the first is shown
	show string   // the key as it is shown; "" for the first of keys
	name string   // a word or two, for the key line
	long string   // a sentence, for the help
	more string   // a sentence to go on with; "" for none
	// main says that the key stands on the key line, as far as there is room.
	main bool
	off  func() string // why it cannot be done now; "" or nil where it can
	do   func() move
}

func (a action) has(msg tea.KeyMsg) bool { return slices.Contains(a.keys, msg.String()) }

func (a action) why() string {
	if a.off == nil {
		return ""
	}
	return a.off()
}

// explained is what the help says of it.
func (a action) explained() string {
	if a.more == "" {
		return a.long
	}
	return a.long + " " + a.more
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
		return s.Quiet.Render("up and down scroll; any other key goes back")
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
	return strings.Join(append(parts, fmt.Sprintf("%s help", s.Accent.Render("?"))), "  ")
}

// helpView explains the present screen in its own words.
func (a *App) helpView(width, height int) string {
	lines := a.helpLines(width)
	first := max(0, min(a.helpAt, len(lines)-height))
	return strings.Join(lines[first:min(first+height, len(lines))], "\n")
}

func (a *App) helpLines(width int) []string {
	s := a.desk.Styles
	const keyWidth = 13
	lines := append(strings.Split(ansi.Wordwrap(a.top().about(), width, ""), "\n"), "")
	for _, caution := range strings.Split(ansi.Wordwrap(session.Safety, width, ""), "\n") {
		lines = append(lines, s.Caution.Render(caution))
	}
	lines = append(lines, "")
	explain := func(key, text string) {
		head := s.Accent.Render(key) + strings.Repeat(" ", max(1, keyWidth-ansi.StringWidth(key)))
		for _, line := range strings.Split(ansi.Wordwrap(text, max(20, width-keyWidth), ""), "\n") {
			lines = append(lines, head+line)
			head = strings.Repeat(" ", keyWidth)
		}
	}
	for _, action := range a.top().actions() {
		text := action.explained()
		if why := action.why(); why != "" {
			text += " " + fmt.Sprintf("(Not now: %s.)", why)
		}
		explain(strings.Join(action.keys, " "), text)
	}
	explain("ctrl+c", "Leave Bendbook from anywhere; what is half typed is kept.")
	return lines
}

// scrollHelp scrolls the help, or says by false that the key closes it.
func (a *App) scrollHelp(msg tea.KeyMsg) bool {
	switch msg.Type {
	case tea.KeyUp:
		a.helpAt--
	case tea.KeyDown:
		a.helpAt++
	case tea.KeyPgUp:
		a.helpAt -= a.height - 6
	case tea.KeyPgDown:
		a.helpAt += a.height - 6
	default:
		return false
	}
	a.helpAt = max(0, a.helpAt)
	return true
}
