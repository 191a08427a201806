package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session/form"
	"bendbook/ui/digits"
)

func (f *formScreen) view(width, height int) string {
	s := f.desk.Styles
	q, ok := f.fields.Current()
	if !ok {
		return ""
	}
	lines := append([]string{f.asking(q, width)}, f.typed(q, width)...)
	lines = append(lines, s.Quiet.Render(ansi.Truncate(f.fields.Heard(f.input.Value()), width, "~")))
	lines = append(lines, f.judgement(q, width)...)
	if f.fields.Caution != "" {
		lines = append(lines, styled(s.Caution, f.fields.Caution, width, 2)...)
	}
	lines = append(lines, s.Rule(width))
	return strings.Join(append(lines, f.around(width, height-len(lines))...), "\n")
}

func (f *formScreen) asking(q form.Question, width int) string {
	s := f.desk.Styles
	text := s.Strong.Render(strings.ToUpper(q.Group)) + "  " + s.Accent.Render(q.Label)
	if was := f.fields.Was(f.fields.At()); was != "" {
		text += s.Quiet.Render("    was ") + s.Strong.Render(was)
	}
	if expected := f.fields.Expected(f.fields.At()); expected != "" {
		text += s.Quiet.Render("    expected ") + s.Strong.Render(expected)
	} else if q.Foretold() && f.waiting != nil && f.waiting() {
		text += s.Quiet.Render("    expected: working it out...")
	}
	at, empty := f.fields.At(), f.input.Value() == ""
	if alone := f.fields.EnterAlone(at); alone != "" && empty {
		text += s.Quiet.Render("    Enter alone: ") + s.Plain.Render(plain.Line(alone))
	} else if f.fields.MayLeave(at) && empty && !strings.Contains(q.Hint, "Enter alone") {
		text += s.Quiet.Render("    Enter alone leaves it out")
	}
	return ansi.Truncate(text, width, "~")
}

