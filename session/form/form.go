package form

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model/record"
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
	keep  func(Outcome) (Kept, error)
	apart func(Outcome) (record.Record, error) // as a record; nil where it is of no bow
	done  bool                                 // kept or thrown away: there is nothing left to draft
	// saving says that the whole was to be kept, and a question stood in the way: once that is answered, it
	// is.
	saving bool
}

// Kept is what became of a finished form: it is in the book.
type Kept struct {
	Outcome
	ID string // of the bow that is described
}

// ErrNotSaved is wrapped where a finished form could not be kept. All that was typed is still there.
var ErrNotSaved = errors.New("not saved")

// newForm is the form of a sheet, taken up from its draft where there is one.
func newForm(s *shop.Shop, of, draft string, sh *Sheet, keep func(Outcome) (Kept, error),
	apart func(Outcome) (record.Record, error)) (*Form, error) {
	f := &Form{Sheet: sh, Of: of, shop: s, draft: draft, keep: keep, apart: apart}
	if draft == "" {
		return f, nil
	}
	kept, ok, err := s.Draft(draft)
	if err != nil {
		return nil, err
	}
	if ok {
		sh.Restore(kept)
		f.Resumed = true
	}
	return f, nil
}

// Drafted says whether what is half typed is kept.
func (f *Form) Drafted() bool { return f.draft != "" }

// Done says whether the form was kept or thrown away.
func (f *Form) Done() bool { return f.done }

// Saving says whether the answer to the current question keeps the whole, since [Form.SaveNow] was stopped
// by that question.
func (f *Form) Saving() bool { return f.saving }

// Enter answers the current question. An answer that is taken is on disk when it returns; after the last
// one the whole is in the book, and kept is not nil; so it is after one that stood in the way of
// [Form.SaveNow]. The error says what is not on disk, and wraps [ErrNotSaved] where that is the whole.
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
	if err := f.saveDraft(); err != nil {
		return v, nil, fmt.Errorf("the draft is not on disk: %w", err)
	}
	return v, nil, nil
}

// SaveNow answers the current question, where anything is typed, else leaves it out, and keeps the whole
// without the rest; see [Form.Enter].
func (f *Form) SaveNow(text string) (v Verdict, kept *Kept, err error) {
	if text != "" {
		if v = f.Sheet.Answer(text); v.State != Taken {
			f.saving = true
			return v, nil, nil
		}
	} else {
		f.Sheet.Leave("") // what was there is taken out
	}
	v, kept, err = f.finish()
	// Where nothing was typed at all there was nothing to save: the key was a slip.
	f.saving = v.State != Taken && f.Sheet.Any()
	return v, kept, err
}

// finish keeps the whole. Where it cannot be kept, all that was typed stays and can be saved again.
func (f *Form) finish() (Verdict, *Kept, error) {
	outcome, err := f.Sheet.Finish()
	if err != nil {
		f.stay()
		return Verdict{State: Refused, Says: err.Error()}, nil, nil
	}
	kept, err := f.keep(outcome)
	if err != nil {
		f.stay()
		return Verdict{}, nil, fmt.Errorf("%w: %w", ErrNotSaved, err)
	}
	f.done = true
	return Verdict{}, &kept, nil
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
func (f *Form) stay() { f.Sheet.Go(min(f.Sheet.At(), len(f.Sheet.Questions)-1)) }

// Step leaves what is typed at the current question unjudged and goes so many questions on, or back.
func (f *Form) Step(by int, text string) {
	f.saving = false
	f.Sheet.Leave(text)
	f.Sheet.Go(max(0, min(f.Sheet.At()+by, len(f.Sheet.Questions)-1)))
}

// Leave keeps as a draft what is half typed, with what is typed at the current question. half is false
// where there is nothing to keep: nothing was typed, or the form keeps no draft.
func (f *Form) Leave(text string) (half bool, err error) {
	if f.done || f.draft == "" {
		return false, nil
	}
	f.Sheet.Leave(text)
	if !f.Sheet.Any() && !f.Resumed {
		return false, nil
	}
	return f.Sheet.Any(), f.saveDraft()
}

func (f *Form) saveDraft() error {
	if f.draft == "" {
		return nil
	}
	return f.shop.SaveDraft(f.draft, f.Sheet.Draft(f.shop.Now()))
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
	f.Sheet.Leave(text)
	if f.draft != "" && f.Sheet.Any() {
		return false, nil
	}
	if f.Resumed {
		return true, f.Drop()
	}
	f.done = true
	return true, nil
}

// Current is the text at the question that is being answered.
func (f *Form) Current() string {
	if f.Sheet.Done() {
		return ""
	}
	text, _ := f.Sheet.Given(f.Sheet.At())
	return strings.TrimSpace(text)
}

// Jump leaves what is typed at the current question unjudged and goes to where the next group begins, as
// the other limb does, or back to where this one begins or the one before.
func (f *Form) Jump(by int, text string) {
	f.saving = false
	s := f.Sheet
	s.Leave(text)
	begins := func(i int) bool { return i == 0 || s.Questions[i].Group != s.Questions[i-1].Group }
	for i := min(s.At(), len(s.Questions)) + by; i >= 0 && i < len(s.Questions); i += by {
		if begins(i) {
			s.Go(i)
			return
		}
	}
}
