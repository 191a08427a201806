package ui

import (
	"maps"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/record"
	"bendbook/session/shop"
	"bendbook/ui/look"
)

// FuzzKeys turns bytes into what can come from a terminal: no panic, no view that is wider or taller than the window, and
// what was once in the book stays there as it was.
func FuzzKeys(f *testing.F) {
	const leave = 0x7f
	for _, seed := range []string{
		"\x00p18\x0041.2\x00\x02", "\x00p18\x00\x01c\x7f\x00c\x02", "\x00s" + "l\x004\x0012\x00scraper\x00\x02u\x00", "nAsh\x00\xdbyew \x1b[31m\u202e and more words\x00\x02",
		"\x80\x3c\x14\x00pppp\x80\xff\xff\x80\x00\x00q", "\x00o\x01t\x01f\x01d\x01w" + "mmmmm\x01", "\x00\xf818 20 21\x00", "/ash\x00\x00?\x04\x04\x01",
	} {
		f.Add([]byte(seed))
		f.Add([]byte("\x7f" + seed))
	}
	kinds := slices.Sorted(maps.Keys(named))
	kinds = slices.DeleteFunc(kinds, func(name string) bool { return name == "enter" || name == "esc" || name == "ctrl+s" })
	kinds = append([]string{"enter", "esc", "ctrl+s"}, kinds...)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 400 {
			return
		}
		h := oneBow(t)
		h.hold = len(data)%16 != 0 // what is reckoned beside takes its time: mostly it comes too late
		width, height := 80, 24
		kept := h.documents()
		take := func(n int) []byte {
			n = min(n, len(data))
			taken := data[:n]
			data = data[n:]
			return taken
		}
		for len(data) > 0 {
			switch b := take(1)[0]; {
			case b < 0x20:
				h.press(kinds[int(b)%len(kinds)])
			case b < leave:
				h.press(string(rune(b)))
			case b == leave: // leaving and coming again
				h.send(leaveMsg{})
				if err := h.app.leave(); err != nil {
					t.Fatal(err)
				}
			case b < 0xc0:
				if size := take(2); len(size) == 2 {
					width, height = int(size[0]), int(size[1])/2
					h.resize(width, height)
				}
			default:
				text := []rune(strings.ToValidUTF8(string(take(int(b&0x1f)+1)), "\u202e"))
				h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: text, Paste: b < 0xe0})
			}
			h.fits(width, height)
			if h.app.ended {
				h.open(look.NoColour, width, height)
				h.held = nil
			}
			now := h.documents()
			for key, doc := range kept {
				if now[key] != doc {
					t.Fatalf("the entry %s was\n%s\nand is\n%s", key, doc, now[key])
				}
			}
			kept = now
		}
	})
}

// oneBow is an app on a book with one bow, which opens quickly.
func oneBow(t testing.TB) *hands {
	t.Helper()
	clock := morning
	h := handsOn(t, 1, &clock)
	if err := h.shop.Import(strings.NewReader(measuredAsh), func(shop.Imported) {}); err != nil {
		t.Fatal(err)
	}
	h.open(look.NoColour, 80, 24)
	return h
}

// documents are the entries of all bows as they stand in the book, by bow and id.
func (h *hands) documents() map[string]string {
	h.t.Helper()
	all := make(map[string]string)
	err := h.book.Bows(func(desc record.Description) error {
		items, err := h.book.Items(desc.Bow.ID)
		for _, item := range items {
			all[desc.Bow.ID+" "+item.Entry.ID] = string(item.Doc)
		}
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
	return all
}

// measuredAsh is a bow whose widths and depths are known at its stations, 1.5 in wide and from 0.9 in deep at the root; under 5/8 of the width at the last.
const measuredAsh = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"ash-1","name":"Measured ash","wood":"ash","handle":4,"section":"D","handle_depth":1.25,` +
	`"limbs":{"upper":{"length":34,"stations":[6,16,28],"widths":[1.3,1.2,0.9],"depths":[0.92,0.8,0.5]},"lower":{"length":34,"stations":[6,16,28],"widths":[1.3,1.2,0.9],"depths":[0.92,0.8,0.6]}},` +
	`"order":{"draw":28,"weight":60},"readings":{"rule":0.0625,"scale":0.1}},"entries":[{"kind":"braced","height":6},{"kind":"pull","draw":20,"peak":40},{"kind":"pull","draw":24,"peak":50}]}`