// typed is the field, in block figures where it is a measure and they fit.
func (f *formScreen) typed(q form.Question, width int) []string {
	s := f.desk.Styles
	value := plain.Line(f.input.Value())
	large := isMeasure(value) && (value != "" || q.Unit != "")
	if size, fits := digits.Fit(value+"_", width-4, digits.Large.Rows()); fits && large {
		rows := beside(2, block{}, letters(s, s.Accent, f.shown(), size))
		return lengthen(rows, digits.Large.Rows())
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
func (f *formScreen) shown() string {
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
func (f *formScreen) judgement(q form.Question, width int) []string {
	s := f.desk.Styles
	style, text := f.judged(q)
	lines := wrapped(text, width, 2)
	for i, line := range lines {
		if strings.HasPrefix(text, " ") {
			line = left(line, width)
		}
		lines[i] = style.Render(line)
	}
	if f.fields.Usual && f.reply.State == form.Taken && len(lines) == 1 {
		enough := "Nothing more is needed: "
		if needed := f.fields.Needed(); len(needed) > 0 {
			enough = fmt.Sprintf("Only needed: %s. ", s.Strong.Render(strings.Join(needed, ", ")))
		}
		enough += s.Accent.Render("ctrl+s") + " saves, with the rest as usual."
		lines = append(lines, ansi.Truncate(enough, width, "~"))
	}
	return lengthen(lines, 2)
}

// sure stands before what is doubtful.
const sure = " SURE? "

// doubts is how many answers are still to be asked about.
func (f *formScreen) doubts() (n int) {
	for i := range f.fields.Questions {
		if f.fields.Doubt(i) != "" {
			n++
		}
	}
	return n
}

func (f *formScreen) judged(q form.Question) (lipgloss.Style, string) {
	s, says, saving := f.desk.Styles, plain.Line(f.reply.Says), f.filling.Saving()
	enter := ""
	if saving {
		enter = "; Enter then saves"
	}
	switch {
	case f.reply.State == form.Refused && saving && f.input.Value() == "":
		// Who wanted to save and left out what is needed did nothing wrong.
		return s.Caution.Reverse(true), " FIRST: " + says + enter
	case f.reply.State == form.Refused:
		return s.Bad.Reverse(true), " NO: " + says + enter
	case f.reply.State == form.Asked && saving:
		if more := f.doubts(); more > 0 {
			return s.Caution.Reverse(true), fmt.Sprintf("%s%s; %d more to look at", sure, says, more)
		}
		return s.Caution.Reverse(true), sure + says + ", and save"
	case f.reply.State == form.Asked:
		return s.Caution.Reverse(true), sure + says
	case f.stands() && f.fields.Doubt(f.fields.At()) != "":
		return s.Caution.Reverse(true), sure + f.fields.Doubt(f.fields.At())
	case says != "":
		return s.Caution.Reverse(true), sure + says + "; I'll ask at the end"
	case f.instead != "":
		return s.Quiet, fmt.Sprintf("in place of %s; backspace on the empty field brings it back",
			plain.Line(f.instead))
	case q.Unit != "":
		return s.Quiet, q.Unit + ": " + q.Hint
	}
	return s.Quiet, q.Hint
}

// around shows the form's fields in columns, a group under its heading, the current one marked.
func (f *formScreen) around(width, height int) []string {
	if height <= 0 {
		return nil
	}
	const wide, gap = 24, 4
	columns := (width + gap) / (wide + gap)
	items, current := f.items(wide)
	all, at := itemColumns(items, current, height)
	// Whole columns roll by, so that the current field stays in sight.
	first := max(0, min(at, len(all)-columns))
	var blocks []block
	for _, lines := range all[first:min(first+columns, len(all))] {
		blocks = append(blocks, block{wide, lines})
	}
	return beside(gap, blocks...)
}

type item struct {
	text string
	head bool // a group's heading
}

// itemColumns lays items out in columns of height lines, none of which ends in a heading. at is the column of
// the current item.
func itemColumns(items []item, current, height int) (columns [][]string, at int) {
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

// answered is the answer to question i as the list has it: - where it was left out, or in brackets what is
// taken then.
func (f *formScreen) answered(i int) string {
	answer, given := f.fields.Given(i)
	if f.fields.Usual && answer == "" {
		if alone := f.fields.EnterAlone(i); alone != "" {
			return "(" + alone + ")"
		}
	}
	if given && answer == "" {
		return "-"
	}
	return answer
}

func (f *formScreen) items(wide int) (items []item, current int) {
	s := f.desk.Styles
	const wasWidth = 8
	label, anyWas := 0, false
	for i, q := range f.fields.Questions {
		label = max(label, ansi.StringWidth(q.Label))
		anyWas = anyWas || f.fields.Was(i) != ""
	}
	was := func(text string) string {
		if !anyWas {
			return ""
		}
		return s.Quiet.Render(right(text, wasWidth))
	}
	for i, q := range f.fields.Questions {
		if i == 0 || q.Group != f.fields.Questions[i-1].Group {
			head := was("was")
			items = append(items, item{s.Strong.Render(left(q.Group, wide-ansi.StringWidth(head))) + head, true})
		}
		answer := f.answered(i)
		before := was(f.fields.Was(i))
		sign := " "
		switch {
		case i == f.fields.At():
			current, answer, sign = len(items), f.input.Value(), ">"
		case f.fields.Doubt(i) != "":
			sign = "?"
		}
		// A long answer takes what its own label leaves, not what the longest does; a measure cuts that too.
		named, room, long := label, wide-1-ansi.StringWidth(before), ansi.StringWidth(answer)
		if long >= room-label {
			named = ansi.StringWidth(q.Label) + 1
		}
		if q.Unit != "" && long < room {
			named = min(named, room-long)
		}
		line := sign + left(q.Label, named) + right(plain.Line(answer), room-named)
		if i == f.fields.At() {
			line = s.Chosen.Render(line)
		}
		items = append(items, item{text: line + before})
	}
	return items, current
}

// across implements acrosser: what is asked, what is typed, what it was, and whether it was refused.
func (f *formScreen) across(width, height int) string {
	s := f.desk.Styles
	q, ok := f.fields.Current()
	if !ok {
		return ""
	}
	asked := headline{figure: across(q.Label, q.Unit), style: s.Strong}
	if side, isLimb := strings.CutSuffix(q.Group, " limb"); isLimb {
		asked.label = strings.ToUpper(side)
	}
	lines := []headline{asked, {figure: across(f.shown(), q.Unit), style: s.Accent, main: true}}
	if was := f.fields.Was(f.fields.At()); was != "" {
		lines = append(lines, headline{label: "WAS", figure: across(plain.Line(was), q.Unit), style: s.Quiet})
	}
	below := f.judgement(q, width)
	switch _, text := f.judged(q); {
	case f.reply.State == form.Refused:
		lines = append(lines, headline{figure: "NO", style: s.Bad})
	case strings.HasPrefix(text, sure):
		lines = append(lines, headline{figure: strings.TrimSpace(sure), style: s.Bad})
	}
	if f.reply.State == form.Taken {
		below = append(below[:1], s.Quiet.Render(ansi.Truncate(f.fields.Heard(f.input.Value()), width, "~")))
	}
	if f.fields.Caution != "" {
		below = append(below, s.Caution.Render(ansi.Truncate(f.fields.Caution, width, "~")))
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
