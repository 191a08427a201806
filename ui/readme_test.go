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
	t.Parallel()
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
			content = "```text\n" + trimmed(show(t, views[match[2]]).app.View()) + "```\n"
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

// A keyTable is a screen with the keys that lead to others of which there is a table.
type keyTable struct {
	heading string
	keys    []action
	leads   map[string]string // first key of an action → heading of the screen that it opens
}

// keyTables are the keys of each screen, as its help explains them, with the title of the screen that each opens.
func keyTables(t *testing.T) string {
	t.Helper()
	h := sit(t, look.NoColour, true, 80, 24)
	var tables []*keyTable
	table := func(heading string, s screen) *keyTable {
		one := &keyTable{heading: heading, keys: s.actions(), leads: map[string]string{}}
		tables = append(tables, one)
		return one
	}
	// from presses a key on a screen and makes the table of the screen that it opens.
	from := func(of *keyTable, key, heading string) *keyTable {
		h.press(key)
		of.leads[key] = heading
		return table(heading, h.app.top())
	}
	rack := table("The rack", h.app.top())
	atBench := from(rack, "enter", "The bench")
	from(atBench, " ", "The hold clock")
	h.press("esc")
	open := h.app.top().(*bench)
	table("A form", h.app.desk.enter(open.atWork, sheet.Note(open.atWork.Story())).open)
	for _, s := range []struct{ heading, key string }{{"What the readings say", "a"}, {"Where to take wood", "g"}, {"The story", "t"}, {"The entries", "e"}, {"The summary", "w"}} {
		from(atBench, s.key, s.heading)
		h.press("esc")
	}
	finishing := from(atBench, "f", "The finishing")
	from(finishing, "o", "The order's checks")
	h.press("esc")
	from(finishing, "h", "The card")
	h.press("esc", "esc", "esc")
	from(rack, "t", "What can be done today")
	h.press("esc")
	from(rack, "c", "Bows side by side")
	h.press("esc")
	from(rack, "s", "The shop's settings")
	rack.leads["f"] = finishing.heading

	var b strings.Builder
	for _, table := range tables {
		fmt.Fprintf(&b, "\n**%s**\n\n| key | what it does |\n| --- | --- |\n", table.heading)
		for _, action := range table.keys {
			keys := "`" + strings.Join(action.names(), "`, `") + "`"
			what := action.long
			if heading := table.leads[action.keys[0]]; heading != "" {
				what = "**" + heading + "** (" + action.name + "): " + what
			}
			fmt.Fprintf(&b, "| %s | %s |\n", keys, what)
		}
	}
	return b.String() + "\n"
}
