package command_test

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"bendbook/ui/terminal"
)

// However a session line by line ends, what was confirmed is kept and taken up again.
func TestALinearSessionThatEndsInAFormIsTakenUp(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no process can be interrupted from outside here")
	}
	for _, way := range []struct {
		name string
		end  func(*terminal.Terminal)
		code int
	}{
		{"SIGINT", func(term *terminal.Terminal) { term.Signal(os.Interrupt) }, 0},
		{"SIGHUP", func(term *terminal.Terminal) { term.Signal(syscall.SIGHUP) }, 0},
		{"SIGTERM", func(term *terminal.Terminal) { term.Signal(syscall.SIGTERM) }, 0},
		{"ctrl+d", func(term *terminal.Terminal) { term.Type("\x04") }, 0},
	} {
		t.Run(way.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "shop.book")
			term := terminal.Start(t, exec.Command(terminal.Build(t), "--plain", "--book", path), terminal.Size{Columns: 80, Rows: 24})
			term.See("rack>")
			term.Type("n\r")
			term.See("bow, name:")
			term.Type("Elm\r")
			term.See("bow, units")
			way.end(term)
			if code := term.Wait(); code != way.code {
				t.Fatalf("ended with %d:\n%s", code, term.Screen())
			}
			out, err := pipe(t, path, "n\n.read\n")
			if err != nil || !strings.Contains(out, "bow, name: Elm\n") {
				t.Errorf("%v:\n%s", err, out)
			}
		})
	}
}

// A script that is told to end says so, and keeps what was confirmed.
func TestAScriptThatIsEndedEndsWithOne(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no process can be interrupted from outside here")
	}
	path := filepath.Join(t.TempDir(), "shop.book")
	cmd := exec.Command(terminal.Build(t), "--plain", "--book", path)
	var told bytes.Buffer
	cmd.Stderr = &told
	in, inErr := cmd.StdinPipe()
	out, outErr := cmd.StdoutPipe()
	if err := errors.Join(inErr, outErr, cmd.Start()); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(in, "n\nElm\n"); err != nil {
		t.Fatal(err)
	}
	said := bufio.NewReader(out)
	for text := ""; !strings.Contains(text, "bow, units"); {
		b, err := said.ReadByte()
		if err != nil {
			t.Fatal(err, text)
		}
		text += string(b)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	rest, err := io.ReadAll(said)
	if err != nil {
		t.Fatal(err)
	}
	var ended *exec.ExitError
	if err := cmd.Wait(); !errors.As(err, &ended) || ended.ExitCode() != 1 || told.String() != "bendbook: interrupted\n" || !strings.Contains(string(rest), "Kept half typed") {
		t.Errorf("ended with %v: %q; %q", err, told.String(), rest)
	}
	again, err := pipe(t, path, "n\n.read\n")
	if err != nil || !strings.Contains(again, "bow, name: Elm\n") {
		t.Errorf("%v:\n%s", err, again)
	}
}

// pipe gives lines to the program and returns what it prints.
func pipe(t *testing.T, book, lines string) (string, error) {
	t.Helper()
	cmd := exec.Command(terminal.Build(t), "--plain", "--book", book)
	cmd.Stdin = strings.NewReader(lines)
	out, err := cmd.Output()
	return string(out), err
}
