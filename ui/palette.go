package ui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/look"
)

// palette finds a key of the screen under it by what it does, and does it.
type palette struct {
	base
	list
	styles look.Styles
	of     screen
	typed  textinput.Model
	found  []action
}

func newPalette(s look.Styles, of screen) *palette {
	p := &palette{styles: s, of: of, typed: textinput.New()}
	p.typed.Prompt, p.typed.CharLimit = "", 40
	p.typed.Focus()
	p.find()
	return p
}

// find lists the keys whose name or sentence has all words typed, those with them in the name first.
func (p *palette) find() {
	words := strings.Fields(strings.ToLower(p.typed.Value()))
	has := func(text string) bool {
		lacks := func(word string) bool { return !strings.Contains(strings.ToLower(text), word) }
		return !slices.ContainsFunc(words, lacks)
	}
	var later []action
	p.found = nil
	for _, a := range p.of.actions() {
		switch {
		case has(a.name):
			p.found = append(p.found, a)
		case has(a.name + " " + a.long):
			later = append(later, a)
		}
	}
	p.found = append(p.found, later...)
	p.at, p.count = 0, len(p.found)
}

func (p *palette) title() (name, what, right string) {
	name, what, _ = p.of.title()
	return name, what, "find a key"
}

func (p *palette) idle() string { return p.of.idle() }

func (p *palette) actions() []action {
	return append([]action{
		{keys: "enter", name: "do it", main: true, do: p.choose, long: "Do what the chosen key does.",
			off: func() string { return unless(p.count > 0, "no key does that") }},
		{keys: "esc", name: "back", main: true, in: leaves, long: "Go back.", do: goBack},
	}, p.choosing("key")...)
}

func (p *palette) choose() move {
	chosen := p.found[p.at]
	if why := chosen.why(); why != "" {
		return warned("%s: %s", chosen.name, why)
	}
	return move{back: true, then: chosen.do}
}

func (p *palette) typing(msg tea.KeyMsg) (move, bool) {
	switch msg.Type {
	case tea.KeyRunes, tea.KeySpace, tea.KeyBackspace, tea.KeyLeft, tea.KeyRight, tea.KeyDelete:
	default:
		return move{}, false
	}
	p.typed, _ = p.typed.Update(msg)
	p.find()
	return move{}, true
}

func (p *palette) view(width, height int) string {
	s := p.styles
	head := []string{"  " + s.Accent.Render("Find: ") + s.Strong.Render(p.typed.Value()) + s.Cursor(), ""}
	return p.list.view(s, height, head, nil, func(i int) (sign, text, section string) {
		a := p.found[i]
		long := a.long
		if why := a.why(); why != "" {
			long = fmt.Sprintf("Not now: %s.", why)
		}
		text = left(shownKey(a), 10) + left(a.name, 16) + long
		return "  ", ansi.Truncate(text, width-2, "~"), ""
	})
}
