package ui

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// The README's pictures of screens come from the program itself: between a pair of marks such as
// <!-- screen: bench --> and <!-- end --> stands what the program shows. -update writes them anew.
func TestTheReadmeShowsTheRealScreens(t *testing.T) {
	file := filepath.Join("..", "README.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	marked := regexp.MustCompile(`(?s)<!-- screen: ([a-z-]+) -->\n.*?<!-- end -->`)
	found := 0
	made := marked.ReplaceAllStringFunc(string(data), func(part string) string {
		found++
		name := marked.FindStringSubmatch(part)[1]
		return "<!-- screen: " + name + " -->\n```text\n" + trimmed(show(t, views[name]).app.View()) + "```\n<!-- end -->"
	})
	if found == 0 {
		t.Fatal("the README shows no screen")
	}
	if *update {
		if err := os.WriteFile(file, []byte(made), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if made != string(data) {
		t.Error("the README shows other screens than the program; go test ./ui -run Readme -update writes them anew")
	}
}
