package ui

import (
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/digits"
	"bendbook/ui/look"
)

// acrosser is a screen that can show what matters now in block figures, to be read from across the shop.
type acrosser interface {
	across(width, height int) string
}

// enlarge shows a screen so, and as usual again.
func enlarge(keys string) action {
	return action{keys: keys, name: "large", main: true,
		long: "Fill the window with what matters now, to be read from across the shop, and show the screen as " +
			"usual again. All keys stay as they are.",
		do: func() move { return move{enlarge: true} }}
}

// headline is one line across the shop: a word, a figure and its unit.
type headline struct {
	label, figure, unit string
	style               lipgloss.Style // of the figure
	main                bool           // it matters most
}

// poster writes lines as high as they fit into the window, the main one first and then from the top; below
// them, where there is room, plain ones. A laptop's screen of 13 in is some 180 mm high, so at 3 m a
// character of 20 minutes of arc, which is what ISO 9241-303 asks for to read with ease (from memory), takes
// a tenth of a window that fills it: Small is enough for 24 rows, Large for 50, Huge for 100.
func poster(s look.Styles, lines []headline, below []string, width, height int) string {
	sizes := make([]digits.Size, len(lines))
	order := make([]int, len(lines))
	for i := range lines {
		sizes[i], order[i] = digits.Small, i
	}
	if i := slices.IndexFunc(lines, func(h headline) bool { return h.main }); i > 0 {
		order = append([]int{i}, slices.Delete(order, i, i+1)...)
	}
	rows, _ := posterOf(s, lines, sizes, width)
	for _, size := range []digits.Size{digits.Large, digits.Huge} {
		for _, i := range order {
			was := sizes[i]
			sizes[i] = size
			if larger, fit := posterOf(s, lines, sizes, width); fit && len(larger)+len(below) <= height {
				rows = larger
			} else {
				sizes[i] = was
			}
		}
	}
	// Where not all has room, the figures go before what is said below them.
	rows = rows[:min(len(rows), height)]
	below = below[:min(len(below), height-len(rows))]
	return strings.Join(append(lengthen(rows, height-len(below)), below...), "\n")
}

// posterOf are the rows of the lines in their sizes; fit is false where one of them is too wide.
func posterOf(s look.Styles, lines []headline, sizes []digits.Size, width int) (rows []string, fit bool) {
	// Labels stand in a column of their own for each size.
	labels := make(map[digits.Size]int)
	for i, line := range lines {
		if size := sizes[i].Slim(); line.label != "" {
			labels[size] = max(labels[size], digits.Width(line.label, size))
		}
	}
	fit = true
	for i, line := range lines {
		label := labels[sizes[i].Slim()]
		if line.label == "" {
			label = 0
		}
		block, ok := line.write(s, sizes[i], label, width)
		fit = fit && ok
		if i > 0 && sizes[i] != digits.Small {
			rows = append(rows, "")
		}
		rows = append(rows, block...)
	}
	return rows, fit
}

// write is a line in a size, its label in a column of so many cells; ok is false where it is too wide also
// when it is drawn slim and without its unit. It is then written in plain letters.
func (h headline) write(s look.Styles, size digits.Size, label, width int) (rows []string, ok bool) {
	const margin, gap = 2, 2
	slim := size.Slim()
	at := margin
	if label > 0 {
		at += label + gap
	}
	for _, way := range []struct {
		size digits.Size
		unit string
	}{{size, h.unit}, {slim, h.unit}, {slim, ""}} {
		need := at + digits.Width(h.figure, way.size)
		if way.unit != "" {
			need += gap + digits.Width(way.unit, slim)
		}
		if need > width {
			continue
		}
		figure := strings.Split(digits.Render(h.figure, way.size, s.ASCII), "\n")
		name := strings.Split(digits.Render(h.label, slim, s.ASCII), "\n")
		unit := strings.Split(digits.Render(way.unit, slim, s.ASCII), "\n")
		rows = make([]string, size.Rows())
		for i := range rows {
			row := strings.Repeat(" ", margin)
			if label > 0 {
				row += s.Quiet.Render(left(name[i], label)) + strings.Repeat(" ", gap)
			}
			row += h.style.Render(figure[i])
			if way.unit != "" {
				row += strings.Repeat(" ", gap) + s.Quiet.Render(unit[i])
			}
			rows[i] = row
		}
		return rows, true
	}
	return []string{ansi.Truncate(strings.TrimSpace(h.label+"  "+h.figure+" "+h.unit), width, "~")}, false
}
