package command

import (
	"embed"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

//go:embed topics/*.md
var topicFiles embed.FS

// addTopics makes each topic a help topic of cobra's: a command that does nothing and is listed apart.
func addTopics(root *cobra.Command) {
	for _, name := range []string{
		"first-bow", "reading", "plan", "finishing", "numbers", "files", "recovery", "record", "table",
	} {
		text := topic(name)
		title, _, _ := strings.Cut(strings.TrimPrefix(text, "# "), "\n")
		root.AddCommand(&cobra.Command{Use: name, Short: title, Long: text})
	}
}

// topic is the text of a topic of that name.
func topic(name string) string {
	text, err := topicFiles.ReadFile(fmt.Sprintf("topics/%s.md", name))
	if err != nil {
		panic(err) // a slip in this package
	}
	return strings.TrimSpace(string(text))
}
