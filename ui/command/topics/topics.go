// Package topics has the help topics, which the command line prints and the screens show behind their keys.
package topics

import (
	"embed"
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/session/form"
	"bendbook/session/report/table"
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
	return strings.TrimSpace(filled(string(text)))
}

// filled puts in what the kinds of entry say of themselves.
func filled(text string) string {
	var entries, kinds []string
	for _, kind := range form.Kinds() {
		if kind.Line != "" {
			entries = append(entries, "  "+lines(kind.Line, 74, "    "))
		}
	}
	for _, kind := range model.Kinds() {
		kinds = append(kinds, fmt.Sprintf("`%s`", kind))
	}
	return strings.NewReplacer("{{entries}}", strings.Join(entries, "\n"),
		"{{kinds}}", lines(strings.Join(kinds, ", "), 60, "  "),
		"{{rows}}", lines(strings.Join(table.Kinds(), ", "), 55, strings.Repeat(" ", 23))).Replace(text)
}

// lines breaks a text after width cells, and begins each further line with a margin.
func lines(text string, width int, margin string) string {
	return strings.ReplaceAll(ansi.Wordwrap(text, width, ""), "\n", "\n"+margin)
}
