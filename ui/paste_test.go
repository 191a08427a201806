package ui

import (
	"io"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/ui/look"
)

// megabyte is what somebody pastes by mistake: a million letters, some of which steer a terminal.
var megabyte = strings.Repeat("Sapwood \x1b[31m弓\u202e,\n", 1<<20/23)

// A megabyte pasted into any field is cut, and it is said; what was typed before stays, and so does the entry.
func TestAMegabytePastedIsCutWithAWord(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(megabyte), Paste: true}
	h.press("enter", "n", "Before. ")
	h.send(paste)
	h.see("it is cut after 16000 letters")
	h.fits(80, 24)
	h.press("enter")
	h.see("Saved")
	story := h.app.top().(*bench).atWork.Story()
	note, isNote := story.Lines[len(story.Lines)-1].Entry.What.(model.Note)
	if n := len([]rune(note.Text)); !isNote || n < mostTyped-1 || !strings.HasPrefix(note.Text, "Before. Sapwood ") {
		t.Errorf("the note has %d letters: %.40q", n, note.Text)
	}
	for _, keys := range [][]string{{"p", "18"}, {"p", "18", "enter"}, {"s"}, {"e", "down", "x"}, {"d"}, {"w"}, {"?"}, {"esc", "/"}} {
		h = sit(t, look.NoColour, true, 80, 24)
		before := h.entries()
		h.press("enter").press(keys...)
		h.send(paste)
		h.fits(80, 24)
		if h.press("enter"); h.entries() < before {
			t.Errorf("%q: an entry was lost", keys)
		}
	}
}

// typedKeys is a terminal at which keys were typed already.
type typedKeys struct{ io.Reader }

func (typedKeys) Write(p []byte) (int, error) { return len(p), nil }
func (typedKeys) Close() error                { return nil }
func (typedKeys) Fd() uintptr                 { return ^uintptr(0) }
func (typedKeys) Name() string                { return "keys" }

// However the bytes of keys and pastes come, all that a field can hold goes through, and the rest of a paste does not.
func TestOnlyTheRestOfALongPasteIsCutFromTheBytes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var typed, want strings.Builder
		for range rapid.IntRange(0, 6).Draw(t, "parts") {
			keys := rapid.SampledFrom([]string{"", "a", "\x1b[A", "\x1b[20", "\x1b[201~", "弓", "\x1b"}).Draw(t, "keys")
			text := strings.Repeat(rapid.SampledFrom([]string{"x", "弓\x1b", "\x1b[20"}).Draw(t, "text"), rapid.SampledFrom([]int{0, 1, 1000, mostPasted / 4, mostPasted}).Draw(t, "times"))
			for _, to := range []*strings.Builder{&typed, &want} {
				to.WriteString(keys + pasteBegins)
			}
			typed.WriteString(text + pasteEnds)
			if len(text)+len(pasteEnds) > mostPasted {
				text = text[:mostPasted]
			}
			want.WriteString(text + pasteEnds)
		}
		in := cutPastes(typedKeys{strings.NewReader(typed.String())})
		var got strings.Builder
		for {
			p := make([]byte, rapid.IntRange(32, 256).Draw(t, "room"))
			n, err := in.Read(p)
			got.Write(p[:n])
			if err != nil {
				break
			}
		}
		if got.String() != want.String() {
			t.Fatalf("of %d bytes %d came, want %d", typed.Len(), got.Len(), want.Len())
		}
	})
}

// BenchmarkPasteAMegabyte is the way of a paste from the terminal's bytes to the screen that says that it was cut.
func BenchmarkPasteAMegabyte(b *testing.B) {
	for b.Loop() {
		h := sit(b, look.NoColour, false, 80, 24)
		keys := typedKeys{io.MultiReader(strings.NewReader("n"), strings.NewReader(pasteBegins+megabyte+pasteEnds), strings.NewReader("\x03"))}
		program := tea.NewProgram(h.app, tea.WithInput(struct{ io.Reader }{cutPastes(keys)}), tea.WithOutput(io.Discard), tea.WithoutSignalHandler())
		if _, err := program.Run(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPasteTaken is the same from the key message on.
func BenchmarkPasteTaken(b *testing.B) {
	h := sit(b, look.NoColour, true, 80, 24)
	h.press("enter", "n")
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(megabyte), Paste: true}
	for b.Loop() {
		h.send(tea.KeyMsg{Type: tea.KeyCtrlU})
		h.send(paste)
		_ = h.app.View()
	}
}
