package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/photo"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/shop"
)

// Form is a sheet that somebody fills in. Each accepted answer is in a draft on disk before the next
// question, and a half-typed form resumes where it stopped.
type Form struct {
	Sheet   *Sheet
	Of      string // whose it is: the bow's name, or the program's where the bow is yet to be
	Resumed bool   // the sheet was taken up from a draft
	Stale   bool   // wood was taken since that was begun

	shop  *shop.Shop
	draft string // key of the draft; "" for a form that keeps none
	keep  func(outcome) (id string, err error)
	apart func(outcome) (record.Record, error) // as a record; nil where it is of no bow
	done  bool                                 // saved or thrown away
	// saving says that a question kept the form from being saved: its answer saves it.
	saving bool
}

// Kept is what a saved form says.
type Kept struct {
	outcome
	ID string // of the bow that is described
}

// ErrNotSaved is wrapped where a finished form could not be saved. What was typed is still there.
var ErrNotSaved = errors.New("not saved")

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
		open := func(q Question) bool { _, ok := f.Sheet.answers[q.Name]; return !ok }
		f.Resumed, f.saving = true, !slices.ContainsFunc(f.Sheet.Questions, open)
	}
	return &f, nil
}

// practiceOf returns the shop's practice, or common practice where its settings cannot be read; the screen of
// settings says why.
func practiceOf(s *shop.Shop) practice {
	settings, _ := s.Settings()
	return practice{Units: settings.Units, Tree: settings.Tree, Dates: s.DatesOf(settings), Now: s.Now(),
		Finished: s.Finished()}
}

func NewBowForm(s *shop.Shop) (*Form, error) {
	return bowForm(s, "Bendbook", shop.DraftKey("", "bow"), newBow(practiceOf(s)))
}

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
		keep:  func(o outcome) (string, error) { return s.NewBow(o.Bow, draft) },
		apart: func(o outcome) (record.Record, error) { return s.NewBowApart(o.Bow) }})
}

func EditForm(s *shop.Shop, atWork *shop.Bench) (*Form, error) {
	bow := atWork.Story().Bow()
	draft := shop.DraftKey(bow.ID, editForm)
	sh := editBow(atWork.Story(), practiceOf(s))
	return begin(Form{shop: s, Sheet: sh, Of: session.NameOf(bow), draft: draft,
		keep:  func(o outcome) (string, error) { return bow.ID, atWork.Redescribe(o.Bow, draft) },
		apart: func(o outcome) (record.Record, error) { return atWork.RedescribedApart(o.Bow) }})
}

func EntryForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet) (*Form, error) {
	f, err := entryForm(s, atWork, sh, shop.DraftKey(atWork.Story().Bow().ID, sh.Form))
	if err == nil && f.Resumed {
		f.Stale = atWork.Story().ScrapedSince(sh.Begun())
	}
	return f, err
}

// ShortForm adds an entry to the bow on the bench, and keeps no draft of it.
func ShortForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet) (*Form, error) {
	return entryForm(s, atWork, sh, "")
}

func entryForm(s *shop.Shop, atWork *shop.Bench, sh *Sheet, draft string) (*Form, error) {
	sh.of = atWork.Story().Bow()
	if crack, cracked := atWork.Story().Crack(); cracked {
		sh.Caution = fmt.Sprintf("Don't draw it: %s.", crack.Say(sh.of))
	}
	return begin(Form{shop: s, Sheet: sh, Of: session.NameOf(sh.of), draft: draft,
		keep:  func(o outcome) (string, error) { return "", atWork.Add(o.Event, draft) },
		apart: func(o outcome) (record.Record, error) { return atWork.Apart(o.Event) }})
}

// MarkForm asks what was stamped on the bow: Enter alone takes the mark proposed.
func MarkForm(s *shop.Shop, atWork *shop.Bench) (*Form, error) {
	mark, err := atWork.ToStamp()
	if err != nil {
		return nil, err
	}
	text := Question{Name: "text", Label: "mark", must: true, long: true, Preset: mark.Text,
		Hint: "stamp this and press Enter, or type what you stamped"}
	sh := entrySheet(Kind{Form: "mark", Title: "Mark the bow"}, &table[model.Finish]{
		was: model.Finish{Step: "marked"}, asks: []Question{text}})
	f, err := entryForm(s, atWork, sh, "")
	if err == nil {
		f.keep = func(outcome) (string, error) { return "", atWork.Stamp(mark.As(sh.answer("text"))) }
	}
	return f, err
}

