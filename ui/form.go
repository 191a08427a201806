package ui

import (
	"fmt"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/order"
	"bendbook/session"
	"bendbook/session/sheet"
)

// form shows a sheet: the field that is being typed large, the others around it. Each confirmed field is on disk as
// part of a draft before the next is asked for.
type form struct {
	desk    *Desk
	sheet   *sheet.Sheet
	input   textinput.Model
	verdict sheet.Verdict
	resumed bool   // the sheet was taken up from a draft
	since   string // when that was begun, as the notice says it
	draft   string // key of the draft; "" for a form that keeps none
	name    string // which bow it is about
	// keep writes the outcome and drops the draft; it says what was kept.
	keep func(sheet.Outcome) (move, error)
	// reckoning says whether what is expected is still being worked out; nil where nothing is.
	reckoning func() bool
	done      bool // kept or thrown away: there is nothing left to draft
}

// mostTyped is how many letters a field holds.
const mostTyped = 16_000

// openForm is the move to a form, or what kept it from opening.
func openForm(f *form, err error) move {
	if err != nil {
		return failed(err)
	}
	next := move{open: f}
	if f.resumed {
		next.say = notice{warning, "Taken up where you left it" + f.since + ". ctrl+x empties it."}
	}
	return next
}

// newForm is a form for a sheet, taken up from its draft where there is one.
func newForm(desk *Desk, name, draft string, sh *sheet.Sheet, keep func(sheet.Outcome) (move, error)) (*form, error) {
	input := textinput.New()
	input.Prompt, input.CharLimit = "", mostTyped
	input.Focus()
	f := &form{desk: desk, sheet: sh, input: input, draft: draft, name: name, keep: keep}
	if draft != "" {
		kept, ok, err := desk.Shop.Draft(draft)
		if err != nil {
			return nil, err
		}
		if ok {
			sh.Restore(kept)
			f.resumed = true
			f.since = ", begun " + desk.tell(kept.Begun)
		}
	}
	f.load()
	return f, nil
}

// newBowForm asks for a new bow and puts it on the bench.
func newBowForm(desk *Desk) (*form, error) {
	draft := session.DraftKey("", "bow")
	return newForm(desk, "Bendbook", draft, sheet.NewBow(desk.Shop.Finished()...), func(o sheet.Outcome) (move, error) {
		id, err := desk.Shop.NewBow(o.Bow, draft)
		if err != nil {
			return move{}, err
		}
		next := openBench(desk, id)
		next.swap = true
		next.say = orderNotice(desk, o.Bow, "Saved. Enter or a digit begins the first pull.")
		return next, nil
	})
}

// orderNotice says that a description is saved, and what is to be thought of with its order, where there is anything.
func orderNotice(desk *Desk, bow model.Bow, saved string) notice {
	settings, err := desk.Shop.Settings()
	if err != nil {
		return notice{failing, "Saved; but " + err.Error()}
	}
	found := warnings(bow, desk, order.Longbow{ArrowLimit: settings.ArrowLimit})
	switch len(found) {
	case 0:
		return notice{saying, saved}
	case 1:
		return notice{warning, "Saved. To think of: " + found[0]}
	}
	return notice{warning, fmt.Sprintf("Saved. To think of: %s And %d more: f, then o.", found[0], len(found)-1)}
}

// editForm changes a bow's description.
func editForm(desk *Desk, atWork *session.Bench) (*form, error) {
	bow := atWork.Story().Bow()
	draft := session.DraftKey(bow.ID, "edit")
	return newForm(desk, session.NameOf(bow), draft, sheet.EditBow(atWork.Story(), desk.Shop.Finished()...), func(o sheet.Outcome) (move, error) {
		if err := atWork.Redescribe(o.Bow, draft); err != nil {
			return move{}, err
		}
		return move{back: true, say: orderNotice(desk, o.Bow, "Saved.")}, nil
	})
}

// entryForm adds an entry to the bow on the bench.
func entryForm(desk *Desk, atWork *session.Bench, sh *sheet.Sheet) (*form, error) {
	bow := atWork.Story().Bow()
	draft := session.DraftKey(bow.ID, sh.Form)
	f, err := newForm(desk, session.NameOf(bow), draft, sh, func(o sheet.Outcome) (move, error) {
		if err := atWork.Add(o.Event, draft); err != nil {
			return move{}, err
		}
		return move{back: true, say: notice{saying, fmt.Sprintf("Saved %s: %s.",
			desk.Shop.Now().In(desk.Place).Format("15:04"), session.Say(bow, o.Event))}}, nil
	})
	if err == nil && f.resumed && atWork.Story().ScrapedSince(sh.Begun()) {
		f.since += ", before the last scrape"
	}
	return f, err
}

// load puts the answer to the current question into the input.
func (f *form) load() {
	text := ""
	if !f.sheet.Done() {
		text, _ = f.sheet.Given(f.sheet.At())
	}
	f.input.SetValue(text)
	f.input.CursorEnd()
}

