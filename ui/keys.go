package ui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
)

// action is a key and what it does. Footer and help come from the same data.
type action struct {
	keys string        // as tea.KeyMsg.String spells them, blanks between; the first is shown
	show string        // the key as it is shown; "" for the first of keys
	name string        // a word or two, for the footer
	long string        // a sentence or two, for the help
	main bool          // stands in the footer, as far as there is room
	off  func() string // why it can't be done now; "" or nil where it can
	do   func() move
}

func (a action) has(msg tea.KeyMsg) bool {
	key := msg.String()
	if key == " " {
		key = "space"
	}
	return slices.Contains(strings.Fields(a.keys), key)
}

func (a action) why() string {
	if a.off == nil {
		return ""
	}
	return a.off()
}

func then(do func()) func() move { return func() move { do(); return move{} } }

func by(n int, step func(int)) func() move { return then(func() { step(n) }) }

func goBack() move { return move{back: true} }

func back(long string) action {
	return action{keys: "esc q", name: "back", main: true, long: long, do: goBack}
}

func numberKeys(row *int) []action {
	scroll := func(by int) { *row += by }
	return []action{
		{keys: "pgdown", name: "numbers down", long: "Scroll the numbers down.", do: by(5, scroll)},
		{keys: "pgup", name: "numbers up", long: "Scroll the numbers up.", do: by(-5, scroll)},
	}
}

// begins says whether a key, or a paste, is the beginning of a figure.
func begins(msg tea.KeyMsg) bool {
	typed := msg.Type == tea.KeyRunes && !msg.Alt && (len(msg.Runes) == 1 || msg.Paste && len(msg.Runes) > 0)
	return typed && msg.Runes[0] >= '0' && msg.Runes[0] <= '9'
}
