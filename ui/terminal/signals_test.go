package terminal_test

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"bendbook/storage"
	"bendbook/ui/terminal"
)

// However the screen is told to leave from outside, it leaves, in good order and without a complaint.
// bubbletea waits for ever where a signal comes while it ends already, which happened here about every
// second time.
func TestSignalsEndTheScreen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.book")
	for name, signals := range map[string][]os.Signal{
		"SIGINT": {os.Interrupt}, "SIGTERM": {syscall.SIGTERM}, "SIGHUP": {syscall.SIGHUP},
		"a machine that goes down": {syscall.SIGHUP, syscall.SIGTERM},
	} {
		t.Run(name, func(t *testing.T) {
			for range 6 {
				term := terminal.Start(t, bookAt(t, path))
				term.See("The book is empty")
				for _, sig := range signals {
					term.Signal(sig)
				}
				if code := term.Wait(); code != 0 || term.Screen() != "" {
					t.Fatalf("ended with %d and left on the terminal:\n%s", code, term.Screen())
				}
			}
		})
	}
	wholeBook(t, path, func(*storage.Book) {})
}

// wholeBook opens a book in this process, which takes it for whole, and closes it.
func wholeBook(t *testing.T, path string, use func(*storage.Book)) {
	t.Helper()
	book, err := storage.Open(path, storage.Options{})
	if err != nil {
		t.Fatalf("the book does not open: %v", err)
	}
	if report, err := storage.Check(path, storage.Options{}); err != nil || !report.Whole() {
		t.Errorf("check: %v, %v", report.Lines(), err)
	}
	use(book)
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
}
