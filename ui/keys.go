package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/session"
	"bendbook/ui/look"
)

// action is a key and what it does. Footer, help screen and README table come from the same data.
type action struct {
	keys []string      // as tea.KeyMsg.String spells them; the first is shown
	show string        // the key as it is shown; "" for the first of keys
	name string        // a word or two, for the footer
	long string        // a sentence or two, for the help
	main bool          // stands in the footer, as far as there is room
	off  func() string // why it can't be done now; "" or nil where it can
	do   func() move
}

func (a action) has(msg tea.KeyMsg) bool { return slices.Contains(a.keys, msg.String()) }

func (a action) why() string {
	if a.off == nil {
		return ""
	}
	return a.off()
}

// names are the keys as they are spelled out.
func (a action) names() []string {
	names := slices.Clone(a.keys)
	if i := slices.Index(names, " "); i >= 0 {
		names[i] = "space"
	}
	return names
}

// then is an action that stays on the screen.
func then(do func()) func() move { return func() move { do(); return move{} } }

// by is an action that takes a step.
func by(n int, step func(int)) func() move { return then(func() { step(n) }) }

func goBack() move { return move{back: true} }

// back closes the screen.
func back(long string) action {
	return action{keys: []string{"esc", "q"}, name: "back", main: true, long: long, do: goBack}
}

// footer is the bottom line: the main keys of the screen that can be pressed now, as far as there is room.
func footer(s look.Styles, of screen, width int) string {
	var parts []string
	add := func(key, name string) {
		part := s.Accent.Render(key) + " " + name
		if w := ansi.StringWidth(part) + 2; w <= width {
			parts, width = append(parts, part), width-w
		}
	}
	const help = 8 // what the last key takes
	width -= help
	for _, a := range of.actions() {
		if a.main && a.why() == "" {
			add(cmp.Or(a.show, a.keys[0]), a.name)
		}
	}
	if _, is := of.(*helpScreen); !is {
		width += help
		add("?", "help")
	}
	return strings.Join(parts, "  ")
}

// helpScreen explains the screen under it in its own words. It scrolls; any other key closes it.
type helpScreen struct {
	reader
	of screen
}

func newHelp(s look.Styles, of screen) *helpScreen {
	h := &helpScreen{of: of}
	h.lay = func(width int) string { return strings.Join(helpLines(s, of, width), "\n") }
	return h
}

func helpLines(s look.Styles, of screen, width int) []string {
	const keyWidth = 13
	paragraph := func(text string, width int) []string { return strings.Split(ansi.Wordwrap(text, width, ""), "\n") }
	lines := append(paragraph(of.about(), width), "")
	for _, caution := range paragraph(session.Safety, width) {
		lines = append(lines, s.Caution.Render(caution))
	}
	lines = append(lines, "")
	explain := func(key, text string) {
		head := s.Accent.Render(key) + strings.Repeat(" ", max(1, keyWidth-ansi.StringWidth(key)))
		for _, line := range paragraph(text, max(20, width-keyWidth)) {
			lines = append(lines, head+line)
			head = strings.Repeat(" ", keyWidth)
		}
	}
	for _, a := range of.actions() {
		text := a.long
		if why := a.why(); why != "" {
			text += fmt.Sprintf(" (Not now: %s.)", why)
		}
		explain(strings.Join(a.names(), " "), text)
	}
	explain("ctrl+c", "Leave Bendbook from anywhere; what is half typed is kept.")
	return lines
}

func (h *helpScreen) about() string { return "" }

func (h *helpScreen) title() (name, what, right string) {
	name, what, _ = h.of.title()
	return name, what, "help"
}

func (h *helpScreen) idle() string { return h.of.idle() }

func (h *helpScreen) actions() []action {
	return append(h.scrolling(), action{keys: []string{"any other key"}, name: "back", main: true, do: goBack})
}

// typing closes the help with each key that doesn't scroll it.
func (h *helpScreen) typing(msg tea.KeyMsg) (move, bool) {
	if slices.ContainsFunc(h.scrolling(), func(a action) bool { return a.has(msg) }) {
		return move{}, false
	}
	return goBack(), true
}
