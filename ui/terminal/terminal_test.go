package terminal_test

import (
	"bytes"
	"strings"
	"syscall"
	"testing"

	"bendbook/ui/terminal"
)

var window = terminal.Size{Columns: 60, Rows: 12}

func TestShowsTheScreenWithWideCharacters(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("弓 wide │", "window 60×12.")
	if raw := term.Raw(); !bytes.Contains(raw, []byte("\x1b[?1049h")) {
		t.Errorf("the raw output doesn't show the alternate screen: %q", raw)
	}
	want := "弓 wide │\ntext │\nkeys 0, pastes 0, last .\nwindow 60×12."
	if got := term.Screen(); got != want {
		t.Errorf("screen:\n%s\nwant:\n%s", got, want)
	}
}

func TestTypesEachRuneAsAKeyOfItsOwn(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	term.Type("6 3/8 ⅜ 弓 and many more of them")
	term.See("text 6 3/8 ⅜ 弓 and many more of them│", "keys 31,")
}

func TestBurstIsOneMessage(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	term.Burst("qqqqq")
	term.See("text qqqqq│", "keys 1,")
}

func TestPasteIsToldFromTyping(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	term.Paste("6 3/8")
	term.See("text 6 3/8│", "keys 1, pastes 1")
	long := strings.Repeat("long ", 2000)
	term.Paste(long)
	term.See("pastes 2")
}

func TestNamesKeys(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	for _, k := range []struct {
		key  terminal.Key
		name string
	}{
		{terminal.Enter, "enter"}, {terminal.Esc, "esc"}, {terminal.Tab, "tab"},
		{terminal.ShiftTab, "shift+tab"}, {terminal.Backspace, "backspace"},
		{terminal.Delete, "delete"}, {terminal.Up, "up"}, {terminal.Down, "down"},
		{terminal.Left, "left"}, {terminal.Right, "right"}, {terminal.Home, "home"},
		{terminal.End, "end"}, {terminal.PgUp, "pgup"}, {terminal.PgDn, "pgdown"},
		{terminal.F1, "f1"}, {terminal.CtrlS, "ctrl+s"}, {terminal.CtrlD, "ctrl+d"},
		{terminal.CtrlZ, "ctrl+z"}, {terminal.Ctrl('a'), "ctrl+a"}, {terminal.Alt('j'), "alt+j"},
	} {
		term.Press(k.key)
		term.See("last " + k.name + ".")
	}
	// Esc and a letter after it stay two keys.
	term.Press(terminal.Esc)
	term.Type("j")
	term.See("text j│", "last esc.")
}

func TestResizes(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	term.Resize(terminal.Size{Columns: 120, Rows: 40})
	term.See("window 120×40.")
	term.Resize(terminal.Size{Columns: 30, Rows: 6})
	term.See("弓 wide │", "window 30×6.")
}

func TestQuitLeavesTheMainScreen(t *testing.T) {
	t.Parallel()
	term := terminal.Start(t, program(t, "keys"), window)
	term.See("window 60×12.")
	term.Press(terminal.CtrlC)
	if code := term.Wait(); code != 0 {
		t.Errorf("exit code %d, want 0", code)
	}
	if got := term.Screen(); got != "left quietly" {
		t.Errorf("screen after the end: %q", got)
	}
}

func TestSignalsAndDeaths(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		do   func(*terminal.Terminal)
		code int
	}{
		"interrupt": {func(term *terminal.Terminal) { term.Signal(syscall.SIGINT) }, 130},
		"kill":      {(*terminal.Terminal).Kill, -1},
		"hangup":    {(*terminal.Terminal).Hangup, -1},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			term := terminal.Start(t, program(t, "keys"), window)
			term.See("window 60×12.")
			c.do(term)
			if code := term.Wait(); code != c.code {
				t.Errorf("exit code %d, want %d", code, c.code)
			}
		})
	}
}

func TestAnswersQuestionsUnlessSilent(t *testing.T) {
	t.Parallel()
	loud := terminal.Start(t, program(t, "ask"), window)
	loud.See("read ESC[3;5R.")
	if code := loud.Wait(); code != 7 {
		t.Errorf("exit code %d, want 7", code)
	}

	cmd := program(t, "ask")
	// Else bubbletea, being linked in, waits five seconds for the background's
	// colour before it lets main begin.
	cmd.Env = append(cmd.Env, "TERM=screen")
	silent := terminal.Start(t, cmd, window, terminal.Silent)
	silent.See("asked")
	silent.Type("x")
	silent.See("read x.")
}
