package ui

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report"
	"bendbook/ui/digits"
)

// formScreen shows a form: the field being typed large, the others around it. Each confirmed field is on
// disk as part of a draft before the next is asked for.
type formScreen struct {
	base
	question
	desk    *Desk
	first   *tea.KeyMsg
	fields  *form.Sheet // that is filled in
	input   textinput.Model
	reply   form.Reply
	instead string // what was refused or doubted, and typed over
	unsaved bool   // the book did not take what was typed
}

const mostTyped = 16_000

func formPage() page {
	return page{name: toForm, open: func(desk *Desk, to route) (screen, error) {
		input := textinput.New()
		input.Prompt, input.CharLimit = "", mostTyped
		input.Focus()
		f := &formScreen{question: *to.ask, desk: desk, first: to.first, fields: to.ask.filling.Sheet, input: input}
		f.load()
		return f, nil
	}}
}

// opened says what was kept half typed, takes up the time held, and types the key that opened the form.
func (f *formScreen) opened() move {
	var say notice
	if f.filling.Resumed {
		parts := []string{"Taken up where you left it"}
		if begun := f.desk.tell(f.fields.Begun()); begun != "" {
			parts = append(parts, fmt.Sprintf("begun %s", begun))
		}
		if f.filling.Stale {
			parts = append(parts, "before the last scrape")
		}
		say = notice{warning, fmt.Sprintf("%s. ctrl+x empties it.", strings.Join(parts, ", "))}
	}
	if f.held > 0 {
		say = f.fillHeld(say)
	}
	next := move{}
	if f.first != nil && f.input.Value() == "" {
		next, _ = f.typing(*f.first)
	}
	if next.say.text == "" {
		next.say = say
	}
	return next
}

// fillHeld takes up how long the bow stood drawn, and says so behind what is said already.
func (f *formScreen) fillHeld(say notice) notice {
	says := session.SayHeld(f.held)
	if err := model.CheckHeld(f.held); err != nil {
		return notice{warning, fmt.Sprintf("The clock ran for %s and is not filled in: %v.", says, err)}
	}
	if err := f.filling.Hold(f.held); err != nil {
		return notice{failing, fmt.Sprintf("the time held, %s, is not on disk: %v", says, err)}
	}
	if say.text == "" {
		return notice{saying, fmt.Sprintf("Held %s; it is kept with the pull.", says)}
	}
	say.text += fmt.Sprintf(" Held %s.", says)
	return say
}

func (f *formScreen) load() {
	text := ""
	if !f.fields.Done() {
		text, _ = f.fields.Given(f.fields.At())
	}
	f.setText(text)
}

func (f *formScreen) setText(text string) {
	f.input.SetValue(text)
	f.input.CursorEnd()
	f.instead = ""
}

func (f *formScreen) title() (name, what, right string) {
	n, of := f.fields.Place()
	return f.filling.Of, f.fields.Title, fmt.Sprintf("%d of %d", n, of)
}

func (f *formScreen) idle() string {
	if !f.filling.Drafted() {
		return "Nothing is in the book until you save it."
	}
	return "Fields you confirm are safe on disk."
}

func (f *formScreen) leave() error { return f.filling.Leave(f.input.Value()) }

// typing passes every key that isn't a command to the field.
func (f *formScreen) typing(msg tea.KeyMsg) (move, bool) {
	help := msg.Type == tea.KeyF1 || msg.Type == tea.KeyCtrlK || msg.String() == "?" && f.input.Value() == ""
	if help || slices.ContainsFunc(f.actions(), func(a action) bool { return a.has(msg) }) {
		return move{}, false
	}
	if msg.Paste {
		if next, taken := f.paste(string(msg.Runes)); taken {
			return next, true
		}
	}
	if msg.Type == tea.KeyBackspace && f.input.Value() == "" && f.instead != "" {
		f.setText(f.instead)
		return move{}, true
	}
	if msg.Type == tea.KeyRunes {
		f.makeRoom(string(msg.Runes))
	}
	if f.reply.State != form.Taken {
		f.reply = form.Reply{}
	}
	whole := len(f.input.Value()) + len(string(msg.Runes))
	f.input, _ = f.input.Update(msg)
	if whole > mostTyped && len([]rune(f.input.Value())) == mostTyped {
		return warned("That's too long for a field; it is cut after %d letters.", mostTyped), true
	}
	return move{}, true
}

// makeRoom empties the field if what is typed doesn't continue what is there.
func (f *formScreen) makeRoom(typed string) {
	if f.reply.State != form.Taken || f.stands() && f.fields.WasDoubted(f.fields.At()) {
		// Hands that did not see the question go on with the next value: neither may be lost.
		f.instead = f.input.Value()
		f.input.SetValue("")
	}
	if q, ok := f.fields.Current(); ok && q.BeginsAnew(f.input.Value(), typed) {
		f.input.SetValue("")
	}
}

