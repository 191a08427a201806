package terminal

import (
	"io"
	"strings"
	"sync"

	"github.com/charmbracelet/x/vt"
)

// screen is the emulator with everything that was ever written to it. It is
// safe for use by the goroutine that feeds it and the test that looks at it.
type screen struct {
	mu      sync.Mutex
	emu     *vt.Emulator
	raw     []byte
	changed chan struct{} // closed, and replaced, at each change
	over    bool          // nothing more will come
}

func newScreen(size Size) *screen {
	return &screen{emu: vt.NewEmulator(size.Columns, size.Rows), changed: make(chan struct{})}
}

// Write draws output of the program. It blocks while the emulator's answers
// are not read; see [screen.answers].
func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.raw = append(s.raw, p...)
	n, err := s.emu.Write(p)
	s.wake()
	return n, err
}

func (s *screen) resize(size Size) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.emu.Resize(size.Columns, size.Rows)
	s.wake()
}

// end says that nothing more will come.
func (s *screen) end() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.over = true
	s.wake()
}

// wake lets everything go on that waits for a change. The lock must be held.
func (s *screen) wake() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// columns is the width of the window.
func (s *screen) columns() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.emu.Width()
}

// look gives the rows as they are, each padded to the full width, whether they
// are the last, and a channel that is closed as soon as anything changes.
func (s *screen) look() (rows []string, over bool, changed <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for y := range s.emu.Height() {
		var row strings.Builder
		for x := 0; x < s.emu.Width(); {
			cell := s.emu.CellAt(x, y)
			if cell == nil || cell.Width < 1 {
				row.WriteByte(' ')
				x++
				continue
			}
			row.WriteString(cell.Content)
			x += cell.Width
		}
		rows = append(rows, row.String())
	}
	return rows, s.over, s.changed
}

// answers copies what the emulator answers to the program's questions until
// [screen.close].
func (s *screen) answers(to io.Writer) {
	_, _ = io.Copy(to, struct{ io.Reader }{s.emu})
}

// close ends the answers. It closes the emulator's pipe, as the emulator's own
// Close also sets a flag that its Read looks at without a lock.
func (s *screen) close() {
	if c, ok := s.emu.InputPipe().(io.Closer); ok {
		_ = c.Close()
	}
}

// plain is the text of rows without trailing blanks.
func plain(rows []string) string {
	trimmed := make([]string, len(rows))
	for i, row := range rows {
		trimmed[i] = strings.TrimRight(row, " ")
	}
	return strings.TrimRight(strings.Join(trimmed, "\n"), "\n")
}

// box draws a frame around rows, so that a failing test shows where the window
// ends.
func box(rows []string, columns int) string {
	edge := strings.Repeat("─", columns)
	var b strings.Builder
	b.WriteString("┌" + edge + "┐\n")
	for _, row := range rows {
		b.WriteString("│" + row + "│\n")
	}
	b.WriteString("└" + edge + "┘")
	return b.String()
}
