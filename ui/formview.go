package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	sheet "bendbook/session/form"
	"bendbook/ui/digits"
)

// How a form is drawn: the question, what is typed in block figures, what is said of it, the other fields.

func (f *form) view(width, height int) string {
	s := f.desk.Styles
	q, ok := f.sheet.Current()
	if !ok {
		return ""
	}
	lines := append([]string{f.asking(q, width)}, f.typed(width)...)
	lines = append(lines, s.Quiet.Render(ansi.Truncate(f.sheet.Heard(f.input.Value()), width, "~")))
	lines = append(lines, f.judgement(q, width)...)
	if f.sheet.Caution != "" {
		lines = append(lines, styled(s.Caution, f.sheet.Caution, width, 2)...)
	}
	lines = append(lines, s.Rule(width))
	return strings.Join(append(lines, f.around(width, height-len(lines))...), "\n")
}

// asking is the question with what it was last time.
func (f *form) asking(q sheet.Question, width int) string {
	s := f.desk.Styles
	text := s.Strong.Render(strings.ToUpper(q.Group)) + "  " + s.Accent.Render(q.Label)
	if was := f.sheet.Was(f.sheet.At()); was != "" {
		text += s.Quiet.Render("    was ") + s.Strong.Render(was)
	}
	if expected := f.sheet.Expected(f.sheet.At()); expected != "" {
		text += s.Quiet.Render("    expected ") + s.Strong.Render(expected)
	} else if q.Foretold() && f.waiting != nil && f.waiting() {
		text += s.Quiet.Render("    expected: working it out...")
	}
	if q.Preset != "" && f.input.Value() == "" {
		text += s.Quiet.Render("    Enter alone: ") + s.Plain.Render(plain.Line(q.Preset))
	}
	return ansi.Truncate(text, width, "~")
}

// typed is the field, in block figures where it is a measure and they fit.
func (f *form) typed(width int) []string {
	s := f.desk.Styles
	value := plain.Line(f.input.Value())
	if isMeasure(value) {
		if size, fits := digits.Fit(value+"_", width-4, digits.Large.Rows()); fits {
			shown := f.shown()
			rows := strings.Split(digits.Render(shown, size, s.ASCII), "\n")
			for i, line := range rows {
				rows[i] = "  " + s.Accent.Render(strings.TrimRight(line, " "))
			}
			rows = lengthen(rows, digits.Large.Rows())
			// What the field was last time stands at the right of what is typed, smaller, where there is room.
			was := f.sheet.Was(f.sheet.At())
			wide := digits.Width(was, digits.Small)
			if was == "" || !isMeasure(was) || wide > width-10-digits.Width(shown, size) {
				return rows
			}
			for i, line := range strings.Split(digits.Render(was, digits.Small, s.ASCII), "\n") {
				head := "    "
				if i == 1 {
					head = "was "
				}
				rows[i+1] = left(rows[i+1], width-4-wide) + s.Quiet.Render(head) +
					s.Quiet.Render(strings.TrimRight(line, " "))
			}
			return rows
		}
	}
	lines := strings.Split(ansi.Wrap(value, width-6, " "), "\n")
	lines = lines[max(0, len(lines)-digits.Large.Rows()):]
	for i, line := range lines {
		lines[i] = "  " + s.Strong.Render(line)
	}
	lines[len(lines)-1] += s.Cursor()
	return lengthen(lines, digits.Large.Rows())
}

// shown is what is typed, with a mark where the next letter will stand.
func (f *form) shown() string {
	value, at := plain.Line(f.input.Value()), f.input.Position()
	if runes := []rune(value); at < len(runes) {
		return string(runes[:at]) + "_" + string(runes[at:])
	}
	return value + "_"
}

func isMeasure(text string) bool {
	return text == "" || strings.Trim(text, "0123456789 ./,-+'\"incmklbg") == ""
}

// judgement says in two lines why the field is refused, what is asked, or what would be accepted.
func (f *form) judgement(q sheet.Question, width int) []string {
	s := f.desk.Styles
	style, text := s.Quiet, q.Hint
	if q.Unit != "" {
		text = q.Unit + ": " + text
	}
	if f.instead != "" {
		text = fmt.Sprintf("in place of %s, which was not taken; backspace on the empty field brings it back",
			plain.Line(f.instead))
	}
	says := plain.Line(f.verdict.Says)
	if f.filling.Saving() {
		says += "; Enter then saves"
	}
	switch {
	case f.verdict.State == sheet.Refused && f.filling.Saving() && f.input.Value() == "":
		// Who wanted to save and left out what is needed did nothing wrong.
		style, text = s.Caution.Reverse(true), " FIRST: "+says
	case f.verdict.State == sheet.Refused:
		style, text = s.Bad.Reverse(true), " NO: "+says
	case f.verdict.State == sheet.Asked:
		style, text = s.Caution.Reverse(true), " SURE? "+plain.Line(f.verdict.Says)
		if f.filling.Saving() {
			text += ", and save"
		}
	}
	lines := lengthen(wrapped(text, width, 2), 2)
	if f.sheet.Usual && f.verdict.State == sheet.Taken && lines[1] == "" {
		enough := "Nothing more is needed: "
		if needed := f.sheet.Needed(); len(needed) > 0 {
			enough = fmt.Sprintf("Only needed: %s. ", s.Strong.Render(strings.Join(needed, ", ")))
		}
		enough += s.Accent.Render("ctrl+s") + " saves, with the rest as usual."
		return []string{style.Render(lines[0]), ansi.Truncate(enough, width, "~")}
	}
	for i, line := range lines {
		if f.verdict.State != sheet.Taken && line != "" {
			line = left(line, width)
		}
		lines[i] = style.Render(line)
	}
	return lines
}

