package ui

import tea "github.com/charmbracelet/bubbletea"

// keypad turns what terminals send for a number keypad that is switched to "application" into the keys that are printed on it. bubbletea knows
// of those sequences, ESC O and a letter, only the arrows and the first function keys: the others come as an O with Alt and the letter
// (VT100 User Guide, table 3-8; xterm's ctlseqs, "VT220-Style Function Keys", both from memory). It also takes the line feed, which some terminals
// put between the lines of a paste, for Enter.
type keypad struct {
	open bool // an O with Alt came: the next letter may be a key of the keypad
}

// keypadKeys are the characters of the keypad by their letters.
var keypadKeys = map[rune]rune{
	'j': '*', 'k': '+', 'l': ',', 'm': '-', 'n': '.', 'o': '/', 'X': '=', ' ': ' ',
	'p': '0', 'q': '1', 'r': '2', 's': '3', 't': '4', 'u': '5', 'v': '6', 'w': '7', 'x': '8', 'y': '9',
}

// keys are the keys that a message stands for: runes that came at once, as fast hands and slow lines send them, are parted. A paste stays
// whole.
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
		switch {
		case msg.Alt && r == 'O':
			k.open = true
			continue
		case k.open && (r == 'M' || r == 'I'):
			key = tea.KeyMsg{Type: map[rune]tea.KeyType{'M': tea.KeyEnter, 'I': tea.KeyTab}[r]}
		case k.open && keypadKeys[r] != 0:
			key.Runes[0] = keypadKeys[r]
		}
		k.open = false
		keys = append(keys, key)
	}
	return keys
}
