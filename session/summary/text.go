package summary

import (
	"strings"

	"github.com/rivo/uniseg"
)

// paperWidth is how wide a line of text is at the most: a page's and an e-mail's usual measure.
const paperWidth = 72

// Text is the document as plain text, wrapped at 72 columns.
func (d Document) Text() string { return d.TextIn(paperWidth) }

// TextIn is the document as plain text, wrapped at columns; tables keep their width.
func (d Document) TextIn(columns int) string {
	var b strings.Builder
	underline(&b, columns, d.Title, "=")
	for i, block := range d.Blocks {
		if i > 0 && standsApart(d.Blocks[i-1], block) {
			b.WriteByte('\n')
		}
		switch block := block.(type) {
		case Heading:
			if block.Level <= 2 {
				underline(&b, columns, block.Text, "-")
			} else {
				b.WriteString(wrap(columns, block.Text, "", ""))
			}
		case Paragraph:
			b.WriteString(wrap(columns, string(block), "", ""))
		case List:
			for _, point := range block {
				b.WriteString(wrap(columns, point, "- ", "  "))
			}
		case Table:
			writeTable(&b, columns, block)
		}
	}
	return b.String()
}

// standsApart says whether an empty line lies between two blocks.
func standsApart(before, block Block) bool {
	_, heading := block.(Heading)
	_, table := block.(Table)
	_, afterTable := before.(Table)
	_, paragraph := block.(Paragraph)
	_, afterList := before.(List)
	return heading || table || afterTable || paragraph && afterList
}

func underline(b *strings.Builder, columns int, text, with string) {
	b.WriteString(wrap(columns, text, "", "") + strings.Repeat(with, min(uniseg.StringWidth(text), columns)) + "\n")
}

// wrap breaks text between words, and within one that no line can hold; first stands before the first line and rest before the others.
func wrap(columns int, text, first, rest string) string {
	var b strings.Builder
	line, width := first, uniseg.StringWidth(first)
	empty := true
	for _, word := range words(text, columns-max(uniseg.StringWidth(first), uniseg.StringWidth(rest))) {
		w := uniseg.StringWidth(word)
		if !empty && width+1+w > columns {
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

// words are the text's words, those wider than most broken between characters.
func words(text string, most int) []string {
	var all []string
	for _, word := range strings.Fields(text) {
		var piece strings.Builder
		width := 0
		for state := -1; word != ""; {
			var char string
			var w int
			char, word, w, state = uniseg.FirstGraphemeClusterInString(word, state)
			if width+w > most && width > 0 {
				all = append(all, piece.String())
				piece.Reset()
				width = 0
			}
			piece.WriteString(char)
			width += w
		}
		all = append(all, piece.String())
	}
	return all
}

func writeTable(b *strings.Builder, columns int, t Table) {
	if t.Caption != "" {
		b.WriteString(wrap(columns, t.Caption, "", ""))
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
}
