package ui

import (
	"io"
	"slices"
	"strings"
	"testing"

	"bendbook/model/finish"
	"bendbook/ui/look"
)

// goTo chooses the setting with this label on the settings screen.
func (h *hands) goTo(label string) *hands {
	h.t.Helper()
	screen := h.app.top().(*settingsScreen)
	for i, setting := range screen.all {
		if setting.Label == label {
			screen.at = i
			h.resize(h.app.width, h.app.height)
			return h
		}
	}
	h.t.Fatalf("there is no setting %q", label)
	return h
}

// change empties the field of a setting and answers it anew.
func (h *hands) change(label, answer string) *hands {
	h.t.Helper()
	h.goTo(label).press("enter")
	h.press(slices.Repeat([]string{"backspace"}, 80)...)
	return h.press(answer, "enter")
}

// A shop in centimetres that writes the day first: its new bows, its rack and its forms follow at once, and still do after the book is
// opened anew.
func TestAShopInCentimetresThatWritesTheDayFirst(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 120, 24)
	h.see("2027-03-05")
	h.press(",").change("lengths", "cm")
	h.see("NO: choose 1 inches, 2 centimetres")
	h.press("esc").change("lengths", "centimetres").change("weights", "kilo").change("dates", "day month year")
	h.see("Saved. The book keeps the old settings too.", "*dates               day month year")
	h.press("esc")
	h.see("5 Mar '27", "19 Apr '27", "20.5 at 70.8", "18.1 kg", "14.1 at 52.1", "20.4 kg  ")
	h.miss(" lb at ")
	h.miss("2027-03-05")
	h.press("N", "Elm", "enter")
	h.press("enter", "enter")
	h.see("nock to nock", "Such as 183 cm")
	h.press("esc", "down", "d")
	h.press(slices.Repeat([]string{"down"}, 8)...)
	h.see("due", "5 Mar 2027", "like 1 Feb 2027")
	h.press("ctrl+x")
	h.open(look.NoColour, 120, 24)
	h.see("5 Mar '27")
	if s := h.settings(); s.Units.Length != "cm" || s.Units.Force != "kgf" || s.Dates != "day-month-year" {
		t.Errorf("%+v", s)
	}
}

// What the settings say of the screen holds at once; the terminal's own limits stay.
func TestTheScreenFollowsItsSettings(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	ascii := false
	h.app.desk.Dress = func(screen finish.Screen) look.Styles {
		return look.For(io.Discard, look.TrueColour, look.Unknown, ascii, screen)
	}
	h.press(",").change("colours", "none")
	if view := h.app.View(); strings.Contains(view, "\x1b") || !strings.Contains(view, "─") {
		t.Errorf("no colours, but lines: %q", view)
	}
	h.change("letters", "ascii")
	h.miss("─")
	h.change("colours", "16").change("letters", "as the")
	if view := h.app.View(); !strings.Contains(view, "\x1b[") || strings.Contains(view, "38;") || !strings.Contains(view, "─") {
		t.Errorf("16 colours and lines: %q", view)
	}
	ascii = true
	h.change("colours", "as the")
	h.miss("─")
}

// Settings that cannot be are refused with the reason, a book that cannot be written says so, and nothing is changed.
func TestSettingsThatCannotBeKept(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press(",").goTo("handed over").press("delete")
	h.see("It stays:", "so a bow leaves the shop")
	h.goTo("maker").press("delete")
	h.see("as usual: it has its usual value")
	h.book.Fail = errFull
	h.change("maker", "Holm")
	h.see("not saved: the disk is full. What you typed is still here", "Holm")
	h.press("esc").goTo("filed").press("delete")
	h.see("not saved: the disk is full")
	h.book.Fail = nil
	if s := h.settings(); s.Card.Maker != "" || len(s.Stages) != len(finish.Usual().Stages) {
		t.Errorf("%+v", s)
	}
	h.book.Locked = "another Bendbook has it"
	h.press("enter")
	h.see("change: the book is open to read only")
}

// Stages are moved, left out and added, the mark stays on the one that was moved, and the file says the same.
func TestStagesAreArrangedOnTheScreen(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press(",").goTo("filed").press("+")
	h.see(">  filed")
	names := func() string {
		var all []string
		for _, stage := range h.settings().Stages {
			all = append(all, stage.Name)
		}
		return strings.Join(all, ",")
	}
	if !strings.Contains(names(), "tillered,bowstring made,shot in,scraped,filed,sanded") {
		t.Error(names())
	}
	h.press("delete", "N", "steamed", "enter", "enter", "enter", "enter", "enter", "enter", "12", "enter")
	h.see("steamed", "lies 12 h")
	if !strings.Contains(names(), "tillered,bowstring made,shot in,scraped,sanded,steamed,weighed") {
		t.Error(names())
	}
}

// TestEveryFormOfASummaryIsWrittenFromTheScreen, in the order in which m shows them.
func TestEveryFormOfASummaryIsWrittenFromTheScreen(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("down", "enter", "w", "right") // behind the last session comes the whole bow
	for _, c := range []struct{ says, file, begins string }{
		{"text", "ash-for-wren-story.txt", "Ash for Wren\n===="}, {"Markdown", "ash-for-wren-story.md", "# Ash for Wren\n"},
		{"web page", "ash-for-wren-story.html", "<!DOCTYPE html>\n"}, {"table (CSV)", "ash-for-wren-story.csv", "\ufefftime,pass,kind,draw (in),peak (lb),"},
		{"JSON", "ash-for-wren-story.json", "{\n  \"format\": \"bendbook/summary\""}, {"to print", "ash-for-wren-tally.html", "<!DOCTYPE html>\n"},
	} {
		h.see(c.says)
		h.press("w")
		h.see("Written: " + c.file + " in /shop")
		if !strings.HasPrefix(h.saved[c.file], c.begins) {
			t.Errorf("%s begins with %.60q, want %q", c.file, h.saved[c.file], c.begins)
		}
		h.press("tab")
	}
	h.see("text")
}
