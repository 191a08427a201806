package ui

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/sheet"
)

// form shows a sheet: the field that is being typed large, the others around it. Each confirmed field is on disk as
// part of a draft before the next is asked for.
type form struct {
	desk    *Desk
	filling *sheet.Form
	sheet   *sheet.Sheet // that is filled in
	input   textinput.Model
	verdict sheet.Verdict
	// after says where to go when the outcome is kept, and that it is.
	after func(sheet.Kept) move
	// reckoning says whether what is expected is still being worked out; nil where nothing is.
	reckoning func() bool
	instead   string // what was refused or asked about, and typed over
	unsaved   bool   // the book did not take what was typed
}

// mostTyped is how many letters a field holds.
const mostTyped = 16_000

// openForm is the move to a form, or what kept it from opening.
func openForm(f *form, err error) move {
	if err != nil {
		return failed(err)
	}
	next := move{open: f}
	if f.filling.Resumed {
		parts := []string{"Taken up where you left it"}
		if begun := f.desk.tell(f.sheet.Begun()); begun != "" {
			parts = append(parts, fmt.Sprintf("begun %s", begun))
		}
		if f.filling.Stale {
			parts = append(parts, "before the last scrape")
		}
		next.say = notice{warning, fmt.Sprintf("%s. ctrl+x empties it.", strings.Join(parts, ", "))}
	}
	return next
}

// showForm shows a form that is filled in.
func showForm(desk *Desk, filling *sheet.Form, err error, after func(sheet.Kept) move) (*form, error) {
	if err != nil {
		return nil, err
	}
	input := textinput.New()
	input.Prompt, input.CharLimit = "", mostTyped
	input.Focus()
	f := &form{desk: desk, filling: filling, sheet: filling.Sheet, input: input, after: after}
	f.load()
	return f, nil
}

// newBowForm asks for a new bow and puts it on the bench.
func newBowForm(desk *Desk) (*form, error) {
	filling, err := sheet.NewBowForm(desk.Shop)
	return showForm(desk, filling, err, func(kept sheet.Kept) move { return toNewBow(desk, kept) })
}

// toNewBow puts a bow that was just described on the bench.
func toNewBow(desk *Desk, kept sheet.Kept) move {
	next := openBench(desk, kept.ID)
	next.swap = true
	next.say = orderNotice(desk, kept.Bow, "Saved. Enter or a digit begins the first pull.")
	return next
}

// orderNotice says that a description is saved, and what is to be thought of with its order, where there is anything.
func orderNotice(desk *Desk, bow model.Bow, saved string) notice {
	found, err := report.Warnings(desk.Shop, bow)
	if err != nil {
		return notice{failing, fmt.Sprintf("Saved; but %s", err.Error())}
	}
	switch len(found) {
	case 0:
		return notice{saying, saved}
	case 1:
		return notice{warning, fmt.Sprintf("Saved. To think of: %s", found[0])}
	}
	return notice{warning, fmt.Sprintf("Saved. To think of: %s And %d more: f, then o.", found[0], len(found)-1)}
}

// editForm changes a bow's description.
func editForm(desk *Desk, atWork *session.Bench) (*form, error) {
	filling, err := sheet.EditForm(desk.Shop, atWork)
	return showForm(desk, filling, err, func(kept sheet.Kept) move {
		return move{back: true, say: orderNotice(desk, kept.Bow, "Saved.")}
	})
}

// entryForm adds an entry to the bow on the bench.
func entryForm(desk *Desk, atWork *session.Bench, sh *sheet.Sheet) (*form, error) {
	bow := atWork.Story().Bow()
	filling, err := sheet.EntryForm(desk.Shop, atWork, sh)
	return showForm(desk, filling, err, func(kept sheet.Kept) move {
		return move{back: true, say: notice{saying, fmt.Sprintf("Saved %s: %s.", desk.Shop.Now().In(desk.Place).Format("15:04"), session.Say(bow, kept.Event))}}
	})
}

// load puts the answer to the current question into the input.
func (f *form) load() {
	text := ""
	if !f.sheet.Done() {
		text, _ = f.sheet.Given(f.sheet.At())
	}
	f.setText(text)
}

// setText puts a text into the field.
func (f *form) setText(text string) {
	f.input.SetValue(text)
	f.input.CursorEnd()
	f.instead = ""
}

func (f *form) title() (name, what, right string) {
	return f.filling.Of, f.sheet.Title, fmt.Sprintf("%d of %d", min(f.sheet.At()+1, len(f.sheet.Questions)), len(f.sheet.Questions))
}

func (f *form) returned() error { return nil }

func (f *form) idle() string {
	if !f.filling.Drafted() {
		return "Nothing of this is in the book before it is saved."
	}
	return "Each confirmed field is kept on disk."
}

// leave keeps the draft, with what is typed at the field.
func (f *form) leave() error {
	_, err := f.filling.Leave(f.input.Value())
	return err
}

