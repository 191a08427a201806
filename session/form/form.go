package form

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/shop"
)

// Form is a sheet as somebody fills it in: each answer that is taken is on disk as part of a draft before the
// next is asked for, and what was left half typed is taken up again.
type Form struct {
	Sheet   *Sheet
	Of      string // whose it is: the bow's name, or the program's where the bow is yet to be
	Resumed bool   // the sheet was taken up from a draft
	Stale   bool   // wood was taken since that was begun

	shop  *shop.Shop
	draft string // key of the draft; "" for a form that keeps none
	keep  func(Outcome) (id string, err error)
	apart func(Outcome) (record.Record, error) // as a record; nil where it is of no bow
	done  bool                                 // kept or thrown away: there is nothing left to draft
	// saving says that the whole was to be kept, and a question stood in the way: its answer keeps it.
	saving bool
}

// Kept is a finished form that is in the book.
type Kept struct {
	Outcome
	ID string // of the bow that is described
}

// ErrNotSaved is wrapped where a finished form could not be kept. All that was typed is still there.
var ErrNotSaved = errors.New("not saved")

// begin takes the form's sheet up from its draft where there is one.
func begin(f Form) (*Form, error) {
	if f.draft == "" {
		return &f, nil
	}
	kept, found, err := f.shop.Draft(f.draft)
	if err != nil {
		return nil, err
	}
	if found {
		f.Sheet.Restore(kept)
		f.Resumed = true
	}
	return &f, nil
}

// practiceOf returns the shop's practice. Where its settings cannot be read common practice holds; who asks
// for them is told.
func practiceOf(s *shop.Shop) practice {
	settings, _ := s.Settings()
	return practice{Units: settings.Units, Dates: s.DatesOf(settings), Now: s.Now(), Finished: s.Finished()}
}

// NewBowForm asks for a new bow.
func NewBowForm(s *shop.Shop) (*Form, error) {
	return bowForm(s, "Bendbook", shop.DraftKey("", "bow"), newBow(practiceOf(s)))
}

// LikeForm asks for a new bow, filled in with what another was.
func LikeForm(s *shop.Shop, story session.Story) (*Form, error) {
	pattern, err := s.Another(story)
	if err != nil {
		return nil, err
	}
	name := session.NameOf(story.Bow())
	return bowForm(s, name, shop.DraftKey(story.Bow().ID, likeForm), likeBow(pattern, name, practiceOf(s)))
}

func bowForm(s *shop.Shop, of, draft string, sh *Sheet) (*Form, error) {
	return begin(Form{shop: s, Sheet: sh, Of: of, draft: draft,
		keep:  func(o Outcome) (string, error) { return s.NewBow(o.Bow, draft) },
		apart: func(o Outcome) (record.Record, error) { return s.NewBowApart(o.Bow) }})
}

// EditForm changes a bow's description.
func EditForm(s *shop.Shop, atWork *shop.Bench) (*Form, error) {
	bow := atWork.Story().Bow()
	draft := shop.DraftKey(bow.ID, editForm)
	sh := editBow(atWork.Story(), practiceOf(s))
	return begin(Form{shop: s, Sheet: sh, Of: session.NameOf(bow), draft: draft,
		keep:  func(o Outcome) (string, error) { return bow.ID, atWork.Redescribe(o.Bow, draft) },
		apart: func(o Outcome) (record.Record, error) { return atWork.RedescribedApart(o.Bow) }})
}

// EntryForm adds an entry to the bow on the bench.
func EntryForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet) (*Form, error) {
	f, err := entryForm(s, atWork, sh, shop.DraftKey(atWork.Story().Bow().ID, sh.Form))
	if err == nil && f.Resumed {
		f.Stale = atWork.Story().ScrapedSince(sh.Begun())
	}
	return f, err
}

// ShortForm adds an entry to the bow on the bench, by a sheet so short that nothing half typed is kept of it.
func ShortForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet) (*Form, error) {
	return entryForm(s, atWork, sh, "")
}

func entryForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet, draft string) (*Form, error) {
	sh.of = atWork.Story().Bow()
	return begin(Form{shop: s, Sheet: sh, Of: session.NameOf(sh.of), draft: draft,
		keep:  func(o Outcome) (string, error) { return "", atWork.Add(o.Event, draft) },
		apart: func(o Outcome) (record.Record, error) { return atWork.Apart(o.Event) }})
}

// CorrectForm puts an entry right. ok is false for an entry that has no form.
func CorrectForm(s *shop.Shop, atWork *shop.Bench, line session.Line) (f *Form, ok bool, err error) {
	story, id := atWork.Story(), line.Entry.ID
	sh, ok := Correct(story.Without(id), line.Entry)
	if !ok {
		return nil, false, nil
	}
	sh.of = story.Bow()
	draft := shop.DraftKey(sh.of.ID, sh.Form)
	f, err = begin(Form{shop: s, Sheet: sh, Of: session.NameOf(sh.of), draft: draft,
		keep:  func(o Outcome) (string, error) { return "", atWork.Correct(id, o.Event, draft) },
		apart: func(o Outcome) (record.Record, error) { return atWork.CorrectedApart(id, o.Event) }})
	return f, true, err
}

// SettingForm changes the shop's settings, by a sheet of [Setting] or [AddStage].
func SettingForm(s *shop.Shop, sh *Sheet) (*Form, error) {
	return begin(Form{shop: s, Sheet: sh, Of: "Bendbook",
		keep: func(o Outcome) (string, error) { return "", s.KeepSettings(o.Settings) }})
}

// Drafted says whether what is half typed is kept.
func (f *Form) Drafted() bool { return f.draft != "" }

// Saving says whether the answer to the current question keeps the whole, since that question stopped
// [Form.SaveNow].
func (f *Form) Saving() bool { return f.saving }

// Enter answers the current question. An answer that is taken is on disk when it returns; after the last
// one, or one that stood in the way of [Form.SaveNow], the whole is in the book and kept is not nil. The
// error says what is not on disk, and wraps [ErrNotSaved] where that is the whole.
func (f *Form) Enter(text string) (v Verdict, kept *Kept, err error) {
	if f.saving {
		return f.SaveNow(text)
	}
	if v = f.Sheet.Answer(text); v.State != Taken {
		return v, nil, nil
	}
	if f.Sheet.Done() {
		return f.finish()
	}
	return v, nil, f.keepDraft()
}

// SaveNow answers the current question, where anything is typed, else leaves it out, and keeps the whole
// without the rest; see [Form.Enter].
func (f *Form) SaveNow(text string) (v Verdict, kept *Kept, err error) {
	if text == "" {
		f.Sheet.leave("") // what was there is taken out
	} else if v = f.Sheet.Answer(text); v.State != Taken {
		f.saving = true
		return v, nil, nil
	}
	v, kept, err = f.finish()
	// Where nothing was typed at all there was nothing to save: the key was a slip.
	f.saving = v.State != Taken && f.Sheet.any()
	return v, kept, err
}

// finish keeps the whole. Where it cannot be kept, all that was typed stays and can be saved again.
func (f *Form) finish() (Verdict, *Kept, error) {
	outcome, err := f.Sheet.Finish()
	if err != nil {
		f.stay()
		return Verdict{State: Refused, Says: err.Error()}, nil, nil
	}
	id, err := f.keep(outcome)
	if err != nil {
		f.stay()
		return Verdict{}, nil, fmt.Errorf("%w: %w", ErrNotSaved, err)
	}
	f.done = true
	return Verdict{}, &Kept{outcome, id}, nil
}

// Travels says whether what is typed can be kept as a record, by [Form.Apart].
func (f *Form) Travels() bool { return f.apart != nil }

// Apart answers the current question, where anything is typed, and gives what [Form.SaveNow] would have put
// into the book as a record of the bow, for where the book takes nothing. The form stays as it is; rec is
// nil where an answer was not taken.
func (f *Form) Apart(text string) (v Verdict, rec *record.Record, err error) {
	if text != "" {
		if v = f.Sheet.Answer(text); v.State != Taken {
			return v, nil, nil
		}
	}
	defer f.stay()
	outcome, err := f.Sheet.Finish()
	if err != nil {
		return Verdict{State: Refused, Says: err.Error()}, nil, nil
	}
	made, err := f.apart(outcome)
	if err != nil {
		return Verdict{}, nil, err
	}
	return Verdict{}, &made, nil
}

