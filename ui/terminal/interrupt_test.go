package terminal_test

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"bendbook/storage"
)

// An import that waits for more is broken off by a signal: what it told of is in the book, which is whole
// and free.
func TestAnImportThatIsInterruptedLeavesTheBookWhole(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no process can be interrupted from outside here")
	}
	bow := func(name string) string {
		return `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"` + name +
			`","name":"` + name + `","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"
	}
	path := filepath.Join(t.TempDir(), "shop.book")
	cmd := bookAt(t, path, "import", "-")
	in, err := cmd.StdinPipe()
	stderr, err2 := cmd.StderrPipe()
	if err := errors.Join(err, err2, cmd.Start()); err != nil {
		t.Fatal(err)
	}
	defer cmd.Process.Kill() // where the test has failed already; else it has ended
	if _, err := io.WriteString(in, bow("First")+bow("Second")+bow("Third")[:40]); err != nil {
		t.Fatal(err)
	}
	said := bufio.NewScanner(stderr)
	for _, want := range []string{"First: new bow, 0 entries", "Second: new bow, 0 entries",
		"bendbook: standard input: interrupted; the bows that were told of are in the book, the others are not"} {
		if !said.Scan() || said.Text() != want {
			t.Fatalf("said %q, want %q", said.Text(), want)
		}
		if want == "Second: new bow, 0 entries" {
			if err := cmd.Process.Signal(os.Interrupt); err != nil {
				t.Fatal(err)
			}
		}
	}
	if said.Scan() {
		t.Errorf("besides it said %q", said.Text())
	}
	if err := cmd.Wait(); cmd.ProcessState.ExitCode() != 1 {
		t.Errorf("ended with %v", err)
	}
	wholeBook(t, path, func(book *storage.Book) {
		for name, want := range map[string]bool{"First": true, "Second": true, "Third": false} {
			if _, got, err := book.Bow(name); got != want || err != nil {
				t.Errorf("%s in the book: %v, want %v (%v)", name, got, want, err)
			}
		}
	})
}