// typing gives all that is no command to the field.
func (f *form) typing(msg tea.KeyMsg) (move, bool) {
	switch msg.Type {
	case tea.KeyEnter, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyTab, tea.KeyShiftTab, tea.KeyPgUp, tea.KeyPgDown, tea.KeyCtrlS, tea.KeyCtrlO, tea.KeyCtrlX,
		tea.KeyF1, tea.KeyF2, tea.KeyCtrlL:
		return move{}, false
	case tea.KeyRunes:
		if string(msg.Runes) == "?" && !msg.Paste && f.input.Value() == "" {
			return move{}, false
		}
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
		// Hands that did not see the question go on with the next value: it must not be glued to this one, nor may this one be lost.
		f.instead = f.input.Value()
		f.input.SetValue("")
	}
	if q, ok := f.sheet.Current(); ok && msg.Type == tea.KeyRunes && q.BeginsAnew(f.input.Value(), string(msg.Runes)) {
		f.input.SetValue("")
	}
	f.verdict = sheet.Verdict{}
	whole := len(f.input.Value()) + len(string(msg.Runes))
	f.input, _ = f.input.Update(msg)
	if whole > mostTyped && len([]rune(f.input.Value())) == mostTyped {
		return move{say: notice{warning, fmt.Sprintf("That is more than a field holds; it is cut after %d letters.", mostTyped)}}, true
	}
	return move{}, true
}

func (f *form) actions() []action {
	confirm := "next"
	if f.filling.Saving() {
		confirm = "save"
	}
	return []action{
		{keys: []string{"enter"}, name: confirm, main: true, long: "Confirm the field and go on; alone on an empty field it leaves the reading out. After the last field the entry is saved.",
			do: f.enter},
		{keys: []string{"up", "shift+tab"}, name: "field before", main: true, long: "Go back to the field before; nothing is lost.",
			do: func() move { f.step(-1); return move{} }},
		{keys: []string{"down", "tab"}, name: "field after", long: "Go on to the field after without confirming this one.",
			do: func() move { f.step(1); return move{} }},
		{keys: []string{"pgdown"}, name: "next limb", long: "Go to the next limb, or the next part of the form, without confirming this field.",
			do: func() move { f.jump(1); return move{} }},
		{keys: []string{"pgup"}, name: "limb before", long: "Go to the beginning of this limb or part, or to the one before.",
			do: func() move { f.jump(-1); return move{} }},
		{keys: []string{"ctrl+s"}, name: "save now", main: true, long: "Save the entry with what was typed so far; the other fields are left out. Where a field stands in the way, Enter on it saves.",
			do: f.saveNow},
		{keys: []string{"ctrl+o"}, name: "to a file", main: true, long: "Where the book cannot be written, write the bow with this entry to a file, as a record that bendbook import takes.",
			off: func() string {
				switch {
				case !f.unsaved:
					return "ctrl+s saves it in the book"
				case !f.filling.Travels():
					return "this is of no bow, and goes into the book alone"
				}
				return ""
			}, do: f.toFile},
		{keys: []string{"ctrl+x"}, name: "throw away", main: true, long: "Throw away what was typed in this form.",
			do: f.throwAway},
		{keys: []string{"esc"}, name: "leave", main: true, long: "Leave the form; what was typed is kept and offered again.",
			do: f.escape},
		enlarge(),
	}
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

// take goes on by how an answer was taken; moved says that another question is asked. Where the entry cannot be saved, all that was
// typed stays and can be saved again.
func (f *form) take(verdict sheet.Verdict, kept *sheet.Kept, err error, moved bool) move {
	if f.verdict = verdict; kept != nil {
		return f.after(*kept)
	}
	if moved || err != nil {
		f.load()
	}
	f.unsaved = err != nil || f.unsaved && verdict.State != sheet.Taken
	switch {
	case errors.Is(err, sheet.ErrNotSaved) && f.filling.Travels():
		return failed(fmt.Errorf("%w. What you typed is still here: ctrl+s again, ctrl+o to a file", err))
	case errors.Is(err, sheet.ErrNotSaved):
		return failed(fmt.Errorf("%w. What you typed is still here: ctrl+s again", err))
	case err != nil:
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
	if err := record.Write(&text, *rec); err != nil {
		return failed(err)
	}
	path, err := f.desk.Save(report.Filename(session.NameOf(rec.Bow), "bow")+"-unsaved.json", text.Bytes())
	if err != nil {
		return failed(fmt.Errorf("not written: %w. What you typed is still here", err))
	}
	return move{say: notice{warning, fmt.Sprintf("Written: %s. It is not in the book until bendbook import takes it; what you typed is still here.", path)}}
}

func (f *form) step(by int) {
	f.filling.Step(by, f.input.Value())
	f.verdict = sheet.Verdict{}
	f.load()
}

// jump goes to where the next group of fields begins, as the other limb does, or back to where this one begins or the one before.
func (f *form) jump(by int) {
	f.filling.Jump(by, f.input.Value())
	f.verdict = sheet.Verdict{}
	f.load()
}

// begin types what another screen took for the first figure of this form. Where a field is half typed already it is not glued to that.
func (f *form) begin(msg tea.KeyMsg) move {
	if f.input.Value() != "" {
		return move{}
	}
	next, _ := f.typing(msg)
	return next
}

func (f *form) about() string { return f.sheet.About() }

func (f *form) throwAway() move {
	if err := f.filling.Drop(); err != nil {
		return failed(err)
	}
	return move{back: true, say: notice{saying, "Thrown away; nothing was added to the book."}}
}

func (f *form) escape() move {
	ended, err := f.filling.Abandon(f.input.Value())
	switch {
	case err != nil:
		return failed(err)
	case ended && f.filling.Resumed:
		return move{back: true, say: notice{saying, "Thrown away; nothing was added to the book."}}
	case ended:
		return move{back: true}
	}
	return move{back: true, say: notice{warning, "Kept half typed; the same form takes it up again."}}
}
