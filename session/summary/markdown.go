package summary

import (
	"strings"
)

// Markdown is the document as Markdown (CommonMark with tables). All that is not the document's own structure is escaped.
func (d Document) Markdown() string {
	var b strings.Builder
	b.WriteString("# " + escape(d.Title) + "\n")
	for _, block := range d.Blocks {
		b.WriteByte('\n')
		switch block := block.(type) {
		case Heading:
			b.WriteString(strings.Repeat("#", block.Level) + " " + escape(block.Text) + "\n")
		case Paragraph:
			b.WriteString(escapeStart(string(block)) + "\n")
		case List:
			for _, point := range block {
				b.WriteString("- " + escapeStart(point) + "\n")
			}
		case Table:
			if block.Caption != "" {
				b.WriteString(escape(block.Caption) + "\n\n")
			}
			writeRow(&b, block.Head)
			b.WriteString("| :--- |" + strings.Repeat(" ---: |", max(len(block.Head)-1, 0)) + "\n")
			for _, row := range block.Rows {
				writeRow(&b, row)
			}
		}
	}
	return b.String()
}

func writeRow(b *strings.Builder, cells []string) {
	b.WriteByte('|')
	for _, cell := range cells {
		b.WriteString(" " + escape(cell) + " |")
	}
	b.WriteByte('\n')
}

// escapeStart is escape for text that begins a line, where a dash, a plus or a number's point would make a list.
func escapeStart(text string) string {
	escaped := escape(text)
	if text == "" {
		return ""
	}
	if strings.ContainsRune("-+=", rune(text[0])) {
		return "\\" + escaped
	}
	rest := strings.TrimLeft(text, "0123456789")
	if digits := len(text) - len(rest); digits > 0 && rest != "" && strings.ContainsRune(".)", rune(rest[0])) && strings.TrimLeft(rest[1:], " ") != rest[1:] {
		return text[:digits] + "\\" + escaped[digits:]
	}
	return escaped
}

// escape keeps text from being read as Markdown or HTML.
func escape(text string) string {
	var b strings.Builder
	for _, r := range text {
		if strings.ContainsRune("\\`*_{}[]<>#|~&", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}
