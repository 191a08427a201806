package form

import (
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/shop"
)

// practiceOf is the shop's practice. Where its settings cannot be read common practice holds; who asks for
// them is told.
func practiceOf(s *shop.Shop) Practice {
	settings, _ := s.Settings()
	return Practice{Units: settings.Units, Dates: s.DatesOf(settings), Now: s.Now(), Finished: s.Finished()}
}

// NewBowForm asks for a new bow.
func NewBowForm(s *shop.Shop) (*Form, error) {
	return bowForm(s, "Bendbook", shop.DraftKey("", "bow"), NewBow(practiceOf(s)))
}

// LikeForm asks for a new bow, filled in with what another was.
func LikeForm(s *shop.Shop, story session.Story) (*Form, error) {
	pattern, err := s.Another(story)
	if err != nil {
		return nil, err
	}
	name := session.NameOf(story.Bow())
	return bowForm(s, name, shop.DraftKey(story.Bow().ID, likeForm), Like(pattern, name, practiceOf(s)))
}

func bowForm(s *shop.Shop, of, draft string, sh *Sheet) (*Form, error) {
	return newForm(s, of, draft, sh, func(o Outcome) (Kept, error) {
		id, err := s.NewBow(o.Bow, draft)
		return Kept{o, id}, err
	}, func(o Outcome) (record.Record, error) { return s.NewBowApart(o.Bow) })
}

// EditForm changes a bow's description.
func EditForm(s *shop.Shop, atWork *shop.Bench) (*Form, error) {
	bow := atWork.Story().Bow()
	draft := shop.DraftKey(bow.ID, editForm)
	return newForm(s, session.NameOf(bow), draft, EditBow(atWork.Story(), practiceOf(s)),
		func(o Outcome) (Kept, error) {
			return Kept{o, bow.ID}, atWork.Redescribe(o.Bow, draft)
		}, func(o Outcome) (record.Record, error) { return atWork.RedescribedApart(o.Bow) })
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
	return newForm(s, session.NameOf(sh.of), draft, sh, func(o Outcome) (Kept, error) {
		return Kept{Outcome: o}, atWork.Add(o.Event, draft)
	}, func(o Outcome) (record.Record, error) { return atWork.Apart(o.Event) })
}

// CorrectForm puts an entry right. ok is false for an entry that has no form.
func CorrectForm(s *shop.Shop, atWork *shop.Bench, line session.Line) (f *Form, ok bool, err error) {
	story := atWork.Story()
	sh, ok := Correct(story.Without(line.Entry.ID), line.Entry)
	if !ok {
		return nil, false, nil
	}
	sh.of = story.Bow()
	draft := shop.DraftKey(sh.of.ID, sh.Form)
	f, err = newForm(s, session.NameOf(story.Bow()), draft, sh, func(o Outcome) (Kept, error) {
		return Kept{Outcome: o}, atWork.Correct(line.Entry.ID, o.Event, draft)
	}, func(o Outcome) (record.Record, error) { return atWork.CorrectedApart(line.Entry.ID, o.Event) })
	return f, true, err
}

// SettingForm changes the shop's settings, by a sheet of [Settings] or [List.Insert].
func SettingForm(s *shop.Shop, sh *Sheet) (*Form, error) {
	return newForm(s, "Bendbook", "", sh, func(o Outcome) (Kept, error) {
		return Kept{Outcome: o}, s.KeepSettings(o.Settings)
	}, nil)
}
