package line

import (
	"errors"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/sheet"
)

// A form is asked question by question. A line that begins with a point and a letter is no answer but says what to do.

// formWords are what can be said in a form.
var formWords = []struct {
	word string
	long say.Word
}{
	{".back", "Go back to the field before; nothing is lost. < does too."},
	{".next", "Go on to the field after without confirming this one. > does too."},
	{".none", "Leave this field out, also where something stands in it."},
	{".save", "Save now; the fields not yet come to are left out. Where a field stands in the way, the answer to it saves."},
	{".held", "Fill in how long the bow stood drawn, in seconds, in a pull: .held 3.2."},
	{".read", "Read what was answered so far."},
	{".leave", "Leave the form; what was typed is kept and offered again."},
	{".drop", "Throw away what was typed in this form."},
}

// filling is a form as it is asked for.
type filling struct {
	*talk
	form *sheet.Form
	hint string // that was said last
	held string // an answer that was asked about: Enter alone keeps it
	from int    // number of the line in which that came
}

// fill asks for a form. kept is nil where it was left or thrown away. first answers the first question, where it is not "".
func (t *talk) fill(form *sheet.Form, first string) (kept *sheet.Kept, err error) {
	f := &filling{talk: t, form: form}
	t.say(form.Sheet.Title + ".")
	if form.Sheet.Caution != "" {
		t.say(form.Sheet.Caution)
	}
	if needed := form.Sheet.Needed(); form.Sheet.Usual && len(needed) > 0 {
		t.sayf("Only needed: %s. .save then saves, with the rest as usual.", strings.Join(needed, ", "))
	}
	if form.Resumed {
		parts := append([]string{say.It("It is taken up where it was left")}, begunWhen(t.tell(form.Sheet.Begun()), form.Stale)...)
		t.say(say.F("%s; .drop throws it away.", strings.Join(parts, ", ")))
		if first != "" {
			t.refused(first, say.Error("a half-typed form was taken up, and this was not entered in it"))
			first = ""
		}
	}
	if first != "" {
		if kept, done := f.answer(first); done {
			return kept, nil
		}
	}
	for {
		text, err := f.ask()
		switch {
		case errors.Is(err, errTooLong):
			f.refused(say.It("(too long)"), err)
			continue
		case err != nil:
			return nil, f.end(text, err)
		}
		if kept, done := f.heed(strings.TrimSpace(text)); done {
			return kept, nil
		}
		if f.broken != nil {
			return nil, f.end("", f.broken)
		}
	}
}

// begunWhen are what is known of when a half-typed form was begun; "" is no time.
func begunWhen(at string, stale bool) (parts []string) {
	if at != "" {
		parts = append(parts, say.F("begun %s", at))
	}
	if stale {
		parts = append(parts, say.It("before the last scrape"))
	}
	return parts
}

// end keeps what is half typed, with a line that has no end.
func (f *filling) end(text string, why error) error {
	if text == "" {
		text = f.held
	}
	if text == "" {
		text = f.form.Current()
	}
	half, err := f.form.Leave(text)
	switch {
	case err != nil:
		f.lost = err
	case half:
		f.say(say.It("Kept half typed; the same form takes it up again."))
	}
	return why
}

// ask asks for the current question in one line, after what would be accepted, where that was not said just before.
func (f *filling) ask() (string, error) {
	s := f.form.Sheet
	q, _ := s.Current()
	if q.Hint != f.hint {
		f.say(session.Capital(ended(q.Hint)))
		f.hint = q.Hint
	}
	return f.read(f.spell(f.prompt(q)) + ": ")
}

// prompt is the question in one line: what it is, what it was last time, what is expected, and what Enter alone takes.
func (f *filling) prompt(q sheet.Question) string {
	s := f.form.Sheet
	parts := []string{labelOf(q)}
	if was := s.Was(s.At()); was != "" {
		parts = append(parts, say.F("was %s", was))
	}
	if expected := s.Expected(s.At()); expected != "" {
		parts = append(parts, say.F("expected %s", expected))
	}
	switch given := f.form.Current(); {
	case f.held != "":
		parts = append(parts, say.F("Enter alone keeps %s", f.held))
	case given != "":
		parts = append(parts, say.F("Enter alone keeps %s", given))
	case q.Preset != "":
		parts = append(parts, say.F("Enter alone takes %s", q.Shown(q.Preset)))
	}
	return spoken(strings.Join(parts, ", "))
}

// labelOf names a question in full: "pull, draw in inches", "upper limb, 8 in".
func labelOf(q sheet.Question) string {
	text := q.Label
	if !strings.Contains(text, q.Group) {
		text = q.Group + ", " + text
	}
	if q.Unit != "" && !strings.HasSuffix(q.Label, " "+q.Unit) {
		text = say.F("%s in %s", text, unitName(q.Unit))
	}
	return text
}

