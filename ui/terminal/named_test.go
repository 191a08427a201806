package terminal

// Key is a key that types no character, as the bytes that a terminal of the
// xterm family sends for it.
type Key string

// The keys. Characters are typed by [Terminal.Type].
const (
	Enter     Key = "\r"
	Esc       Key = "\x1b"
	Tab       Key = "\t"
	ShiftTab  Key = "\x1b[Z"
	Backspace Key = "\x7f"
	Delete    Key = "\x1b[3~"
	Up        Key = "\x1b[A"
	Down      Key = "\x1b[B"
	Right     Key = "\x1b[C"
	Left      Key = "\x1b[D"
	Home      Key = "\x1b[H"
	End       Key = "\x1b[F"
	PgUp      Key = "\x1b[5~"
	PgDn      Key = "\x1b[6~"
	F1        Key = "\x1bOP"
)

// Keys held together with Ctrl; any other is made by [Ctrl].
const (
	CtrlC Key = "\x03"
	CtrlD Key = "\x04"
	CtrlS Key = "\x13"
	CtrlZ Key = "\x1a"
)

// Ctrl is a letter from a to z with Ctrl held down.
func Ctrl(letter byte) Key { return Key([]byte{letter & 0x1f}) }

// Alt is a character with Alt held down.
func Alt(r rune) Key { return "\x1b" + Key(string(r)) }

// What a terminal puts around a pasted text, for programs that asked to be
// told a paste from typing (bracketed paste).
const (
	pasteBegins = "\x1b[200~"
	pasteEnds   = "\x1b[201~"
)