// stay keeps the sheet at a question.
func (f *Form) stay() { f.Sheet.goTo(min(f.Sheet.At(), len(f.Sheet.Questions)-1)) }

// Step leaves what is typed at the current question unjudged and goes so many questions on, or back.
func (f *Form) Step(by int, text string) {
	f.saving = false
	f.Sheet.leave(text)
	f.Sheet.goTo(f.Sheet.At() + by)
	f.stay()
}

// Jump leaves what is typed at the current question unjudged and goes to where the next group begins, as
// the other limb does, or back to where this one begins or the one before.
func (f *Form) Jump(by int, text string) {
	f.saving = false
	s := f.Sheet
	s.leave(text)
	for i := min(s.At(), len(s.Questions)) + by; i >= 0 && i < len(s.Questions); i += by {
		if i == 0 || s.Questions[i].Group != s.Questions[i-1].Group {
			s.goTo(i)
			return
		}
	}
}

// Leave keeps as a draft what is half typed, with what is typed at the current question. half is false
// where there is nothing to keep: nothing was typed, or the form keeps no draft.
func (f *Form) Leave(text string) (half bool, err error) {
	if f.done || f.draft == "" {
		return false, nil
	}
	f.Sheet.leave(text)
	if !f.Sheet.any() && !f.Resumed {
		return false, nil
	}
	return f.Sheet.any(), f.saveDraft()
}

func (f *Form) saveDraft() error {
	if f.draft == "" {
		return nil
	}
	return f.shop.SaveDraft(f.draft, f.Sheet.draft(f.shop.Now()))
}

func (f *Form) keepDraft() error {
	if err := f.saveDraft(); err != nil {
		return fmt.Errorf("the draft is not on disk: %w", err)
	}
	return nil
}

// Drop throws away what was typed.
func (f *Form) Drop() error {
	if f.draft != "" {
		if err := f.shop.DropDraft(f.draft); err != nil {
			return err
		}
	}
	f.done = true
	return nil
}

// Abandon ends a form in which nothing is typed, or that keeps no draft; ok is false where there is
// something to keep.
func (f *Form) Abandon(text string) (ok bool, err error) {
	f.Sheet.leave(text)
	switch {
	case f.draft != "" && f.Sheet.any():
		return false, nil
	case f.Resumed:
		return true, f.Drop()
	}
	f.done = true
	return true, nil
}

// Hold fills in how long the bow stood drawn. It is on disk when it returns.
func (f *Form) Hold(held time.Duration) error {
	f.Sheet.hold(held)
	return f.saveDraft()
}

// Fill puts values into the current field and those after it, one into each, as if they were typed and
// confirmed; the sheet then stands at the first that is refused or doubtful, with those after it filled in
// and yet to be confirmed, or behind the last. The error says why nothing was filled in: there are more
// values than fields, or a field that is answered would lose its answer.
func (f *Form) Fill(values []string) (v Verdict, kept *Kept, err error) {
	f.saving = false
	s := f.Sheet
	var into []string
	for _, q := range s.Questions[min(s.At(), len(s.Questions)):] {
		if q.beside {
			continue
		}
		if q.Unit == "" || len(into) == len(values) {
			break
		}
		if text := strings.TrimSpace(s.answers[q.Name]); text != "" && text != values[len(into)] {
			return v, nil, fmt.Errorf("%d values were pasted, and %s, %s, is %s already: nothing was filled in",
				len(values), q.Label, q.Group, text)
		}
		into = append(into, q.Name)
	}
	if n := len(into); n < len(values) {
		return v, nil, fmt.Errorf("%d values were pasted, and there is room for %d: nothing was filled in",
			len(values), n)
	}
	for i, name := range into {
		s.answers[name] = values[i]
	}
	// What follows the first that is not taken is kept too.
	if err := f.keepDraft(); err != nil {
		return v, nil, err
	}
	for range values {
		q, _ := s.Current()
		if v, kept, err = f.Enter(s.answers[q.Name]); v.State != Taken || kept != nil || err != nil {
			break
		}
	}
	return v, kept, err
}
