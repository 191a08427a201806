package ui

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
	sheet "bendbook/session/form"
	"bendbook/session/report"
)

// form shows a sheet: the field that is being typed large, the others around it. Each confirmed field is on
// disk as part of a draft before the next is asked for.
type form struct {
	base
	question
	desk    *Desk
	first   *tea.KeyMsg
	sheet   *sheet.Sheet // that is filled in
	input   textinput.Model
	verdict sheet.Verdict
	instead string // what was refused or asked about, and typed over
	unsaved bool   // the book did not take what was typed
}

// mostTyped is how many letters a field holds.
const mostTyped = 16_000

func formPage() page {
	return page{name: toForm, open: func(desk *Desk, to route) (screen, error) {
		input := textinput.New()
		input.Prompt, input.CharLimit = "", mostTyped
		input.Focus()
		f := &form{question: *to.ask, desk: desk, first: to.first, sheet: to.ask.filling.Sheet, input: input}
		f.load()
		return f, nil
	}}
}

// opened says what was kept half typed, takes up the time held, and types the key that opened the form.
func (f *form) opened() move {
	var say notice
	if f.filling.Resumed {
		parts := []string{"Taken up where you left it"}
		if begun := f.desk.tell(f.sheet.Begun()); begun != "" {
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
	if f.first == nil || f.input.Value() != "" {
		return move{say: say}
	}
	next, _ := f.typing(*f.first)
	if next.say.text == "" {
		next.say = say
	}
	return next
}

// fillHeld takes up how long the bow stood drawn, and says so behind what is said already.
func (f *form) fillHeld(say notice) notice {
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

func (f *form) load() {
	text := ""
	if !f.sheet.Done() {
		text, _ = f.sheet.Given(f.sheet.At())
	}
	f.setText(text)
}

func (f *form) setText(text string) {
	f.input.SetValue(text)
	f.input.CursorEnd()
	f.instead = ""
}

func (f *form) title() (name, what, right string) {
	return f.filling.Of, f.sheet.Title, fmt.Sprintf("%d of %d", min(f.sheet.At()+1, len(f.sheet.Questions)),
		len(f.sheet.Questions))
}

func (f *form) idle() string {
	if !f.filling.Drafted() {
		return "Nothing of this is in the book before it is saved."
	}
	return "Each confirmed field is kept on disk."
}

func (f *form) leave() error { return f.filling.Leave(f.input.Value()) }

// typing gives all that is no command to the field.
func (f *form) typing(msg tea.KeyMsg) (move, bool) {
	help := msg.Type == tea.KeyF1 || msg.String() == "?" && f.input.Value() == ""
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
	if f.verdict.State != sheet.Taken && msg.Type == tea.KeyRunes {
		// Hands that did not see the question go on with the next value: neither may be lost.
		f.instead = f.input.Value()
		f.input.SetValue("")
	}
	if q, ok := f.sheet.Current(); ok && msg.Type == tea.KeyRunes &&
		q.BeginsAnew(f.input.Value(), string(msg.Runes)) {
		f.input.SetValue("")
	}
	f.verdict = sheet.Verdict{}
	whole := len(f.input.Value()) + len(string(msg.Runes))
	f.input, _ = f.input.Update(msg)
	if whole > mostTyped && len([]rune(f.input.Value())) == mostTyped {
		return warned("That is more than a field holds; it is cut after %d letters.", mostTyped), true
	}
	return move{}, true
}

// paste puts several values into the fields, one into each; taken is false for one that goes into this one.
func (f *form) paste(text string) (next move, taken bool) {
	q, ok := f.sheet.Current()
	values := sheet.Values(text)
	if !ok || q.Unit == "" || len(values) < 2 {
		return move{}, false
	}
	if typed := f.input.Value(); typed != "" && f.verdict.State == sheet.Taken {
		return warned("%d values were pasted behind %s: nothing was filled in. Empty the field, and paste again.",
			len(values), typed), true
	}
	at := f.sheet.At()
	verdict, kept, err := f.filling.Fill(values)
	if kept == nil && f.sheet.At() == at && err != nil {
		return warned("%v.", err), true
	}
	next = f.take(verdict, kept, err, true)
	if next.say.text == "" {
		done := f.sheet.At() - at
		next.say = said("Filled in %d of %d values.", done, len(values)).say
		if done < len(values) {
			next.say = warned("Filled in %d of %d values; Enter confirms those to come, one by one.", done,
				len(values)).say
		}
	}
	return next, true
}

func (f *form) actions() []action {
	confirm := "next"
	if f.filling.Saving() {
		confirm = "save"
	}
	throwAway := func() move {
		if err := f.filling.Drop(); err != nil {
			return failed(err)
		}
		return done(thrownAway)
	}
	mayWriteFile := func() string {
		switch {
		case !f.unsaved:
			return "ctrl+s saves it in the book"
		case !f.filling.Travels():
			return "this is of no bow, and goes into the book alone"
		}
		return ""
	}
	step := func(by int) { f.filling.Step(by, f.input.Value()); f.moved() }
	jump := func(by int) { f.filling.Jump(by, f.input.Value()); f.moved() }
	return []action{
		{keys: []string{"enter"}, name: confirm, main: true, do: f.enter,
			long: "Confirm the field and go on; alone on an empty field it leaves the reading out. After the last " +
				"field the entry is saved."},
		{keys: []string{"up", "shift+tab"}, name: "field before", main: true, do: by(-1, step),
			long: "Go back to the field before; nothing is lost."},
		{keys: []string{"down", "tab"}, name: "field after", do: by(1, step),
			long: "Go on to the field after without confirming this one."},
		{keys: []string{"pgdown"}, name: "next limb", do: by(1, jump),
			long: "Go to the next limb, or the next part of the form, without confirming this field."},
		{keys: []string{"pgup"}, name: "limb before", do: by(-1, jump),
			long: "Go to the beginning of this limb or part, or to the one before."},
		{keys: []string{"ctrl+s"}, name: "save now", main: true, do: f.saveNow,
			long: "Save the entry with what was typed so far; the other fields are left out. Where a field stands " +
				"in the way, Enter on it saves."},
		{keys: []string{"ctrl+o"}, name: "to a file", main: true, off: mayWriteFile, do: f.toFile,
			long: "Where the book cannot be written, write the bow with this entry to a file, as a record that " +
				"bendbook import takes."},
		{keys: []string{"ctrl+x"}, name: "throw away", main: true, do: throwAway,
			long: "Throw away what was typed in this form."},
		{keys: []string{"esc"}, name: "leave", main: true, do: f.escape,
			long: "Leave the form; what was typed is kept and offered again."},
		enlarge(),
	}
}

func (f *form) moved() {
	f.verdict = sheet.Verdict{}
	f.load()
}

// enter confirms the field: it is judged, kept in the draft, and after the last one the entry is saved.
func (f *form) enter() move {
	at := f.sheet.At()
	verdict, kept, err := f.filling.Enter(f.input.Value())
	return f.take(verdict, kept, err, f.sheet.At() != at)
}

// saveNow confirms what is typed at the field and saves the entry without the rest.
func (f *form) saveNow() move {
	at, empty := f.sheet.At(), f.input.Value() == ""
	verdict, kept, err := f.filling.SaveNow(f.input.Value())
	return f.take(verdict, kept, err, f.sheet.At() != at || empty)
}

// take goes on by how an answer was taken; moved says that another question is asked. Where the entry cannot
// be saved, all that was typed stays and can be saved again.
func (f *form) take(verdict sheet.Verdict, kept *sheet.Kept, err error, moved bool) move {
	if f.verdict = verdict; kept != nil {
		return f.after(*kept)
	}
	if moved || err != nil {
		f.load()
	}
	f.unsaved = err != nil || f.unsaved && verdict.State != sheet.Taken
	if errors.Is(err, sheet.ErrNotSaved) {
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

// toFile writes what the book did not take to a file, and leaves the form as it is.
func (f *form) toFile() move {
	verdict, rec, err := f.filling.Apart(f.input.Value())
	f.verdict = verdict
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
	return warned("Written: %s. It is not in the book until bendbook import takes it; what you typed is "+
		"still here.", path)
}

func (f *form) about() string { return f.sheet.About() }

const thrownAway = "Thrown away; nothing was added to the book."

func (f *form) escape() move {
	ended, err := f.filling.Abandon(f.input.Value())
	switch {
	case err != nil:
		return failed(err)
	case ended && f.filling.Resumed:
		return done(thrownAway)
	case ended:
		return goBack()
	}
	return move{back: true, say: notice{warning, "Kept half typed; the same form takes it up again."}}
}
