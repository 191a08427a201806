package terminal_test

import (
	"path/filepath"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// Keys as fast as they can come, those of a keypad that sends its own sequences, and a paste: what was
// typed is in the book, all of it and once.
func TestABurstAKeypadAndAPasteLoseNothing(t *testing.T) {
	book := filepath.Join(t.TempDir(), "bows.book")
	into := bookAt(t, book, "import", "-")
	into.Stdin = strings.NewReader(killedBow)
	if out, err := into.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	values := []string{"18", "23.9", "3/8", "1 1/16", "3 3/8", "7/16", "1 1/16", "3 3/16"}
	// As xterm's keypad sends them in its application mode: ESC O and a letter.
	keypad := strings.NewReplacer("0", "\x1bOp", "1", "\x1bOq", "2", "\x1bOr", "3", "\x1bOs", "4", "\x1bOt", "5", "\x1bOu",
		"6", "\x1bOv", "7", "\x1bOw", "8", "\x1bOx", "9", "\x1bOy", ".", "\x1bOn", "/", "\x1bOo", "\r", "\x1bOM")
	all := strings.Join(values, "\r") + "\r"
	term := terminal.Start(t, bookAt(t, book))
	term.See("Rowan")
	term.Press(terminal.Enter)
	term.See("Nothing was read on this bow yet.")
	for name, typed := range map[string]func(){
		"a burst":          func() { term.Burst(all) },
		"a keypad":         func() { term.Burst(keypad.Replace(all)) },
		"a paste":          func() { term.Paste(strings.Join(values, " ")) },
		"a paste of lines": func() { term.Paste(strings.ReplaceAll(all, "\r", "\r\n")) },
		"a paste in pieces": func() {
			term.Burst("18\r23.9\r")
			term.Paste(strings.Join(values[2:5], "\t"))
			term.Paste(strings.Join(values[5:], "\n"))
		},
	} {
		t.Run(name, func(t *testing.T) {
			typed()
			term.See("Saved ", "pull to 18 in: 23.9 lb, 6 readings to the line")
			// What was undone is void; the next way stands by itself.
			term.Type("u")
			term.See("Undone; U brings it back")
		})
	}
	term.Press(terminal.CtrlC)
	leaves(t, term, 0)
}
