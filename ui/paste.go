package ui

import (
	"io"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// What is pasted is cut before it costs time: bubbletea looks through all of a paste again with each 256 bytes that come of
// it, so that a megabyte by mistake would hold up the screen for seconds, and a field holds no more than mostTyped letters.

// mostPasted is how many bytes of a paste are read: more than a field's letters can have, so that the form still says that it cut them.
const mostPasted = 5 * mostTyped

// The marks that a terminal sets before and behind what is pasted (xterm, "bracketed paste mode").
const (
	pasteBegins = "\x1b[200~"
	pasteEnds   = "\x1b[201~"
)

// keyboard is what bubbletea asks of a terminal to read keys from.
type keyboard interface {
	io.ReadWriteCloser
	Fd() uintptr
	Name() string
}

// pasteCutter is a terminal of whose pastes no more than mostPasted bytes are read.
type pasteCutter struct {
	keyboard
	pasting bool
	passed  int    // bytes of this paste that were handed on
	seen    []byte // the last bytes, among which a mark may have begun
}

// cutPastes is the input with its pastes cut, where it is a terminal.
func cutPastes(in io.Reader) io.Reader {
	if terminal, ok := in.(keyboard); ok {
		return &pasteCutter{keyboard: terminal}
	}
	return in
}

// Read implements io.Reader. It holds nothing back, because whoever reads waits for the terminal itself; the rest of a
// paste goes by within one call.
func (c *pasteCutter) Read(p []byte) (int, error) {
	for {
		room := p
		if c.full() && len(p) > len(pasteEnds) {
			room = p[:len(p)-len(pasteEnds)+1] // the mark behind may have begun in what was read before
		}
		n, err := c.keyboard.Read(room)
		kept := copy(p, c.cut(room[:n]))
		if n == 0 || kept > 0 || err != nil {
			return kept, err
		}
	}
}

// full says whether what comes is too much of a paste.
func (c *pasteCutter) full() bool { return c.pasting && c.passed >= mostPasted }

// cut is what is left of bytes that were read, without what is too much of a paste.
func (c *pasteCutter) cut(read []byte) []byte {
	kept := make([]byte, 0, len(read)+len(pasteEnds))
	for _, b := range read {
		c.seen = append(c.seen, b)
		if extra := len(c.seen) - len(pasteEnds); extra > 0 {
			c.seen = c.seen[:copy(c.seen, c.seen[extra:])]
		}
		switch {
		case !c.pasting:
			c.pasting, c.passed = string(c.seen) == pasteBegins, 0
			kept = append(kept, b)
		case !c.full():
			c.passed++
			c.pasting = string(c.seen) != pasteEnds
			kept = append(kept, b)
		case string(c.seen) == pasteEnds:
			c.pasting = false
			kept = append(kept, pasteEnds...)
		}
	}
	return kept
}

// cutPaste is a key message without the rest of a long paste; long says that it is one, which may have been cut before.
func cutPaste(msg tea.KeyMsg) (cut tea.KeyMsg, long bool) {
	if !msg.Paste {
		return msg, false
	}
	size := 0
	for i, r := range msg.Runes {
		if size += utf8.RuneLen(r); size >= mostPasted-utf8.UTFMax {
			msg.Runes = msg.Runes[:i]
			return msg, true
		}
	}
	return msg, false
}