// CorrectForm puts an entry right. ok is false for an entry that has no form.
func CorrectForm(s *shop.Shop, atWork *shop.Bench, line session.Line) (f *Form, ok bool, err error) {
	story, id := atWork.Story(), line.Entry.ID
	sh, ok := Correct(story.Before(id), line.Entry)
	if !ok {
		return nil, false, nil
	}
	sh.of = story.Bow()
	draft := shop.DraftKey(sh.of.ID, sh.Form)
	f, err = begin(Form{shop: s, Sheet: sh, Of: session.NameOf(sh.of), draft: draft,
		keep:  func(o outcome) (string, error) { return "", atWork.Correct(id, o.Event, draft) },
		apart: func(o outcome) (record.Record, error) { return atWork.CorrectedApart(id, o.Event) }})
	return f, true, err
}

// SettingForm changes the shop's settings, by a sheet of [Setting] or [AddStage].
func SettingForm(s *shop.Shop, sh *Sheet) (*Form, error) {
	return begin(Form{shop: s, Sheet: sh, Of: "Bendbook",
		keep: func(o outcome) (string, error) { return "", s.KeepSettings(o.Settings) }})
}

func (f *Form) Drafted() bool { return f.draft != "" }

// Saving says whether the answer to the current question saves the form, after it kept that from being saved.
func (f *Form) Saving() bool { return f.saving }

// Enter answers the current question. An accepted answer is on disk when it returns. The last answer, or one
// to a question that kept the form from being saved, saves it: kept is not nil. Before that each doubtful
// answer is asked about once. The error says what is not on disk, and wraps [ErrNotSaved] where the form is
// not saved.
func (f *Form) Enter(text string) (r Reply, kept *Kept, err error) {
	if f.saving {
		return f.SaveNow(text)
	}
	if r = f.Sheet.Answer(text); r.State != Taken {
		return r, nil, nil
	}
	if f.Sheet.Done() {
		return f.finish()
	}
	return r, nil, f.keepDraft()
}

// SaveNow answers the current question, or leaves it out where nothing is typed, and saves the form without
// the rest; see [Form.Enter].
func (f *Form) SaveNow(text string) (r Reply, kept *Kept, err error) {
	if text == "" {
		f.Sheet.leave("") // what was there is taken out
		if q, ok := f.Sheet.Current(); ok {
			f.Sheet.answers[q.Name] = ""
		}
	} else if r = f.Sheet.Answer(text); r.State != Taken {
		f.saving = true
		return r, nil, nil
	}
	return f.finish()
}

// finish saves the form. Where that fails, what was typed stays and can be saved again.
func (f *Form) finish() (Reply, *Kept, error) {
	outcome, err := f.Sheet.Finish()
	if err != nil {
		f.stay()
		// Where nothing was typed at all the key was a slip.
		if f.saving = f.Sheet.any(); f.saving {
			return stopped(err), nil, f.keepDraft()
		}
		return stopped(err), nil, nil
	}
	id, err := f.keep(outcome)
	if err != nil {
		f.stay()
		return Reply{}, nil, fmt.Errorf("%w: %w", ErrNotSaved, err)
	}
	f.done = true
	return Reply{}, &Kept{outcome, id}, nil
}

// Travels says whether [Form.Apart] can write what is typed as a record.
func (f *Form) Travels() bool { return f.apart != nil }

// Apart answers the current question, where anything is typed, and returns the bow's record as
// [Form.SaveNow] would have left it, for when the book can't be written. The form stays as it is; rec is nil
// where an answer was not accepted.
func (f *Form) Apart(text string) (r Reply, rec *record.Record, err error) {
	if text != "" {
		if r = f.Sheet.Answer(text); r.State != Taken {
			return r, nil, nil
		}
	}
	defer f.stay()
	outcome, err := f.Sheet.Finish()
	if err != nil {
		return stopped(err), nil, nil
	}
	made, err := f.apart(outcome)
	if err != nil {
		return Reply{}, nil, err
	}
	return Reply{}, &made, nil
}

