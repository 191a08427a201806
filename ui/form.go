package ui

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/photo"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report"
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
	instead string   // what was refused or doubted, and typed over
	unsaved bool     // the book did not take what was typed
	picture *picture // that is being read; nil where none is, or the form changed since
}

// A picture is one to read for a form: by its name, else the newest in a folder.
type picture struct {
	name, folder string
	begun        bool
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
		return notice{warning, fmt.Sprintf("The clock ran for %s; nothing is filled in: %v.", says, err)}
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
	if help {
		return move{}, false
	}
	f.picture = nil
	if slices.ContainsFunc(f.actions(), func(a action) bool { return a.has(msg) }) {
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
	q, ok := f.fields.Current()
	if f.reply.State != form.Taken || f.stands() && (f.fields.WasDoubted(f.fields.At()) || q.IsAnother(typed)) {
		// Hands that did not see the question go on with the next value: neither may be lost.
		f.instead = f.input.Value()
		f.input.SetValue("")
	}
	if ok && q.BeginsAnew(f.input.Value(), typed) {
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
	filled, reply, kept, err := f.filling.Fill(values)
	if filled == 0 && err != nil {
		return warned("%v.", err), true
	}
	if next = f.take(reply, kept, err, true); next.say.text == "" {
		next.say = said("Filled in %d of %d values.", filled, len(values)).say
	}
	if filled < len(values) {
		f.setText(values[filled]) // with what is wrong with it
	}
	return next, true
}

func (f *formScreen) actions() []action {
	confirm := "next"
	if f.filling.Saving() {
		confirm = "save"
	}
	// No measure begins with these.
	save := "ctrl+s"
	if q, ok := f.fields.Current(); ok && q.Unit != "" && f.input.Value() == "" && !f.unsaved {
		save = "* ; ctrl+s"
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
		{keys: save, name: "save now", main: true, do: f.saveNow,
			long: "Save the entry with what you typed so far, without the other fields. On an empty field for a " +
				"measure, * or ; does it too. If a field needs a look first, Enter on it saves."},
		{keys: "ctrl+o", name: "to a file", main: true, off: mayWriteFile, do: f.toFile,
			long: "If you can't save, write the bow with this entry to a file. bendbook import reads " +
				"it later."},
		{keys: "ctrl+p", name: "picture", in: reads, off: f.fields.TakesPhoto, do: f.photograph,
			long: "Fill in the stations from the newest picture in the folder of your settings. " +
				"Type a file's name first to take another. Nothing is saved by it."},
		{keys: "ctrl+x", name: "throw away", main: true, in: writes, do: f.throwAway,
			long: "Throw this form away. Press it twice."},
		{keys: "esc", name: "leave", main: true, in: leaves, do: f.escape,
			long: "Leave the form. It keeps what you typed."},
		f.desk.enlarge("f2 ctrl+l"),
	}
}

func (f *formScreen) moved() {
	f.reply = form.Reply{}
	f.load()
}

// enter confirms the field: it is judged, kept in the draft, and after the last one the entry is saved.
func (f *formScreen) enter() move { return f.confirm(f.filling.Enter, false) }

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

// photograph fills in the form from a picture: the newest, or the one whose name stands in the field.
func (f *formScreen) photograph() move {
	p := picture{name: strings.TrimSpace(f.input.Value()), folder: f.desk.practice.Photo.Folder}
	if !slices.Contains([]string{".jpg", ".jpeg", ".png"}, strings.ToLower(filepath.Ext(p.name))) {
		p.name = ""
	}
	if p.name == "" && p.folder == "" || f.desk.Picture == nil {
		return warned("Type the folder of your pictures in the settings, or a picture's name here.")
	}
	f.picture = &p
	return said("Reading the picture…")
}

// background reads the picture that was asked for.
func (f *formScreen) background() tea.Cmd {
	p := f.picture
	if p == nil || p.begun {
		return nil
	}
	p.begun = true
	bow, practice, open := f.fields.Bow(), f.desk.practice, f.desk.Picture
	return func() tea.Msg {
		data, path, err := open(p.folder, p.name)
		if err != nil {
			return f.told(p, func() move { return failed(fmt.Errorf("no picture: %w", err)) })
		}
		shown, r, err := form.ReadPhoto(bow, practice, data)
		var b bytes.Buffer
		if shown != nil && r.Show(&b, shown) != nil {
			b.Reset()
		}
		return f.told(p, func() move { return f.fill(p, path, b.Bytes(), r, err) })
	}
}

// told does what comes of a picture, unless the form changed meanwhile.
func (f *formScreen) told(p *picture, do func() move) toldMsg {
	return func() notice {
		if f.picture != p {
			return notice{warning, "The form changed. The picture was left out."}
		}
		f.picture = nil
		return do().say
	}
}

// fill fills in what was read of a picture, and writes how it was read beside it.
func (f *formScreen) fill(p *picture, path string, shown []byte, r photo.Reading, err error) move {
	if len(shown) > 0 {
		beside := strings.TrimSuffix(path, filepath.Ext(path)) + ".read.png"
		_ = f.desk.Replace(beside, shown) // for eyes only: the folder may be one to read only
	}
	named := plain.Line(filepath.Base(path))
	if err != nil {
		return warned("%s: %v.", named, err)
	}
	if p.name != "" {
		f.input.SetValue("")
	}
	f.filling.Step(0, f.input.Value())
	says, err := f.filling.Photograph(r)
	f.moved()
	if err != nil {
		return failed(err)
	}
	return said("%s: %s", named, says)
}

func (f *formScreen) about() string { return f.fields.About() }

const thrownAway = "Thrown away; nothing was added to the book."

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
