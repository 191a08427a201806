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
	reader.Type("n")
	reader.See("new bow: the book is open to read only")
	reader.Type("q")
	leaves(t, reader, 0)
}

// Names come from files too. No escape sequence of a stranger's may reach the terminal.
func TestAHostileNameSteersNoTerminal(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.book")
	into := bookAt(t, path, "import", "-")
	into.Stdin = strings.NewReader(`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"b1",` +
		`"name":"\u001b]0;owned\u0007\u001b[2Jash\u202e\u2066 \u009b31m","limbs":{"upper":{"length":34},"lower":{"length":33}}},` +
		`"entries":[{"id":"e1","kind":"note","text":"\u001b[31mred\u001b[?1049l"}]}`)
	if out, err := into.CombinedOutput(); err != nil || strings.Contains(string(out), "\x1b") {
		t.Fatalf("import: %v, %q", err, out)
	}
	term := terminal.Start(t, bookAt(t, path))
	term.See("ash")
	term.Press(terminal.Enter)
	term.See("Nothing was read")
	term.Type("e")
	term.See("note: [31mred")
	for _, sequence := range []string{"\x1b]0;", "\x1b[31mred", "\u202e", "\u2066", "\u009b"} {
		if strings.Contains(term.Raw(), sequence) {
			t.Errorf("the terminal was sent %q", sequence)
		}
	}
}
