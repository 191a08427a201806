package terminal_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/ui/terminal"
)

// bookAt is the program on the book at path.
func bookAt(t *testing.T, path string, args ...string) *exec.Cmd {
	cmd := exec.Command(terminal.Build(t), args...)
	cmd.Dir = t.TempDir()
	cmd.Env = terminal.Environ("BENDBOOK=" + path)
	return cmd
}

// A terminal that answers no queries must not be asked for its background: bubbletea would wait five seconds for it in
// every command. That the first frame comes at all before anything is answered is what See waits for.
func TestASilentTerminalIsNotAskedForItsBackground(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, bookAt(t, filepath.Join(t.TempDir(), "a.book")), tree, terminal.Silent)
	term.See("The book is empty.")
	if raw := term.Raw(); bytes.Contains(raw, []byte("\x1b]11;")) || bytes.Contains(raw, []byte("\x1b]10;")) {
		t.Errorf("the terminal was asked for its colours: %q", raw)
	}
	term.Type("q")
	term.Wait()
}

func TestKeysThatComeAtOnceAreNotLost(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, bookAt(t, filepath.Join(t.TempDir(), "a.book")), tree)
	term.See("The book is empty.")
	term.Burst("nRowan")
	term.See("New bow", "Rowan")
	term.Press(terminal.Enter)
	term.Paste(" hazel\nand ash ")
	term.See("hazel and ash")
}

func TestASecondBendbookSaysWhoHasTheBook(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.book")
	first := terminal.Start(t, bookAt(t, path), tree)
	first.See("The book is empty.")

	out, err := bookAt(t, path, "import", "-").CombinedOutput()
	said := strings.TrimSpace(string(out))
	if err == nil || strings.Contains(said, "\n") || !strings.Contains(said, "is open in another Bendbook (process ") {
		t.Errorf("importing into a book that is open said %q (%v)", said, err)
	}
	second := terminal.Start(t, bookAt(t, path), tree)
	second.See("is open in another Bendbook", "--read-only")
	if code := second.Wait(); code != 1 {
		t.Errorf("the second screen ended with %d, want 1", code)
	}
	reader := terminal.Start(t, bookAt(t, path, "--read-only"), tree)
	reader.See("To read only")
	reader.Type("n")
	reader.See("new bow: the book is open to read only")
	reader.Type("q")
	if code := reader.Wait(); code != 0 {
		t.Errorf("the reader ended with %d, want 0", code)
	}
}

// What was confirmed before the plug was pulled is there afterwards, a half-typed form up to its last confirmed field.
func TestAConfirmedFieldSurvivesAKill(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.book")
	term := terminal.Start(t, bookAt(t, path), tree)
	term.See("The book is empty.")
	term.Type("n")
	answer(term, "Rowan")
	term.See("2 of 24")
	term.Kill()

	term = terminal.Start(t, bookAt(t, path), tree)
	term.See("The book is empty.")
	term.Type("n")
	term.See("Taken up where you left it", "2 of 24", "Rowan")
}

// Names come from files too. No escape sequence of a stranger's may reach the terminal.
func TestAHostileNameSteersNoTerminal(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.book")
	record := `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"b1",` +
		`"name":"\u001b]0;owned\u0007\u001b[2Jash\u202e\u2066 \u009b31m","limbs":{"upper":{"length":34,"stations":[8]},"lower":{"length":33,"stations":[8]}}},` +
		`"entries":[{"id":"e1","kind":"note","text":"\u001b[31mred\u001b[?1049l"}]}`
	file := filepath.Join(t.TempDir(), "hostile.json")
	if err := os.WriteFile(file, []byte(record), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := bookAt(t, path, "import", file).CombinedOutput(); err != nil || bytes.ContainsRune(out, '\x1b') {
		t.Fatalf("import: %v, %q", err, out)
	}
	term := terminal.Start(t, bookAt(t, path), tree)
	term.See("ash")
	term.Press(terminal.Enter)
	term.See("Nothing was read")
	term.Type("e")
	term.See("note: [31mred")
	raw := term.Raw()
	for _, sequence := range []string{"\x1b]0;", "\x1b[31mred", "\u202e", "\u2066", "\u009b"} {
		if bytes.Contains(raw, []byte(sequence)) {
			t.Errorf("the terminal was sent %q", sequence)
		}
	}
}
