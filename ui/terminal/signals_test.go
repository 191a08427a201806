package terminal_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"bendbook/storage"
	"bendbook/ui/terminal"
)

// However the screen is told to leave from outside, it leaves, in good order and without a complaint.
// bubbletea waits for ever where a signal comes while it ends already, which happened here about every second
// time.
func TestSignalsEndTheScreen(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no process can be interrupted from outside here")
	}
	path := filepath.Join(t.TempDir(), "shop.book")
	for _, way := range []struct {
		name string
		end  func(*terminal.Terminal)
	}{
		{"SIGINT", func(term *terminal.Terminal) { term.Signal(os.Interrupt) }},
		{"SIGTERM", func(term *terminal.Terminal) { term.Signal(syscall.SIGTERM) }},
		{"SIGHUP", func(term *terminal.Terminal) { term.Signal(syscall.SIGHUP) }},
		// A machine that goes down sends both.
		{"SIGHUP and SIGTERM", func(term *terminal.Terminal) { term.Signal(syscall.SIGHUP); term.Signal(syscall.SIGTERM) }},
	} {
		t.Run(way.name, func(t *testing.T) {
			for range 6 {
				term := terminal.Start(t, exec.Command(terminal.Build(t), "--book", path), terminal.Size{Columns: 80, Rows: 24})
				term.See("The book is empty")
				way.end(term)
				if code := term.Wait(); code != 0 {
					t.Fatalf("ended with %d:\n%s", code, term.Screen())
				}
				if screen := term.Screen(); screen != "" {
					t.Fatalf("left on the terminal:\n%s", screen)
				}
			}
		})
	}
	book, err := storage.Open(path, storage.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if report, err := storage.Check(path, storage.Options{}); err != nil || !report.Whole() {
		t.Errorf("check: %v, %v", report.Lines(), err)
	}
	if err := book.Close(); err != nil {
		t.Error(err)
	}
}
