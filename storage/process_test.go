package storage

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"bendbook/model/record"
)

// bookVariable holds the book that this test's own binary, as a second process, writes to.
const bookVariable = "BENDBOOK_TEST_BOOK"

func TestMain(m *testing.M) {
	path := os.Getenv(bookVariable)
	if path == "" {
		os.Exit(m.Run())
	}
	fmt.Fprintln(os.Stderr, work(path))
	os.Exit(1)
}

// work writes pairs of entries to bow "b1" until it is killed, telling the number after each pair is
// confirmed.
func work(path string) error {
	book, err := Open(path, Options{})
	if err != nil {
		return err
	}
	fmt.Println("open")
	have, err := itemsOf(book, "b1")
	t := &testing.T{}
	for n := len(have) + 1; err == nil; n += 2 {
		if err = book.AddItems("b1", []record.Item{pull(t, n), pull(t, n+1)}, ""); err == nil {
			_, err = fmt.Println(n + 1)
		}
	}
	return err
}

// other is the second process.
type other struct {
	t     *testing.T
	cmd   *exec.Cmd
	lines *bufio.Scanner
}

// start starts a second process on the book at path, and returns when it has the book.
func start(t *testing.T, path string) *other {
	t.Helper()
	binary, err := os.Executable()
	must(t, err)
	cmd := exec.Command(binary)
	cmd.Env = append(os.Environ(), bookVariable+"="+path)
	cmd.Stderr = os.Stderr
	stdout, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	o := &other{t, cmd, bufio.NewScanner(stdout)}
	t.Cleanup(func() {
		// Of no effect where the test has ended it.
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	if got := o.line(); got != "open" {
		t.Fatalf("the other process says %q", got)
	}
	return o
}

// line is the next line that it prints; "" after the last.
func (o *other) line() string {
	if !o.lines.Scan() {
		return ""
	}
	return o.lines.Text()
}

// kill ends it at once and returns the last line that it had printed.
func (o *other) kill() string {
	o.t.Helper()
	must(o.t, o.cmd.Process.Kill())
	last := ""
	for o.lines.Scan() {
		last = o.lines.Text()
	}
	_ = o.cmd.Wait() // reports the kill
	return last
}

// begun makes a book with bow "b1" and closes it.
func begun(t testing.TB, entries int) (path string) {
	t.Helper()
	path = bookPath(t)
	book := opened(t, path, Options{Now: noon})
	must(t, book.AddBow(bow(t, "b1", entries), ""))
	must(t, book.SaveDraft("d", []byte("21 3/8")))
	must(t, book.Close())
	return path
}

func TestKilledAtAnyInstantNothingConfirmedIsLost(t *testing.T) {
	t.Parallel()
	path := begun(t, 0)
	for round := range 12 {
		writer := start(t, path)
		for range round {
			writer.line()
		}
		confirmed, err := strconv.Atoi(writer.kill())
		if err != nil {
			confirmed = 0 // Killed before its first pair.
		}
		book := open(t, path, Options{})
		items, err := itemsOf(book, "b1")
		must(t, err)
		if len(items) < confirmed || len(items)%2 != 0 || len(items) > 0 && items[len(items)-1].Key != keyOf(len(items)) {
			t.Errorf("%d entries of %d confirmed ones", len(items), confirmed)
		}
		if doc := draftOf(t, book, "d"); doc != "21 3/8" {
			t.Errorf("got draft %q", doc)
		}
		whole(t, path)
		must(t, book.Close())
	}
}
