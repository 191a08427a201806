package terminal_test

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// mouseModes are those by which a program takes the mouse from the terminal (xterm's ctlseqs, "Mouse Tracking", from memory): clicks, drags,
// all moves, and their spelling.
var mouseModes = []string{"9", "1000", "1001", "1002", "1003", "1005", "1006", "1015", "1016"}

// A bowyer selects text with the mouse as everywhere else in his terminal: the program never asks for it, on any screen.
func TestTheMouseStaysTheTerminals(t *testing.T) {
	book := filepath.Join(t.TempDir(), "bows.book")
	term := terminal.Start(t, exec.Command(terminal.Build(t), "--book", book), tree)
	term.See("The book is empty.")
	term.Press(terminal.Enter)
	term.Type("Elm")
	term.Press(terminal.CtrlS)
	term.Type("34")
	term.Press(terminal.Enter)
	term.See("Nothing was read on this bow yet.")
	term.Type(" ")
	term.See("Elm · drawn")
	term.Press(terminal.Esc)
	term.See("Nothing was read on this bow yet.")
	term.Type("f")
	term.See("roughed out")
	term.Press(terminal.CtrlC)
	if code := term.Wait(); code != 0 {
		t.Fatalf("ended with %d", code)
	}
	sent := string(term.Raw())
	if !strings.Contains(sent, "\x1b[?1049h") {
		t.Fatal("the output is not what was sent to the terminal: it turns to no screen")
	}
	for _, mode := range mouseModes {
		if strings.Contains(sent, "\x1b[?"+mode+"h") {
			t.Errorf("the program asks for the mouse, mode %s", mode)
		}
	}
}

// Keys as fast as they can come, those of a keypad that sends its own sequences, and a paste: what was typed is in the book, all of it and once.
func TestABurstAKeypadAndAPasteLoseNothing(t *testing.T) {
	const elm = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"e","name":"Elm",` +
		`"limbs":{"upper":{"length":34,"stations":[6,12,18,24]},"lower":{"length":34,"stations":[6,12,18,24]}}}}`
	book := filepath.Join(t.TempDir(), "bows.book")
	into := exec.Command(terminal.Build(t), "--book", book, "import", "-")
	into.Stdin = strings.NewReader(elm)
	if out, err := into.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	readings := []string{"1/4", "5/8", "1 1/4", "2 1/8", "1/4", "5/8", "1 1/4", "2 1/8"}
	const saved = "pull to 12 in: 20.5 lb, 8 readings to the line"
	// As xterm's keypad sends them in its application mode: ESC O and a letter.
	keypad := strings.NewReplacer("0", "\x1bOp", "1", "\x1bOq", "2", "\x1bOr", "3", "\x1bOs", "4", "\x1bOt", "5", "\x1bOu", "6", "\x1bOv", "7", "\x1bOw",
		"8", "\x1bOx", "9", "\x1bOy", ".", "\x1bOn", "/", "\x1bOo", "\r", "\x1bOM")
	all := "12\r20.5\r" + strings.Join(readings, "\r") + "\r"

	term := terminal.Start(t, exec.Command(terminal.Build(t), "--book", book), tree)
	term.See("Elm")
	term.Press(terminal.Enter)
	term.See("Nothing was read on this bow yet.")
	for name, typed := range map[string]func(){
		"a burst":          func() { term.Burst(all) },
		"a keypad":         func() { term.Burst(keypad.Replace(all)) },
		"a paste":          func() { term.Type("p"); term.See("1 of 10"); term.Paste("12 20.5 " + strings.Join(readings, " ")) },
		"a paste of lines": func() { term.Type("p"); term.See("1 of 10"); term.Paste(strings.ReplaceAll(all, "\r", "\r\n")) },
		"a paste in pieces": func() {
			term.Burst("12\r20.5\r")
			term.Paste(strings.Join(readings[:4], "\t"))
			term.Paste(strings.Join(readings[4:], "\n"))
		},
	} {
		t.Run(name, func(t *testing.T) {
			typed()
			term.See("Saved ", saved)
			// What was undone is void; the next way stands by itself.
			term.Type("u")
			term.See("Undone; U brings it back")
		})
	}
	term.Press(terminal.CtrlC)
	if code := term.Wait(); code != 0 {
		t.Fatalf("ended with %d", code)
	}
}
