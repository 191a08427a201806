package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"bendbook/session/sheet"
	"bendbook/ui/look"
)

// The README's pictures of screens and its table of keys are made by the program itself: between a pair of marks
// such as <!-- screen: bench --> and <!-- end --> stands what the program shows. -update writes them anew.
func TestTheReadmeShowsTheRealScreensAndKeys(t *testing.T) {
	file := filepath.Join("..", "README.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	marked := regexp.MustCompile(`(?s)<!-- (screen: ([a-z-]+)|keys) -->\n.*?<!-- end -->`)
	found := 0
	made := marked.ReplaceAllStringFunc(string(data), func(part string) string {
		found++
		match := marked.FindStringSubmatch(part)
		var content string
		if match[2] != "" {
			content = "```text\n" + picture(t, match[2]) + "```\n"
		} else {
			content = keyTables(t)
		}
		return "<!-- " + match[1] + " -->\n" + content + "<!-- end -->"
	})
	if found < 4 {
		t.Fatalf("the README has only %d marked parts", found)
	}
	if *update {
		if err := os.WriteFile(file, []byte(made), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if made != string(data) {
		t.Error("the README shows other screens or keys than the program; go test ./ui -run Readme -update writes them anew")
	}
}

// picture is a view of the golden files at 80 by 24 without blanks at the ends of lines.
func picture(t *testing.T, name string) string {
	t.Helper()
	for _, view := range views {
		if view.name != name {
			continue
		}
		h := sit(t, look.NoColour, !view.empty, 80, 24)
		h.press(view.keys...)
		var b strings.Builder
		for line := range strings.Lines(h.app.View() + "\n") {
			b.WriteString(strings.TrimRight(line, " \n") + "\n")
		}
		return b.String()
	}
	t.Fatalf("there is no view %q", name)
	return ""
}

// keyTables are the keys of each screen, as its help explains them.
func keyTables(t *testing.T) string {
	t.Helper()
	h := sit(t, look.NoColour, true, 80, 24)
	var b strings.Builder
	table := func(heading string, s screen) {
		fmt.Fprintf(&b, "\n**%s**\n\n| key | what it does |\n| --- | --- |\n", heading)
		for _, action := range s.actions() {
			keys := make([]string, len(action.keys))
			for i, key := range action.keys {
				if key == " " {
					key = "space"
				}
				keys[i] = "`" + key + "`"
			}
			fmt.Fprintf(&b, "| %s | %s |\n", strings.Join(keys, ", "), action.explained())
		}
	}
	table("The rack", h.app.top())
	h.press("enter")
	atBench := h.app.top().(*bench)
	table("The bench", atBench)
	h.press(" ")
	table("The hold clock", h.app.top())
	h.press("esc")
	f, err := entryForm(h.app.desk, atBench.atWork, sheet.Note(atBench.atWork.Story()))
	if err != nil {
		t.Fatal(err)
	}
	table("A form", f)
	for _, s := range []struct{ heading, key string }{{"What the readings say", "a"}, {"Where to take wood", "g"}, {"The story", "t"}, {"The entries", "e"}, {"The summary", "w"}} {
		h.press(s.key)
		table(s.heading, h.app.top())
		h.press("esc")
	}
	h.press("f")
	table("The finishing", h.app.top())
	h.press("o")
	table("The order's checks", h.app.top())
	h.press("esc", "h")
	table("The card", h.app.top())
	h.press("esc", "esc", "esc", "t")
	table("What can be done today", h.app.top())
	h.press("esc", "c")
	table("Bows side by side", h.app.top())
	h.press("esc", "s")
	table("The shop's settings", h.app.top())
	return b.String() + "\n"
}