// stands says whether the field still holds its answer as that was confirmed.
func (f *formScreen) stands() bool {
	if f.fields.Done() {
		return false
	}
	given, ok := f.fields.Given(f.fields.At())
	return ok && given == f.input.Value()
}

// paste puts several values into the fields, one into each; taken is false for one that goes into this one.
func (f *formScreen) paste(text string) (next move, taken bool) {
	q, ok := f.fields.Current()
	values := form.Values(text)
	if !ok || q.Unit == "" || len(values) < 2 {
		return move{}, false
	}
	if typed := f.input.Value(); typed != "" && f.reply.State == form.Taken {
		return warned("%d values were pasted behind %s: nothing was filled in. Empty the field, and paste again.",
			len(values), typed), true
	}
	at := f.fields.At()
	reply, kept, err := f.filling.Fill(values)
	if kept == nil && f.fields.At() == at && err != nil {
		return warned("%v.", err), true
	}
	next = f.take(reply, kept, err, true)
	switch done := f.fields.At() - at; {
	case next.say.text != "":
	case reply.State == form.Refused && !f.filling.Saving():
		next.say = warned("Filled in %d of %d values; Enter confirms those to come, one by one.", done,
			len(values)).say
	default:
		next.say = said("Filled in %d of %d values.", len(values), len(values)).say
	}
	return next, true
}

func (f *formScreen) actions() []action {
	confirm := "next"
	if f.filling.Saving() {
		confirm = "save"
	}
	// No measure begins with these.
	save, shown := "ctrl+s", ""
	if q, ok := f.fields.Current(); ok && q.Unit != "" && f.input.Value() == "" && !f.unsaved {
		save, shown = "* ; ctrl+s", "* or ctrl+s"
	}
	mayWriteFile := func() string {
		return cmp.Or(unless(f.unsaved, "ctrl+s saves it in the book"),
			unless(f.filling.Travels(), "only a bow's entries can go to a file"))
	}
	step := func(by int) { f.filling.Step(by, f.input.Value()); f.moved() }
	jump := func(by int) { f.filling.Jump(by, f.input.Value()); f.moved() }
	return []action{
		{keys: "enter", name: confirm, main: true, do: f.enter,
			long: "Confirm the field and go on. On an empty field it leaves the reading out. After the last " +
				"field it saves the entry."},
		{keys: "up shift+tab", name: "field before", main: true, do: by(-1, step),
			long: "Go back to the last field. Nothing is lost."},
		{keys: "down tab", name: "field after", do: by(1, step),
			long: "Go to the next field without confirming this one."},
		{keys: "pgdown", name: "next limb", do: by(1, jump),
			long: "Go to the next limb or part without confirming this field."},
		{keys: "pgup", name: "limb before", do: by(-1, jump),
			long: "Go to the start of this limb or part, or to the last one."},
		{keys: save, show: shown, name: "save now", main: true, do: f.saveNow,
			long: "Save the entry with what you typed so far, without the other fields. On an empty field for a " +
				"measure, * or ; does it too. If a field needs a look first, Enter on it saves."},
		{keys: "ctrl+o", name: "to a file", main: true, off: mayWriteFile, do: f.toFile,
			long: "If you can't save, write the bow with this entry to a file. bendbook import reads " +
				"it later."},
		{keys: "ctrl+x", name: "throw away", main: true, in: writes, do: f.throwAway,
			long: "Throw this form away. Press it twice."},
		{keys: "esc", name: "leave", main: true, in: leaves, do: f.escape,
			long: "Leave the form. It keeps what you typed."},
		enlarge("f2 ctrl+l"),
	}
}

func (f *formScreen) moved() {
	f.reply = form.Reply{}
	f.load()
}

// enter confirms the field: it is judged, kept in the draft, and after the last one the entry is saved.
func (f *formScreen) enter() move { return f.confirm(f.filling.Enter, false) }

// saveNow confirms what is typed at the field and saves the entry without the rest.
func (f *formScreen) saveNow() move { return f.confirm(f.filling.SaveNow, f.input.Value() == "") }

func (f *formScreen) confirm(by func(string) (form.Reply, *form.Kept, error), moved bool) move {
	at := f.fields.At()
	reply, kept, err := by(f.input.Value())
	return f.take(reply, kept, err, f.fields.At() != at || moved)
}

// take goes on after an answer; moved says that the form now asks another question. If the entry can't be
// saved, what was typed stays and can be saved again.
func (f *formScreen) take(reply form.Reply, kept *form.Kept, err error, moved bool) move {
	if f.reply = reply; kept != nil {
		return f.after(*kept)
	}
	if moved || err != nil {
		f.load()
	}
	f.unsaved = err != nil || f.unsaved && reply.State != form.Taken
	if errors.Is(err, form.ErrNotSaved) {
		err = fmt.Errorf("%w. What you typed is still here: ctrl+s again", err)
		if f.filling.Travels() {
			err = fmt.Errorf("%w, ctrl+o to a file", err)
		}
	}
	if err != nil {
		return failed(err)
	}
	return move{}
}

