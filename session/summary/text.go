package summary

import (
	"strings"

	"github.com/rivo/uniseg"
)

// paperWidth is how wide a line of text is at the most: a page's and an e-mail's usual measure.
const paperWidth = 72

// Text is the document as plain text, wrapped at 72 columns.
func (d Document) Text() string {
	var b strings.Builder
	underline(&b, d.Title, "=")
	for _, block := range d.Blocks {
		switch block := block.(type) {
		case Heading:
			b.WriteByte('\n')
			if block.Level <= 2 {
				underline(&b, block.Text, "-")
			} else {
				b.WriteString(block.Text + "\n")
			}
		case Paragraph:
			b.WriteString(wrap(string(block), "", ""))
		case List:
			for _, point := range block {
				b.WriteString(wrap(point, "- ", "  "))
			}
		case Table:
			writeTable(&b, block)
		}
	}
	return b.String()
}

func underline(b *strings.Builder, text, with string) {
	b.WriteString(text + "\n" + strings.Repeat(with, min(uniseg.StringWidth(text), paperWidth)) + "\n")
}

// wrap breaks text between words; first stands before the first line and rest before the others.
func wrap(text, first, rest string) string {
	var b strings.Builder
	line, width := first, uniseg.StringWidth(first)
	empty := true
	for _, word := range strings.Fields(text) {
		w := uniseg.StringWidth(word)
		if !empty && width+1+w > paperWidth {
			b.WriteString(line + "\n")
			line, width, empty = rest, uniseg.StringWidth(rest), true
		}
		if !empty {
			line, width = line+" ", width+1
		}
		line, width, empty = line+word, width+w, false
	}
	return b.String() + line + "\n"
}

func writeTable(b *strings.Builder, t Table) {
	b.WriteByte('\n')
	if t.Caption != "" {
		b.WriteString(wrap(t.Caption, "", ""))
	}
	widths := make([]int, len(t.Head))
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], uniseg.StringWidth(cell))
		}
	}
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		var line strings.Builder
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-uniseg.StringWidth(cell))
			if i == 0 {
				line.WriteString("  " + cell + pad)
			} else {
				line.WriteString("   " + pad + cell)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	b.WriteByte('\n')
}
