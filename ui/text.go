package ui

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// row sets cells side by side, each cut or padded to its column's width, two blanks between.
func row(widths []int, cells ...string) string {
	cells = slices.Clone(cells)
	for i, cell := range cells {
		cells[i] = left(cell, widths[i])
	}
	return strings.Join(cells, "  ")
}

// left is text cut or padded to exactly width cells, on the left.
func left(text string, width int) string {
	text = ansi.Truncate(text, max(0, width), "~")
	return text + strings.Repeat(" ", max(0, width-ansi.StringWidth(text)))
}

// right is text cut or padded to exactly width cells, on the right.
func right(text string, width int) string {
	text = ansi.Truncate(text, max(0, width), "~")
	return strings.Repeat(" ", max(0, width-ansi.StringWidth(text))) + text
}

// lengthen makes the lines n: empty ones are added, those too many cut.
func lengthen(lines []string, n int) []string {
	for len(lines) < n {
		lines = append(lines, "")
	}
	return lines[:n]
}

// beside sets blocks of lines side by side, each padded to its width, with gap blanks between.
func beside(gap int, blocks ...block) []string {
	height := 0
	for _, b := range blocks {
		height = max(height, len(b.lines))
	}
	lines := make([]string, height)
	for k, b := range blocks {
		for i, text := range lengthen(slices.Clip(b.lines), height) {
			lines[i] += strings.Repeat(" ", min(k, 1)*gap) + left(text, b.width)
		}
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return lines
}

type block struct {
	width int
	lines []string
}

// fraction is where a length is not broken, as in 6 3/8.
var fraction = regexp.MustCompile(`(\d) (\d+/\d)`)

func broken(text string, width int) []string {
	const whole = "\u00a0" // a blank that doesn't break
	text = ansi.Wrap(fraction.ReplaceAllString(text, "$1"+whole+"$2"), width, "")
	return strings.Split(strings.ReplaceAll(text, whole, " "), "\n")
}

// wrapped is text broken into at most n lines of width cells, between words and within one that no line can
// hold; where it needs more, the last is cut.
func wrapped(text string, width, n int) []string {
	lines := broken(text, width)
	if len(lines) > n {
		lines = append(lines[:n-1], ansi.Truncate(strings.Join(lines[n-1:], " "), width, "~"))
	}
	return lines
}

// fitted is a text without its last sentences, where n lines have no room for all of it; no lines for "".
func fitted(text string, width, n int) []string {
	if text == "" {
		return nil
	}
	for len(broken(text, width)) > n {
		end := strings.LastIndex(text[:len(text)-1], ". ")
		if end < 0 {
			break
		}
		text = text[:end+1]
	}
	return wrapped(text, width, n)
}

func styled(style lipgloss.Style, text string, width, n int) []string {
	return rendered(style, wrapped(text, width, n))
}

func rendered(style lipgloss.Style, lines []string) []string {
	for i, line := range lines {
		lines[i] = style.Render(line)
	}
	return lines
}

// scrolled is a table cut to n lines: its head, the rows from first on, which is limited so that they fill
// them, and dots if more follow.
func scrolled(lines []string, first *int, n int) []string {
	if len(lines) <= n || n < 3 {
		*first = 0
		return lines[:min(len(lines), max(0, n))]
	}
	*first = max(0, min(*first, len(lines)-n))
	shown := append([]string{lines[0]}, lines[1+*first:*first+n]...)
	if *first+n < len(lines) {
		shown[n-1] = "..."
	}
	return shown
}

// partLines are headings and points, wrapped to the width.
func partLines(s look.Styles, parts []verdict.Part, width int) []string {
	var lines []string
	for _, p := range parts {
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, s.Strong.Render(p.Heading))
		for _, text := range p.Texts {
			lead := "- "
			for _, line := range wrapped(text, width-4, 12) {
				lines = append(lines, lead+line)
				lead = "  "
			}
		}
	}
	return lines
}

// leftToRight is U+200E, which no terminal shows: what stands behind it goes on from left to right.
const leftToRight = "\u200e"

// runs are letters written from right to left with what joins them: blanks one at a time, signs, marks.
var runs = regexp.MustCompile(
	`(?:[\p{Hebrew}\p{Arabic}\p{Syriac}\p{Thaana}\p{Nko}\p{Adlam}]\p{Mn}*` +
		`(?:(?:[^\pL\pN\x1b\n─-█ ]* )?[^\pL\pN\x1b\n─-█ ]*` +
		`[\p{Hebrew}\p{Arabic}\p{Syriac}\p{Thaana}\p{Nko}\p{Adlam}]\p{Mn}*)*)`)

// steady closes each run of letters that are written from right to left by a mark, so that a terminal that
// turns them round leaves what stands behind them, mostly a column of figures, where it was put.
func steady(text string) string { return runs.ReplaceAllString(text, "$0"+leftToRight) }

func inColumns(cells [][]string) []string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, line := range cells {
		fmt.Fprintln(w, strings.Join(line, "\t"))
	}
	w.Flush()
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// rangedColumns are cells in columns; where room is short the first ones lose their ranges, behind " (".
func rangedColumns(cells [][]string, width, ranged int) []string {
	lines := inColumns(cells)
	for column := 1; column <= ranged; column++ {
		if slices.ContainsFunc(lines, func(line string) bool { return ansi.StringWidth(line) > width }) {
			for _, line := range cells {
				line[column], _, _ = strings.Cut(line[column], " (")
			}
			lines = inColumns(cells)
		}
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(ansi.Truncate(line, width, "~"), " ")
	}
	return lines
}
