package terminal

import (
	"fmt"
	"strings"
	"time"
)

// Screen is the text on the screen now: a line for each row, without trailing
// blanks and without empty rows at the end.
func (term *Terminal) Screen() string {
	rows, _, _ := term.screen.look()
	return plain(rows)
}

// Raw is every byte that the program has written to its terminal so far.
func (term *Terminal) Raw() []byte {
	term.screen.mu.Lock()
	defer term.screen.mu.Unlock()
	return append([]byte(nil), term.screen.raw...)
}

// See waits until the screen shows every one of the texts at the same time.
// A text must stand within one row.
func (term *Terminal) See(texts ...string) {
	term.t.Helper()
	term.Until("to see "+quoted(texts), func(screen string) bool {
		for _, text := range texts {
			if !strings.Contains(screen, text) {
				return false
			}
		}
		return true
	})
}

// Until waits until the predicate holds for the text of the screen, which is as
// [Terminal.Screen] gives it; what says what is awaited. It fails the test at
// the deadline, or at once when the program has ended and nothing more can
// come.
func (term *Terminal) Until(what string, pred func(screen string) bool) {
	term.t.Helper()
	deadline := time.NewTimer(term.set.patience)
	defer deadline.Stop()
	for {
		rows, over, changed := term.screen.look()
		if pred(plain(rows)) {
			return
		}
		if over {
			term.fail("waited %s, but nothing more comes", what)
		}
		select {
		case <-changed:
		case <-deadline.C:
			term.fail("waited %v %s", term.set.patience, what)
		}
	}
}

// fail ends the test with a sentence, how the program is, and the screen.
func (term *Terminal) fail(format string, args ...any) {
	term.t.Helper()
	state := "The program is running."
	if term.over() {
		state = fmt.Sprintf("The program has ended (%v).", term.cmd.ProcessState)
	}
	rows, _, _ := term.screen.look()
	columns := term.screen.columns()
	term.t.Fatalf("%s. %s The screen:\n%s", fmt.Sprintf(format, args...), state, box(rows, columns))
}

// quoted lists texts.
func quoted(texts []string) string {
	q := make([]string, len(texts))
	for i, text := range texts {
		q[i] = fmt.Sprintf("%q", text)
	}
	return strings.Join(q, " and ")
}
