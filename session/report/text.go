package report

import (
	"io"
	"strings"

	"github.com/rivo/uniseg"
)

// paperWidth is the usual width of a page of plain text or an e-mail.
const paperWidth = 72

func writeText(w io.Writer, d Document) error {
	_, err := io.WriteString(w, d.TextIn(paperWidth))
	return err
}

// TextIn is the document as plain text, wrapped at columns; tables keep their width.
func (d Document) TextIn(columns int) string {
	var b strings.Builder
	underlined := func(text, with string) {
		line := strings.Repeat(with, min(uniseg.StringWidth(text), columns))
		b.WriteString(wrap(columns, text, "") + line + "\n")
	}
	underlined(d.Title, "=")
	top := b.Len()
	var before block
	for _, part := range d.parts() {
		if part.Heading != "" {
			if b.Len() > top {
				b.WriteByte('\n')
			}
			underlined(part.Heading, "-")
			before = block{}
		}
		for _, block := range part.Blocks {
			apart := block.Heading != "" || block.Table != nil || before.Table != nil || block.Strips != nil ||
				block.Text != "" && before.List != nil
			if b.Len() > top && apart {
				b.WriteByte('\n')
			}
			writeTextBlock(&b, columns, block)
			before = block
		}
	}
	return b.String()
}

func writeTextBlock(b *strings.Builder, columns int, block block) {
	if words := block.Heading + block.Text; words != "" {
		b.WriteString(wrap(columns, words, ""))
	}
	for _, point := range block.List {
		b.WriteString(wrap(columns, point, "- "))
	}
	if block.Table != nil {
		writeTextTable(b, columns, *block.Table)
	}
	if block.Strips != nil {
		b.WriteString("  " + strings.Join(block.Strips.Lines(), "\n  ") + "\n")
	}
}

// wrap breaks text between words, or within words that are too long. mark goes before the first line.
func wrap(columns int, text, mark string) string {
	var b strings.Builder
	line, gap := mark, ""
	for _, word := range words(text, columns-uniseg.StringWidth(mark)) {
		if gap != "" && uniseg.StringWidth(line+gap+word) > columns {
			b.WriteString(line + "\n")
			line, gap = strings.Repeat(" ", uniseg.StringWidth(mark)), ""
		}
		line, gap = line+gap+word, " "
	}
	return b.String() + line + "\n"
}

// words splits text into words, and words wider than most between characters.
func words(text string, most int) []string {
	var all []string
	for _, word := range strings.Fields(text) {
		piece, width := "", 0
		for chars := uniseg.NewGraphemes(word); chars.Next(); {
			if width > 0 && width+chars.Width() > most {
				all = append(all, piece)
				piece, width = "", 0
			}
			piece, width = piece+chars.Str(), width+chars.Width()
		}
		all = append(all, piece)
	}
	return all
}

func writeTextTable(b *strings.Builder, columns int, t table) {
	if t.Caption != "" {
		b.WriteString(wrap(columns, t.Caption, ""))
	}
	widths, rows := make([]int, len(t.Head)), append([][]string{t.Head}, t.Rows...)
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], uniseg.StringWidth(cell))
		}
	}
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-uniseg.StringWidth(cell))
			switch {
			case i == 0:
				line = "  " + cell + pad
			case t.Words && i == len(row)-1:
				line = strings.TrimSuffix(wrap(columns, cell, line+"   "), "\n")
			default:
				line += "   " + pad + cell
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}
