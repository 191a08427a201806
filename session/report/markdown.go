package report

import (
	"io"
	"regexp"
	"strings"
)

func writeMarkdown(w io.Writer, d Document) error {
	_, err := io.WriteString(w, d.Markdown())
	return err
}

// Markdown is the document as Markdown (CommonMark with tables). Its words are escaped.
func (d Document) Markdown() string {
	var b strings.Builder
	b.WriteString("# " + escape(d.Title) + "\n")
	for _, part := range d.parts() {
		if part.Heading != "" {
			b.WriteString("\n## " + escape(part.Heading) + "\n")
		}
		for _, block := range part.Blocks {
			b.WriteString(markdown(block))
		}
	}
	return b.String()
}

func markdown(block block) string {
	switch {
	case block.Heading != "":
		return "\n### " + escape(block.Heading) + "\n"
	case block.Text != "":
		return "\n" + escapeStart(block.Text) + "\n"
	case block.List != nil:
		said := "\n"
		for _, point := range block.List {
			said += "- " + escapeStart(point) + "\n"
		}
		return said
	case block.Strips != nil:
		return "\n```text\n" + strings.Join(block.Strips.Lines(), "\n") + "\n```\n"
	case block.Table != nil:
		t := *block.Table
		said := "\n"
		if t.Caption != "" {
			said += escape(t.Caption) + "\n\n"
		}
		aligned := "| :--- |" + strings.Repeat(" ---: |", len(t.Head)-1)
		if t.Words {
			aligned = strings.TrimSuffix(aligned, " ---: |") + " :--- |"
		}
		said += markdownRow(t.Head) + aligned + "\n"
		for _, row := range t.Rows {
			said += markdownRow(row)
		}
		return said
	}
	return ""
}

func markdownRow(cells []string) string {
	row := "|"
	for _, cell := range cells {
		row += " " + escape(cell) + " |"
	}
	return row + "\n"
}

var (
	special = regexp.MustCompile("[\\\\`*_{}\\[\\]<>#|~&]")
	// listed matches the start of a line that Markdown would read as a list or a heading.
	listed = regexp.MustCompile(`^(\d+)([.)] )|^([-+=])`)
)

// escape keeps text from being read as Markdown or HTML.
func escape(text string) string { return special.ReplaceAllString(text, `\$0`) }

func escapeStart(text string) string { return listed.ReplaceAllString(escape(text), `$1\$2$3`) }
