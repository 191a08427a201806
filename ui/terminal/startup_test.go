package terminal_test

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// bookAt is the program on the book at path.
func bookAt(t testing.TB, path string, args ...string) *exec.Cmd {
	cmd := exec.Command(terminal.Build(t), args...)
	cmd.Dir = t.TempDir()
	cmd.Env = terminal.Environ("BENDBOOK=" + path)
	return cmd
}

// bookWith is the path of a book with a bow, which the program itself brought in.
func bookWith(t *testing.T, record string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.book")
	into := bookAt(t, path, "import", "-")
	into.Stdin = strings.NewReader(record)
	if out, err := into.CombinedOutput(); err != nil || strings.Contains(string(out), "\x1b") {
		t.Fatalf("import: %v, %q", err, out)
	}
	return path
}

// leaves waits for the program to end with a code.
func leaves(t *testing.T, term *terminal.Terminal, want int) {
	t.Helper()
	if code := term.Wait(); code != want {
		t.Fatalf("ended with %d, want %d", code, want)
	}
}

// A terminal that answers no queries must not be asked for its background: bubbletea would wait five
// seconds for it in every command. That the first frame comes at all before anything is answered is what
// See waits for.
func TestASilentTerminalIsNotAskedForItsBackground(t *testing.T) {
	t.Parallel()
	term := terminal.StartSilent(t, bookAt(t, filepath.Join(t.TempDir(), "a.book")))
	term.See("The book is empty.")
	if raw := term.Raw(); strings.Contains(raw, "\x1b]11;") || strings.Contains(raw, "\x1b]10;") {
		t.Errorf("the terminal was asked for its colours: %q", raw)
	}
	term.Type("q")
	leaves(t, term, 0)
}

func TestASecondBendbookSaysWhoHasTheBook(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.book")
	first := terminal.Start(t, bookAt(t, path))
	first.See("The book is empty.")
	second := terminal.Start(t, bookAt(t, path))
	second.See("is open in another Bendbook", "--read-only")
	leaves(t, second, 1)
	reader := terminal.Start(t, bookAt(t, path, "--read-only"))
	reader.See("To read only")
	reader.Type("N")
	reader.See("new: the book is open to read only")
	reader.Type("q")
	leaves(t, reader, 0)
}

// Names come from files too. No escape sequence of a stranger's may reach the terminal.
func TestAHostileNameSteersNoTerminal(t *testing.T) {
	t.Parallel()
	path := bookWith(t, `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"b1",`+
		`"name":"\u001b]0;owned\u0007\u001b[2Jash\u202e\u2066 \u009b31m","limbs":{"upper":{"length":34},"lower":{"length":33}}},`+
		`"entries":[{"id":"e1","kind":"note","text":"\u001b[31mred\u001b[?1049l"}]}`)
	term := terminal.Start(t, bookAt(t, path))
	term.See("ash")
	term.Press(terminal.Enter)
	term.See("You haven't read")
	term.Type("e")
	term.See("note: [31mred")
	for _, sequence := range []string{"\x1b]0;", "\x1b[31mred", "\u202e", "\u2066", "\u009b"} {
		if strings.Contains(term.Raw(), sequence) {
			t.Errorf("the terminal was sent %q", sequence)
		}
	}
}

// Keys as fast as they can come, those of a keypad that sends its own sequences, and a paste: what was
// typed is in the book, all of it and once.
func TestABurstAKeypadAndAPasteLoseNothing(t *testing.T) {
	values := []string{"18", "23.9", "3/8", "1 1/16", "3 3/8", "7/16", "1 1/16", "3 3/16"}
	// As xterm's keypad sends them in its application mode: ESC O and a letter.
	keypad := strings.NewReplacer("0", "\x1bOp", "1", "\x1bOq", "2", "\x1bOr", "3", "\x1bOs", "4", "\x1bOt", "5", "\x1bOu",
		"6", "\x1bOv", "7", "\x1bOw", "8", "\x1bOx", "9", "\x1bOy", ".", "\x1bOn", "/", "\x1bOo", "\r", "\x1bOM")
	all := strings.Join(values, "\r") + "\r"
	term := terminal.Start(t, bookAt(t, bookWith(t, killedBow)))
	term.See("Rowan")
	term.Press(terminal.Enter)
	term.See("You haven't read this bow yet.")
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