// stay moves back from behind the last question.
func (f *Form) stay() { f.Sheet.goTo(min(f.Sheet.At(), len(f.Sheet.Questions)-1)) }

// Step keeps what is typed, unjudged, and moves so many questions on, or back.
func (f *Form) Step(by int, text string) {
	f.saving = false
	f.Sheet.leave(text)
	f.Sheet.goTo(f.Sheet.At() + by)
	f.stay()
}

// Jump keeps what is typed, unjudged, and moves to the next group, such as the other limb, or back to the
// start of this group or the one before.
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

// Leave saves a draft with what is typed at the current question, unless nothing was typed at all.
func (f *Form) Leave(text string) error {
	if f.done {
		return nil
	}
	f.Sheet.leave(text)
	if !f.Sheet.any() && !f.Resumed {
		return nil
	}
	return f.saveDraft()
}

func (f *Form) saveDraft() error {
	if f.draft == "" {
		return nil
	}
	return f.shop.SaveDraft(f.draft, f.Sheet.draft(f.shop.Now()))
}

func (f *Form) keepDraft() error {
	if err := f.saveDraft(); err != nil {
		return fmt.Errorf("the draft isn't on disk: %w", err)
	}
	return nil
}

// Drop throws away what was typed, and what is typed at the current question. Where a draft is kept, undo
// brings it back.
func (f *Form) Drop(text string) error {
	if f.draft != "" {
		if err := f.Leave(text); err != nil {
			return err
		}
		says := fmt.Sprintf("half-typed %s thrown away", FormName(f.Sheet.Form))
		bow := strings.TrimSuffix(f.draft, "/"+f.Sheet.Form)
		if err := f.shop.ThrowAway(bow, f.draft, says); err != nil {
			return err
		}
	}
	f.done = true
	return nil
}

// Typed says whether anything is typed that is not in the book.
func (f *Form) Typed(text string) bool {
	f.Sheet.leave(text)
	return f.Resumed || f.Sheet.any()
}

// Abandon ends a form in which nothing is typed, or that keeps no draft; ok is false for any other.
func (f *Form) Abandon(text string) (ok bool, err error) {
	f.Sheet.leave(text)
	switch {
	case f.draft != "" && f.Sheet.any():
		return false, nil
	case f.Resumed:
		return true, f.Drop(text)
	}
	f.done = true
	return true, nil
}

// Hold fills in how long the bow stood drawn, and saves that in the draft.
func (f *Form) Hold(held time.Duration) error {
	f.Sheet.fillHeld(measure.PrintSeconds(held))
	return f.saveDraft()
}

// Photograph fills in what a picture shows, and moves to the first open question, or to the last.
func (f *Form) Photograph(r photo.Reading) (says string, err error) {
	if says, err = f.Sheet.Photograph(r); err != nil {
		return "", err
	}
	s := f.Sheet
	s.goTo(len(s.Questions) - 1)
	for i, q := range s.Questions {
		if s.answers[q.Name] == "" && (s.mustAnswer(q) || q.Name == "peak") {
			s.goTo(i)
			break
		}
	}
	return says, f.keepDraft()
}

// Fill confirms values in the current field and those after it, one in each, up to one that isn't taken;
// filled counts them. The error also says why none was: too few empty fields follow.
func (f *Form) Fill(values []string) (filled int, r Reply, kept *Kept, err error) {
	f.saving = false
	s := f.Sheet
	s.inOrder() // as a list is written
	room := 0
	for _, q := range s.Questions[min(s.At(), len(s.Questions)):] {
		if q.Name == heldName {
			continue
		}
		if q.Unit == "" || strings.TrimSpace(s.answers[q.Name]) != "" {
			break
		}
		room++
	}
	if n := len(values); n > room {
		err := fmt.Errorf("%d values were pasted, and there is room for %d: nothing was filled in", n, room)
		return 0, r, nil, err
	}
	for filled < len(values) && r.State == Taken && kept == nil && err == nil {
		q, _ := s.Current()
		if r, kept, err = f.Enter(values[filled]); s.answers[q.Name] != "" {
			filled++
		}
	}
	return filled, r, kept, err
}
