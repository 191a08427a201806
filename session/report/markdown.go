package report

import "strings"

// Markdown is the document as Markdown (CommonMark with tables). Its words are escaped.
func (d Document) Markdown() string {
	var b strings.Builder
	b.WriteString("# " + escape(d.Title) + "\n")
	writeMarkdown(&b, block{List: lines(d.Facts)})
	for _, part := range d.Parts {
		if part.Heading != "" {
			b.WriteString("\n## " + escape(part.Heading) + "\n")
		}
		for _, block := range part.Blocks {
			writeMarkdown(&b, block)
		}
	}
	return b.String()
}

func writeMarkdown(b *strings.Builder, block block) {
	switch {
	case block.Heading != "":
		b.WriteString("\n### " + escape(block.Heading) + "\n")
	case block.Text != "":
		b.WriteString("\n" + escapeStart(block.Text) + "\n")
	case block.List != nil:
		b.WriteByte('\n')
		for _, point := range block.List {
			b.WriteString("- " + escapeStart(point) + "\n")
		}
	case block.Table != nil:
		t := *block.Table
		b.WriteByte('\n')
		if t.Caption != "" {
			b.WriteString(escape(t.Caption) + "\n\n")
		}
		writeRow(b, t.Head)
		b.WriteString("| :--- |" + strings.Repeat(" ---: |", max(len(t.Head)-1, 0)) + "\n")
		for _, row := range t.Rows {
			writeRow(b, row)
		}
	}
}

func writeRow(b *strings.Builder, cells []string) {
	b.WriteByte('|')
	for _, cell := range cells {
		b.WriteString(" " + escape(cell) + " |")
	}
	b.WriteByte('\n')
}

// escapeStart is escape for text that begins a line, where a sign or a number's point would make a list.
func escapeStart(text string) string {
	escaped := escape(text)
	if text == "" {
		return ""
	}
	if strings.ContainsRune("-+=", rune(text[0])) {
		return "\\" + escaped
	}
	rest := strings.TrimLeft(text, "0123456789")
	digits := len(text) - len(rest)
	if digits > 0 && (strings.HasPrefix(rest, ". ") || strings.HasPrefix(rest, ") ")) {
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
