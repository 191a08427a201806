package terminal

import "time"

// Key is a key that types no character, as the bytes that a terminal of the xterm family sends for it.
type Key string

// The keys. Characters are typed by [Terminal.Type].
const (
	Enter Key = "\r"
	Esc   Key = "\x1b"
	CtrlC Key = "\x03"
	CtrlS Key = "\x13"
)

// Type types a text rune by rune, as slowly as the program reads: each rune is sent only when the program
// has taken the one before. So every rune is a key of its own, and none is a burst. That the program has
// read a key doesn't mean that it has drawn what follows from it: wait for that by [Terminal.See].
func (term *Terminal) Type(text string) {
	term.t.Helper()
	for _, r := range text {
		term.Burst(string(r))
	}
}

// Press presses keys one after the other, like [Terminal.Type].
func (term *Terminal) Press(keys ...Key) {
	term.t.Helper()
	for _, k := range keys {
		term.Burst(string(k))
	}
}

// Paste pastes a text, between the marks that tell it from typing (bracketed paste).
func (term *Terminal) Paste(text string) {
	term.t.Helper()
	term.Burst("\x1b[200~" + text + "\x1b[201~")
}

// Burst sends a text in one piece, as when keys come faster than the program reads them or a terminal
// pastes without marks, and waits until the program has read it all or has ended.
func (term *Terminal) Burst(text string) {
	term.t.Helper()
	deadline := time.Now().Add(patience)
	_ = term.pty.master.SetWriteDeadline(deadline)
	if _, err := term.pty.master.WriteString(text); err != nil {
		term.fail("typing %q: %v", text, err)
	}
	// No event tells that an input queue has run empty, so here, and only here, has to be looked again and
	// again; mostly the first look is enough.
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
