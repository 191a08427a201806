package ui

import (
	"cmp"
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
	in   group         // of the help
	off  func() string // why it can't be done now; "" or nil where it can
	do   func() move
}

// group is what an action is for, as the help heads it.
type group string

const (
	reads  group = "Read the bow"
	writes group = "Write it down"
	looks  group = "" // Look
	leaves group = "Leave"
)

// meanings are what the letters and signs mean, the same on every screen that has them. A test holds the
// screens to it.
var meanings = map[string]string{
	"p": "pull", "b": "braced", "r": "relaxed", "k": "block", "l": "string length", "m": "measure",
	"y": "dryness", "W": "weigh", "R": "readings", "s": "scrape", "S": "shorten", "x": "exercise",
	"n": "note", "d": "describe", "c": "take up", "D": "on a day", "L": "log all", "M": "stamp",
	"o": "aside", "N": "new", "A": "another", "u": "undo", "U": "redo", "a": "advice", "e": "entries",
	"f": "finish", "g": "plan", "t": "story", "T": "today", "v": "picture", "w": "write out", "h": "card",
	"i": "what if", "z": "large", "/": "find", "C": "compare", "=": "last time's value", ",": "settings",
	":": "find a key", "!": "crack", "*": "save now",
}

func (a action) has(msg tea.KeyMsg) bool {
	key := msg.String()
	if key == " " {
		key = "space"
	}
	return slices.Contains(strings.Fields(a.keys), key)
}

// shownKey is an action's key as footer and palette name it.
func shownKey(a action) string {
	first, _, _ := strings.Cut(a.keys, " ")
	return cmp.Or(a.show, first)
}

func (a action) why() string {
	if a.off == nil {
		return ""
	}
	return a.off()
}

// unless says why something can't be done, unless it can.
func unless(can bool, why string) string {
	if can {
		return ""
	}
	return why
}

func then(do func()) func() move { return func() move { do(); return move{} } }

func by(n int, step func(int)) func() move { return then(func() { step(n) }) }

func goBack() move { return move{back: true} }

func back(long string) action {
	return action{keys: "esc q", name: "back", main: true, in: leaves, long: long, do: goBack}
}

// begins says whether a key, or a paste, begins a pull: with a figure, or = for last time's.
func begins(msg tea.KeyMsg) bool {
	typed := msg.Type == tea.KeyRunes && !msg.Alt && (len(msg.Runes) == 1 || msg.Paste && len(msg.Runes) > 0)
	return typed && strings.ContainsRune("0123456789", msg.Runes[0]) || msg.String() == "="
}

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
