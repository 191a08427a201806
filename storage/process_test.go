package storage

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"bendbook/model/record"
)

// Tests of two processes run this test's own binary as the second one, with its part in roleVariable and
// the book in bookVariable.
const (
	roleVariable = "BENDBOOK_TEST_ROLE"
	bookVariable = "BENDBOOK_TEST_BOOK"
)

func TestMain(m *testing.M) {
	role := os.Getenv(roleVariable)
	if role == "" {
		os.Exit(m.Run())
	}
	if err := play(role, os.Getenv(bookVariable)); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// play is the second process: it opens the book and writes pairs of entries to bow "b1", as many as its
// role says, telling the number after each pair is confirmed. Then it waits for its input to end and closes
// the book.
func play(role, path string) error {
	pairs, err := strconv.Atoi(role)
	if err != nil {
		return err
	}
	book, err := Open(path, Options{})
	if err != nil {
		return err
	}
	fmt.Println("open")
	ended := make(chan struct{})
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin)
		close(ended)
	}()
	have, err := itemsOf(book, "b1")
	if err != nil {
		return err
	}
	t := &testing.T{}
	for n := len(have) + 1; n < len(have)+2*pairs; n += 2 {
		select {
		case <-ended:
			return book.Close()
		default:
		}
		if err := book.AddItems("b1", []record.Item{pull(t, n), pull(t, n+1)}, ""); err != nil {
			return err
		}
		if _, err := fmt.Println(n + 1); err != nil {
			return err
		}
	}
	<-ended
	return book.Close()
}

// other is the second process.
type other struct {
	t     *testing.T
	cmd   *exec.Cmd
	lines *bufio.Scanner
	stdin io.Closer
}

// start starts a second process on the book at path, which will write so many pairs, and returns when it
// has the book.
func start(t *testing.T, path string, pairs int) *other {
	t.Helper()
	binary, err := os.Executable()
	must(t, err)
	cmd := exec.Command(binary)
	cmd.Env = append(os.Environ(), roleVariable+"="+strconv.Itoa(pairs), bookVariable+"="+path)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	must(t, err)
	stdout, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	o := &other{t, cmd, bufio.NewScanner(stdout), stdin}
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

// end lets it close the book, and waits for that.
func (o *other) end() {
	o.t.Helper()
	must(o.t, o.stdin.Close())
	for o.lines.Scan() {
		continue // A full pipe would hold it.
	}
	must(o.t, o.cmd.Wait())
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

func TestTheSecondIsToldThatTheBookIsOpen(t *testing.T) {
	t.Parallel()
	path := begun(t, 2)
	first := start(t, path, 0)
	_, err := Open(path, Options{})
	fails(t, err, ErrBusy, "ash.book: it is open in another Bendbook; close it there first")
	first.end()
	must(t, open(t, path, Options{}).SaveDraft("d", nil))
}

func TestTheSecondSeesACopyAndCannotWrite(t *testing.T) {
	t.Parallel()
	path := begun(t, 2)
	first := start(t, path, 1)
	if first.line() != "4" {
		t.Fatal("the first did not write")
	}
	view := open(t, path, Options{ReadOnly: true})
	items, err := itemsOf(view, "b1")
	if err != nil || len(items) != 4 {
		t.Errorf("got %d entries, %v; want 4", len(items), err)
	}
	why := view.ReadOnly()
	if why != "shown as of 12:00" {
		t.Errorf("got %q", why)
	}
	for _, err := range []error{
		view.AddBow(bow(t, "b2", 0), ""), view.AddItems("b1", nil, "d"), view.SaveDraft("d", nil), view.DropDraft("d"),
	} {
		if !errors.Is(err, errReadOnly) || !strings.Contains(err.Error(), why) {
			t.Errorf("got %v", err)
		}
	}
	must(t, view.Close())
	first.end()
}

func TestKilledAtAnyInstantNothingConfirmedIsLost(t *testing.T) {
	t.Parallel()
	path := begun(t, 0)
	for round := range 12 {
		writer := start(t, path, 1<<20)
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