// heed takes an answer, or does what a line says; done says that the form is closed.
func (f *filling) heed(text string) (kept *sheet.Kept, done bool) {
	switch {
	case text == "?":
		f.help()
		return nil, false
	case text == "<":
		text = ".back"
	case text == ">":
		text = ".next"
	}
	if len(text) > 1 && text[0] == '.' && isLetter(text[1]) {
		return f.command(strings.ToLower(text))
	}
	if len(text) > 2 && strings.HasPrefix(text, "..") && isLetter(text[2]) {
		text = text[1:] // a word of one's own that begins with a point
	}
	return f.answer(text)
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

func (f *filling) command(text string) (kept *sheet.Kept, done bool) {
	if seconds, ok := strings.CutPrefix(text, ".held"); ok && (seconds == "" || seconds[0] == ' ') {
		if err := f.fillHeld(seconds); err != nil {
			f.refused(text, err)
		}
		return nil, false
	}
	switch text {
	case ".help":
		f.help()
	case ".back", ".next":
		by := 1
		if text == ".back" {
			by = -1
		}
		f.form.Step(by, f.typed())
		f.held = ""
	case ".none":
		f.held = ""
		return f.take("", ".none")
	case ".save":
		return f.settle(text, f.held)(f.form.SaveNow(f.held))
	case ".read":
		f.readBack()
	case ".leave":
		return nil, f.leave(text)
	case ".drop":
		if err := f.form.Drop(); err != nil {
			f.fail(text, err)
			return nil, false
		}
		f.say(say.It("Thrown away; nothing was added to the book."))
		return nil, true
	default:
		f.refused(text, say.Errorf("there is no %s here; ? lists what can be said, and a word of your own that begins with a point has two", text))
	}
	return nil, false
}

// fillHeld fills in how long the bow stood drawn.
func (f *filling) fillHeld(seconds string) error {
	if !f.form.Sheet.AsksHeld() {
		return say.Error("only a pull has a time held")
	}
	held, err := measure.ParseSeconds(seconds)
	if err == nil {
		err = hold(f.form, held)
	}
	if err == nil {
		f.sayf("Held %s; it is kept with the pull.", session.SayHeld(held))
	}
	return err
}

// typed is what stands at the field.
func (f *filling) typed() string {
	if f.held != "" {
		return f.held
	}
	return f.form.Current()
}

func (f *filling) leave(text string) bool {
	nothing, err := f.form.Abandon(f.typed())
	if err == nil && !nothing {
		_, err = f.form.Leave(f.typed())
	}
	switch {
	case err != nil:
		f.fail(text, err)
		return false
	case nothing:
		f.say(say.It("Left; nothing was added to the book."))
	default:
		f.say(say.It("Kept half typed; the same form takes it up again."))
	}
	return true
}

// answer answers the current question. An empty answer keeps what stands there.
func (f *filling) answer(text string) (kept *sheet.Kept, done bool) {
	if text == "" {
		text = f.typed()
	} else if f.held != "" && text != f.held {
		// What was asked about was not kept: a script that did not see the question goes on with its next value.
		f.missed = append(f.missed, missed{f.from, f.held, say.It("it was asked about, and something else was answered")})
	}
	f.held = ""
	return f.take(text, text)
}

func (f *filling) take(answer, said string) (kept *sheet.Kept, done bool) {
	heard := f.form.Sheet.Heard(answer)
	v, kept, err := f.form.Enter(answer)
	if heard != "" && v.State == sheet.Taken && err == nil {
		f.say(ended(spoken(heard)))
	}
	return f.settle(said, answer)(v, kept, err)
}

// settle tells how an answer was taken.
func (f *filling) settle(said, answer string) func(sheet.Verdict, *sheet.Kept, error) (*sheet.Kept, bool) {
	return func(v sheet.Verdict, kept *sheet.Kept, err error) (*sheet.Kept, bool) {
		switch {
		case err != nil:
			f.fail(said, say.Errorf("%w. What you typed is still here; .save tries again", err))
		case kept != nil:
			return kept, true
		case v.State == sheet.Refused:
			f.held = ""
			f.refused(said, errors.New(v.Says))
		case v.State == sheet.Asked:
			f.held, f.from = answer, f.in.number
			f.say(say.F("Sure? %s", session.Capital(ended(spoken(v.Says)))))
		default:
			f.held = ""
		}
		return nil, false
	}
}

func (f *filling) help() {
	q, _ := f.form.Sheet.Current()
	f.sayf("This asks for %s: %s", labelOf(q), ended(q.Hint))
	f.say(say.It("Enter alone leaves a field out, or takes or keeps what is offered. What is asked about is kept by Enter alone."))
	for _, w := range formWords {
		f.say(w.word + ": " + w.long.String())
	}
	f.say(say.It("A word of your own that begins with a point has two: ..save is the word .save."))
}

// readBack says what was answered so far.
func (f *filling) readBack() {
	s := f.form.Sheet
	for i, q := range s.Questions {
		if text, given := s.Given(i); given {
			if text == "" {
				text = say.It("left out")
			}
			f.say(labelOf(q) + ": " + text)
		}
	}
	left := len(s.Questions) - s.At()
	f.sayf("Field %d of %d comes next; %d are left.", s.At()+1, len(s.Questions), left)
}
