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

// enlarge turns the view from across the shop on and off.
func (d *Desk) enlarge(keys string) action {
	return action{keys: keys, name: "large", main: true,
		long: "Show what matters now in big letters, to read from across the shop. Press it again to go back. " +
			"All other keys work as before.",
		do: then(func() { d.large = !d.large })}
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
	sizes := slices.Repeat([]digits.Size{digits.Small}, len(lines))
	var order []int
	for i, line := range lines {
		if order = append(order, i); line.main {
			order = slices.Insert(order[:i], 0, i)
		}
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
		block, ok := line.write(s, sizes[i], labels[sizes[i].Slim()], width)
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
	const gap = 2 // also before the first
	slim := size.Slim()
	blocks, at := []block{{}}, gap
	if h.label != "" {
		name := letters(s, s.Quiet, h.label, slim)
		name.width = label
		blocks, at = append(blocks, name), at+label+gap
	}
	for _, way := range []struct {
		size digits.Size
		unit string
	}{{size, h.unit}, {slim, h.unit}, {slim, ""}} {
		figure, unit := letters(s, h.style, h.figure, way.size), letters(s, s.Quiet, way.unit, slim)
		if at+figure.width+min(unit.width, 1)*gap+unit.width <= width {
			return beside(gap, append(blocks, figure, unit)...), true
		}
	}
	return []string{ansi.Truncate(strings.TrimSpace(h.label+"  "+h.figure+" "+h.unit), width, "~")}, false
}

func letters(s look.Styles, style lipgloss.Style, text string, size digits.Size) block {
	lines := strings.Split(digits.Render(text, size, s.ASCII), "\n")
	for i, line := range lines {
		lines[i] = style.Render(line)
	}
	return block{digits.Width(text, size), lines}
}