func (f *form) title() (name, what, right string) {
	return f.name, f.sheet.Title, fmt.Sprintf("%d of %d", min(f.sheet.At()+1, len(f.sheet.Questions)), len(f.sheet.Questions))
}

func (f *form) returned() error { return nil }

func (f *form) idle() string {
	if f.draft == "" {
		return ""
	}
	return "Each confirmed field is kept on disk."
}

// leave keeps the draft, with what is typed at the field.
func (f *form) leave() error {
	if f.done || f.draft == "" {
		return nil
	}
	f.sheet.Leave(f.input.Value())
	if !f.sheet.Any() && !f.resumed {
		return nil
	}
	return f.saveDraft()
}

func (f *form) saveDraft() error {
	if f.draft == "" {
		return nil
	}
	return f.desk.Shop.SaveDraft(f.draft, f.sheet.Draft(f.desk.Shop.Now()))
}

// typing gives all that is no command to the field.
func (f *form) typing(msg tea.KeyMsg) (move, bool) {
	switch msg.Type {
	case tea.KeyEnter, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyTab, tea.KeyShiftTab, tea.KeyCtrlS, tea.KeyCtrlX, tea.KeyF1:
		return move{}, false
	case tea.KeyRunes:
		if string(msg.Runes) == "?" && !msg.Paste && f.input.Value() == "" {
			return move{}, false
		}
	}
	if f.verdict.State != sheet.Taken && msg.Type == tea.KeyRunes {
		// Hands that did not see the question go on with the next value: it must not be glued to this one.
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
	return []action{
		{keys: []string{"enter"}, name: "next", main: true, long: "Confirm the field and go on; alone on an empty field it leaves the reading out. After the last field the entry is saved.",
			do: f.enter},
		{keys: []string{"up", "shift+tab"}, name: "field before", main: true, long: "Go back to the field before; nothing is lost.",
			do: func() move { f.step(-1); return move{} }},
		{keys: []string{"down", "tab"}, name: "field after", long: "Go on to the field after without confirming this one.",
			do: func() move { f.step(1); return move{} }},
		{keys: []string{"ctrl+s"}, name: "save now", main: true, long: "Save the entry with what was typed so far; the other fields are left out.",
			do: f.saveNow},
		{keys: []string{"ctrl+x"}, name: "throw away", main: true, long: "Throw away what was typed in this form.",
			do: f.throwAway},
		{keys: []string{"esc"}, name: "leave", main: true, long: "Leave the form; what was typed is kept and offered again.",
			do: f.escape},
	}
}

// enter confirms the field: it is judged, kept in the draft, and after the last one the entry is saved.
func (f *form) enter() move {
	f.verdict = f.sheet.Answer(f.input.Value())
	if f.verdict.State != sheet.Taken {
		return move{}
	}
	if f.sheet.Done() {
		return f.finish()
	}
	f.load()
	if err := f.saveDraft(); err != nil {
		return failed(fmt.Errorf("the draft is not on disk: %w", err))
	}
	return move{}
}

// saveNow confirms what is typed at the field and saves the entry without the rest.
func (f *form) saveNow() move {
	if f.input.Value() != "" {
		if f.verdict = f.sheet.Answer(f.input.Value()); f.verdict.State != sheet.Taken {
			return move{}
		}
		f.load()
	}
	return f.finish()
}

// finish saves the entry. Where it cannot be saved, all that was typed stays and can be saved again.
func (f *form) finish() move {
	outcome, err := f.sheet.Finish()
	if err != nil {
		f.load()
		f.verdict = sheet.Verdict{State: sheet.Refused, Says: err.Error()}
		return move{}
	}
	next, err := f.keep(outcome)
	if err != nil {
		f.sheet.Go(min(f.sheet.At(), len(f.sheet.Questions)-1))
		f.load()
		return failed(fmt.Errorf("not saved: %w. What you typed is still here; ctrl+s tries again", err))
	}
	f.done = true
	return next
}

func (f *form) step(by int) {
	f.sheet.Leave(f.input.Value())
	f.sheet.Go(max(0, min(f.sheet.At()+by, len(f.sheet.Questions)-1)))
	f.verdict = sheet.Verdict{}
	f.load()
}

func (f *form) throwAway() move {
	if f.draft != "" {
		if err := f.desk.Shop.DropDraft(f.draft); err != nil {
			return failed(err)
		}
	}
	f.done = true
	return move{back: true, say: notice{saying, "Thrown away; nothing was added to the book."}}
}

func (f *form) escape() move {
	f.sheet.Leave(f.input.Value())
	if f.draft == "" || !f.sheet.Any() {
		f.done = true
		if f.resumed {
			return f.throwAway()
		}
		return move{back: true}
	}
	return move{back: true, say: notice{warning, "Kept half typed; the same form takes it up again."}}
}