func (f *formScreen) toFile() move {
	reply, rec, err := f.filling.Apart(f.input.Value())
	f.reply = reply
	f.load()
	if err != nil {
		return failed(err)
	}
	if rec == nil {
		return move{}
	}
	var text bytes.Buffer
	if err := record.Write(plain.JSONWriter{To: &text}, *rec); err != nil {
		return failed(err)
	}
	path, err := f.desk.Save(report.Filename(session.NameOf(rec.Bow), "bow")+"-unsaved.json", text.Bytes())
	if err != nil {
		return failed(fmt.Errorf("not written: %w. What you typed is still here", err))
	}
	return warned("Written: %s. It isn't in the book until bendbook import reads it; what you typed is "+
		"still here.", path)
}

func (f *formScreen) about() string { return f.fields.About() }

const thrownAway = "Thrown away; nothing was added to the book."

// throwAway throws away what is typed, when the key is pressed again.
func (f *formScreen) throwAway() move {
	typed := f.filling.Typed(f.input.Value())
	if typed && !f.desk.sure("throw away") {
		return warned("Throw away what you typed? ctrl+x again.")
	}
	if err := f.filling.Drop(f.input.Value()); err != nil {
		return failed(err)
	}
	if typed && f.filling.Drafted() {
		return done("Thrown away; u brings it back.")
	}
	return done(thrownAway)
}

func (f *formScreen) escape() move {
	ended, err := f.filling.Abandon(f.input.Value())
	switch {
	case err != nil:
		return failed(err)
	case ended && f.filling.Resumed:
		return done(thrownAway)
	case ended:
		return goBack()
	}
	return move{back: true, say: notice{warning, "Kept half typed; open the same form to go on."}}
}

func (f *formScreen) view(width, height int) string {
	s := f.desk.Styles
	q, ok := f.fields.Current()
	if !ok {
		return ""
	}
	lines := append([]string{f.asking(q, width)}, f.typed(width)...)
	lines = append(lines, s.Quiet.Render(ansi.Truncate(f.fields.Heard(f.input.Value()), width, "~")))
	lines = append(lines, f.judgement(q, width)...)
	if f.fields.Caution != "" {
		lines = append(lines, styled(s.Caution, f.fields.Caution, width, 2)...)
	}
	lines = append(lines, s.Rule(width))
	return strings.Join(append(lines, f.around(width, height-len(lines))...), "\n")
}

// asking is the question with what it was last time.
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
	if alone := f.fields.EnterAlone(f.fields.At()); alone != "" && f.input.Value() == "" {
		text += s.Quiet.Render("    Enter alone: ") + s.Plain.Render(plain.Line(alone))
	} else if f.fields.Usual && f.fields.MayLeave(f.fields.At()) && f.input.Value() == "" {
		text += s.Quiet.Render("    Enter alone leaves it open")
	}
	return ansi.Truncate(text, width, "~")
}

// typed is the field, in block figures where it is a measure and they fit.
func (f *formScreen) typed(width int) []string {
	s := f.desk.Styles
	value := plain.Line(f.input.Value())
	if size, fits := digits.Fit(value+"_", width-4, digits.Large.Rows()); fits && isMeasure(value) {
		typed := letters(s, s.Accent, f.shown(), size)
		rows := beside(2, block{}, typed)
		// What the field was last time stands at the right of what is typed, smaller, where there is room.
		was := f.fields.Was(f.fields.At())
		if before := letters(s, s.Quiet, was, digits.Small); was != "" && isMeasure(was) &&
			before.width <= width-10-typed.width {
			before.lines = append([]string{""}, before.lines...)
			head := block{4, []string{"", "", s.Quiet.Render("was")}}
			rows = beside(0, block{width - 4 - before.width, rows}, head, before)
		}
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

// items are the lines of around, and the index of the current field's.
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
		answer, given := f.fields.Given(i)
		alone := ""
		if f.fields.Usual && answer == "" {
			alone = f.fields.EnterAlone(i)
		}
		switch {
		case alone != "":
			answer = "(" + alone + ")"
		case given && answer == "":
			answer = "-"
		}
		before := was(f.fields.Was(i))
		sign := " "
		switch {
		case i == f.fields.At():
			current, answer, sign = len(items), f.input.Value(), ">"
		case f.fields.Doubt(i) != "":
			sign = "?"
		}
		// A long answer takes what its own label leaves, not what the longest does.
		named, room := label, wide-1-ansi.StringWidth(before)
		if ansi.StringWidth(answer) >= room-label {
			named = ansi.StringWidth(q.Label) + 1
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
