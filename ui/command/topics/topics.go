// Package topics has the help topics, which the command line prints and the screens show behind their keys.
package topics

import (
	"embed"
	"fmt"
	"strings"
)

// Names are all topics, in the order in which they are listed.
func Names() []string {
	return []string{"first-bow", "reading", "verdict", "plan", "finishing", "numbers", "keys", "files",
		"recovery", "settings", "log", "photo", "record", "table"}
}

//go:embed *.md
var files embed.FS

// Title is a topic's heading, "Reading the bow".
func Title(name string) string {
	switch name { // the help of a command has no heading
	case "log":
		return "One line for an entry"
	case "photo":
		return "Stations off a photograph"
	}
	title, _, _ := strings.Cut(strings.TrimPrefix(Text(name), "# "), "\n")
	return title
}

// Text is a topic in Markdown, no line longer than 80 columns.
func Text(name string) string {
	text, err := files.ReadFile(fmt.Sprintf("%s.md", name))
	if err != nil {
		panic(err) // a bug: the files are embedded
	}
	return strings.TrimSpace(string(text))
}
