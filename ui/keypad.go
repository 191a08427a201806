package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
)

// keypad turns what terminals send for a number keypad in "application" mode, which bubbletea reads as an O
// with Alt and a letter, into the keys printed on it (VT100 User Guide, table 3-8, and xterm's ctlseqs, both
// from memory). It also takes the line feed between the lines of a paste for Enter.
type keypad struct {
	open bool // an O with Alt came: the next letter may be a key of the keypad
}

// The letters that stand for the keypad's keys, and the characters printed on those.
const (
	keypadLetters = "jklmnopqrstuvwxyX "
	keypadPrinted = "*+,-./0123456789= "
)

// keys are the keys that a message stands for: runes that came at once are parted. A paste stays whole.
func (k *keypad) keys(msg tea.KeyMsg) []tea.KeyMsg {
	if msg.Type == tea.KeyCtrlJ {
		msg = tea.KeyMsg{Type: tea.KeyEnter}
	}
	if msg.Paste || (msg.Type != tea.KeyRunes && msg.Type != tea.KeySpace) {
		k.open = false
		return []tea.KeyMsg{msg}
	}
	var keys []tea.KeyMsg
	for _, r := range msg.Runes {
		key := tea.KeyMsg{Type: msg.Type, Runes: []rune{r}, Alt: msg.Alt}
		at := strings.IndexRune(keypadLetters, r)
		switch {
		case msg.Alt && r == 'O':
			k.open = true
			continue
		case k.open && r == 'M':
			key = tea.KeyMsg{Type: tea.KeyEnter}
		case k.open && r == 'I':
			key = tea.KeyMsg{Type: tea.KeyTab}
		case k.open && at >= 0:
			key.Runes[0] = rune(keypadPrinted[at])
		}
		k.open = false
		keys = append(keys, key)
	}
	return keys
}
