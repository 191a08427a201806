package ui

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/ui/look"
)

// tells is what the whole book tells, without what was struck out.
func (h *hands) tells() string {
	h.t.Helper()
	rows, err := h.shop.Rack()
	if err != nil {
		h.t.Fatal(err)
	}
	tells := fmt.Sprintf("%+v", h.settings())
	for _, row := range rows {
		story, err := h.shop.Story(row.Bow.ID)
		if err != nil {
			h.t.Fatal(err)
		}
		tells += fmt.Sprintf("\n%+v %s %q", story.Bow(), story.Stage(), row.HalfTyped)
		for _, line := range story.Lines {
			if _, isVoid := line.Entry.What.(model.Void); line.Counts() && !isVoid {
				tells += "\n" + string(line.Doc)
			}
		}
	}
	return tells
}

// turn undoes or brings back one thing, which is asked about unless it was made just now.
func (h *hands) turn(key, did string) {
	h.t.Helper()
	before := h.tells()
	if h.press(key); strings.Contains(h.app.View(), key+" again ") {
		if h.tells() != before {
			h.t.Fatal("it was done before it was asked about")
		}
		h.press(key)
	}
	h.see(did)
}

// What was done on each screen that writes is undone on each of them, one thing after the other, and brought
// back.
func TestEveryScreenThatWritesUndoes(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 100, 30)
	toBench := func() { h.press("esc", "esc", "esc").press("/", "wren", "enter") }
	toBench()
	things := []struct {
		name string
		do   func()
	}{
		{"an entry", func() { h.press("x", "30", "enter") }},
		{"a description", func() { h.press("d", "Elm for Wren", "ctrl+s") }},
		{"a form thrown away", func() { h.press("p", "12", "enter", "ctrl+x", "ctrl+x") }},
		{"the plan", func() { h.press("g", "L", "L", "esc") }},
		{"a note", func() { h.press("n", "flat at 12", "enter") }},
		{"a correction", func() {
			h.press("e", "enter").press(slices.Repeat([]string{"backspace"}, 10)...).press("flat at 16", "enter").press("esc")
		}},
		{"a void", func() { h.press("e", "delete", "wrong bow", "enter", "esc") }},
		{"a stage", func() { h.press("f", "D", "-1", "enter", "esc") }},
		{"a setting", func() { h.press("esc", ",").change("hold", "8").press("esc") }},
		{"an aside", func() { h.press("o", "horn ordered", "enter") }},
	}
	told := []string{h.tells()}
	for _, thing := range things {
		thing.do()
		if told = append(told, h.tells()); told[len(told)-1] == told[len(told)-2] && thing.name != "a form thrown away" {
			t.Fatalf("%s changed nothing:\n%s", thing.name, h.app.View())
		}
	}
	h.hold = true // what the readings say is not needed any more
	screens := map[string]func(){
		"rack": func() {}, "settings": func() { h.press(",") }, "bench": toBench,
		"finish":  func() { toBench(); h.press("f") },
		"entries": func() { toBench(); h.press("e") },
		"plan":    func() { toBench(); h.press("g") },
	}
	for screen, open := range screens {
		open()
		for n, thing := range slices.Backward(things) {
			h.turn("u", "Undone; U ")
			// A form that was thrown away is back.
			if thing.name == "a form thrown away" {
				h.miss("nothing")
			} else if halfTyped(h.tells()) != halfTyped(told[n]) {
				t.Fatalf("%s: after undoing %s it is\n%s", screen, thing.name, unlike(h.tells(), told[n]))
			}
		}
		for n, thing := range things {
			h.turn("U", " again: ")
			if halfTyped(h.tells()) != halfTyped(told[n+1]) {
				t.Fatalf("%s: after bringing %s back it is\n%s", screen, thing.name, unlike(h.tells(), told[n+1]))
			}
		}
		h.press("esc", "esc", "esc")
	}
}

// unlike are the lines that only one of two texts has.
func unlike(got, want string) (lines string) {
	for sign, text := range map[string][2]string{"+": {got, want}, "-": {want, got}} {
		for line := range strings.SplitSeq(text[0], "\n") {
			if !strings.Contains(text[1], line) {
				lines += sign + line + "\n"
			}
		}
	}
	return lines
}

// halfTyped leaves out what is half typed: a form that is back stays until it is thrown away again.
func halfTyped(tells string) string { return strings.ReplaceAll(tells, `"pull"`, `""`) }
