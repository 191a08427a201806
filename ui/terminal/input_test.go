package terminal

import (
	"time"
)

// Type types a text rune by rune, as slowly as the program reads: each rune is
// sent only when the program has taken the one before, and Type returns when
// it has taken the last. So every rune is a key of its own to the program, and
// none is a burst (for that there is [Terminal.Burst]). That the program has
// read a key doesn't mean that it has drawn what follows from it: wait for that
// by [Terminal.See].
func (term *Terminal) Type(text string) {
	term.t.Helper()
	for _, r := range text {
		term.send(string(r))
	}
}

// Press presses keys one after the other, each when the one before was read,
// like [Terminal.Type].
func (term *Terminal) Press(keys ...Key) {
	term.t.Helper()
	for _, k := range keys {
		term.send(string(k))
	}
}

// Paste pastes a text, between the marks that tell it from typing.
func (term *Terminal) Paste(text string) {
	term.t.Helper()
	term.send(pasteBegins + text + pasteEnds)
}

// Burst sends a text in one piece, as when keys come faster than the program
// reads them or a terminal pastes without marks.
func (term *Terminal) Burst(text string) {
	term.t.Helper()
	term.send(text)
}

// send writes once and waits until the program has read it all or has ended.
func (term *Terminal) send(text string) {
	term.t.Helper()
	if term.over() {
		term.fail("the program ended before %q could be typed", text)
	}
	deadline := time.Now().Add(term.set.patience)
	_ = term.pty.master.SetWriteDeadline(deadline)
	if _, err := term.pty.master.Write([]byte(text)); err != nil {
		term.fail("typing %q: %v", text, err)
	}
	// No event tells that an input queue has run empty, so here, and only
	// here, has to be looked again and again; mostly the first look is enough.
	again := time.NewTicker(200 * time.Microsecond)
	defer again.Stop()
	for term.pty.unread() {
		if time.Now().After(deadline) {
			term.fail("the program didn't read %q", text)
		}
		select {
		case <-again.C:
		case <-term.ended:
			return
		}
	}
}
