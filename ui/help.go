package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/session"
	"bendbook/ui/command/topics"
	"bendbook/ui/look"
)

// helpScreen explains the screen under it in its own words. It scrolls; any other key closes it.
type helpScreen struct {
	reader
	of screen
}

func newHelp(s look.Styles, of screen) *helpScreen {
	return &helpScreen{of: of, reader: reader{lay: func(width int) string { return helpText(s, of, width) }}}
}

func helpText(s look.Styles, of screen, width int) string {
	const keyWidth = 13
	paragraph := func(text string, width int) []string {
		return strings.Split(ansi.Wordwrap(text, width, ""), "\n")
	}
	lines := paragraph(of.about(), width)
	var titles []string
	for _, name := range of.topics() {
		titles = append(titles, topics.Title(name))
	}
	if len(titles) > 0 {
		lines = append(lines, paragraph("Below the keys: "+strings.Join(titles, "; ")+".", width)...)
	}
	lines = append(lines, "")
	for _, caution := range paragraph(session.Safety, width) {
		lines = append(lines, s.Caution.Render(caution))
	}
	explain := func(key, text string) {
		head := s.Accent.Render(key) + strings.Repeat(" ", max(0, keyWidth-ansi.StringWidth(key)))
		if ansi.StringWidth(key) >= keyWidth {
			lines, head = append(lines, head), strings.Repeat(" ", keyWidth)
		}
		for _, line := range paragraph(text, max(20, width-keyWidth)) {
			lines = append(lines, head+line)
			head = strings.Repeat(" ", keyWidth)
		}
	}
	for _, in := range []group{reads, writes, looks, leaves} {
		head := []string{"", s.Strong.Render(cmp.Or(string(in), "Look"))}
		for _, a := range of.actions() {
			if a.in != in {
				continue
			}
			lines, head = append(lines, head...), nil
			text := a.long
			if why := a.why(); why != "" {
				text += fmt.Sprintf(" (Not now: %s.)", why)
			}
			explain(cmp.Or(a.keys, ": "+a.name), text)
		}
	}
	explain(": ctrl+k", "Find a key by what it does.")
	explain("ctrl+z", "Go back to the shell; fg brings Bendbook back.")
	explain("ctrl+c", "Leave Bendbook from anywhere; half-typed forms are kept.")
	for _, name := range of.topics() {
		lines = append(lines, s.Rule(width), s.Strong.Render(topics.Title(name)))
		for _, line := range strings.Split(topics.Text(name), "\n") {
			if line != "# "+topics.Title(name) {
				lines = append(lines, paragraph(line, width)...)
			}
		}
	}
	return strings.Join(lines, "\n")
}

// topicsOf are the help topics that belong to a page.
func topicsOf(page string) []string {
	return strings.Fields(map[string]string{
		toRack: "first-bow keys files recovery", toBench: "verdict reading", toForm: "reading photo",
		toHold: "reading photo", toFinish: "finishing", toCard: "finishing", toSettings: "settings",
		"summary": "table record", "plan": "plan", "entries": "log",
		toCompare: "numbers", "story": "numbers", "advice": "numbers", "what if": "numbers",
	}[page])
}

func (h *helpScreen) title() (name, what, right string) {
	name, what, _ = h.of.title()
	return name, what, "help"
}

func (h *helpScreen) idle() string { return h.of.idle() }

func (h *helpScreen) actions() []action {
	other := action{keys: "any", show: "any other key", name: "back", main: true, do: goBack}
	return append(h.scrolling(), other)
}

// typing closes the help with each key that doesn't scroll it.
func (h *helpScreen) typing(msg tea.KeyMsg) (move, bool) {
	if slices.ContainsFunc(h.scrolling(), func(a action) bool { return a.has(msg) }) {
		return move{}, false
	}
	return goBack(), true
}