// around shows the sheet's fields in columns, a group under its heading, the current one marked.
func (f *form) around(width, height int) []string {
	if height <= 0 {
		return nil
	}
	const wide, gap = 24, 4
	columns := (width + gap) / (wide + gap)
	items, current := f.items(wide)
	all, at := inColumns(items, current, height)
	// Whole columns roll by, so that the current field stays in sight.
	first := max(0, min(at, len(all)-columns))
	var blocks []block
	for _, lines := range all[first:min(first+columns, len(all))] {
		blocks = append(blocks, block{wide, lines})
	}
	return strings.Split(beside(gap, blocks...), "\n")
}

// item is a line of around.
type item struct {
	text string
	head bool // a group's heading
}

// inColumns sets items into columns of so many lines, no heading at the foot; at is the current one's column.
func inColumns(items []item, current, height int) (columns [][]string, at int) {
	for i, each := range items {
		last := len(columns) - 1
		if last < 0 || len(columns[last]) == height || each.head && height > 1 && len(columns[last]) == height-1 {
			columns = append(columns, nil)
			last++
		}
		columns[last] = append(columns[last], each.text)
		if i == current {
			at = last
		}
	}
	return columns, at
}

// items are the lines of around, and the index of the current field's.
func (f *form) items(wide int) (items []item, current int) {
	s := f.desk.Styles
	const wasWidth = 8
	label, anyWas := 0, false
	for i, q := range f.sheet.Questions {
		label = max(label, ansi.StringWidth(q.Label))
		anyWas = anyWas || f.sheet.Was(i) != ""
	}
	was := func(text string) string {
		if !anyWas {
			return ""
		}
		return s.Quiet.Render(right(text, wasWidth))
	}
	for i, q := range f.sheet.Questions {
		if i == 0 || q.Group != f.sheet.Questions[i-1].Group {
			head := was("was")
			items = append(items, item{s.Strong.Render(left(q.Group, wide-ansi.StringWidth(head))) + head, true})
		}
		answer, given := f.sheet.Given(i)
		if given && answer == "" {
			answer = "-"
		}
		before := was(f.sheet.Was(i))
		sign := " "
		if i == f.sheet.At() {
			current, answer, sign = len(items), f.input.Value(), ">"
		}
		// A long answer takes what its own label leaves, not what the longest does.
		named, room := label, wide-1-ansi.StringWidth(before)
		if ansi.StringWidth(answer) >= room-label {
			named = min(label, ansi.StringWidth(q.Label)+1)
		}
		line := sign + left(q.Label, named) + right(plain.Line(answer), room-named)
		if i == f.sheet.At() {
			line = s.Chosen.Render(line)
		}
		items = append(items, item{text: line + before})
	}
	return items, current
}

// across implements acrosser: what is asked, what is typed, what it was, and whether it was refused.
func (f *form) across(width, height int) string {
	s := f.desk.Styles
	q, ok := f.sheet.Current()
	if !ok {
		return ""
	}
	asked := headline{figure: across(q.Label, q.Unit), style: s.Strong}
	if side, isLimb := strings.CutSuffix(q.Group, " limb"); isLimb {
		asked.label = strings.ToUpper(side)
	}
	lines := []headline{asked, {figure: across(f.shown(), q.Unit), style: s.Accent, main: true}}
	if was := f.sheet.Was(f.sheet.At()); was != "" {
		lines = append(lines, headline{label: "WAS", figure: across(plain.Line(was), q.Unit), style: s.Quiet})
	}
	below := f.judgement(q, width)
	words := map[sheet.State]string{sheet.Refused: "NO", sheet.Asked: "SURE?"}
	if word := words[f.verdict.State]; word != "" {
		lines = append(lines, headline{figure: word, style: s.Bad})
	} else {
		below = append(below[:1], s.Quiet.Render(ansi.Truncate(f.sheet.Heard(f.input.Value()), width, "~")))
	}
	if f.sheet.Caution != "" {
		below = append(below, s.Caution.Render(ansi.Truncate(f.sheet.Caution, width, "~")))
	}
	return poster(s, lines, below, width, height)
}

// across is text as block figures show it: words in capitals, a measure with its unit's own letters.
func across(text, unit string) string {
	if isMeasure(text) || unit != "" && strings.HasSuffix(text, " "+unit) {
		return text
	}
	return strings.ToUpper(text)
}
