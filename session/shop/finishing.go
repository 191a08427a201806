package shop

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Finishing says how far the bow on the bench is.
func (b *Bench) Finishing() (verdict.Finishing, error) { return b.shop.Finishing(b.Story()) }

// Finishing says how far a bow is.
func (s *Shop) Finishing(story session.Story) (verdict.Finishing, error) {
	settings, err := s.Settings()
	if err != nil {
		return verdict.Finishing{}, err
	}
	takes, err := s.Allowances(story.Bow().Wood)
	if err != nil {
		return verdict.Finishing{}, err
	}
	return verdict.FinishingOf(story, settings, takes, s.Here(), s.DatesOf(settings)), nil
}

// Doubt says why it looks wrong to log a stage now, by the shop's list and by the readings; "" for nothing.
func (b *Bench) Doubt(f verdict.Finishing, stage int) string {
	if doubt := f.Doubt(f.Progress.Stages[stage]); doubt != "" || !f.AsksReadings(stage) {
		return doubt
	}
	a, err := b.shop.PracticeFor(b.Story().Bow()).Of(b.Story())
	if err != nil {
		return "" // a bow that can't be worked out is finished by the maker's own judgement
	}
	return a.StageDoubt(f, stage)
}

// Mark is the text of a stamp, the stage that it belongs to, and the number that the bow gets with it; ""
// where it has one.
type Mark struct{ Text, Number, step string }

// ToStamp proposes a mark.
func (b *Bench) ToStamp() (Mark, error) {
	f, err := b.Finishing()
	if err != nil {
		return Mark{}, err
	}
	if why := f.MayStamp(); why != "" {
		return Mark{}, fmt.Errorf("not marked: %s", why)
	}
	m, bow := Mark{step: "marked"}, f.Bow // where the shop's list has no such stage
	if strings.TrimSpace(bow.Number) == "" {
		if m.Number, err = b.shop.nextNumber(f.Settings); err != nil {
			return Mark{}, err
		}
		bow.Number = m.Number
	}
	for _, stage := range f.Settings.Stages {
		if stage.Seen == finish.SignMarked {
			m.step = stage.Name
		}
	}
	mark, _ := f.MarkOf(bow)
	m.Text = mark.Text
	return m, nil
}

// As is the mark as it was truly stamped. A number that was proposed but isn't in the text is not given.
func (m Mark) As(text string) Mark {
	if strings.Contains(m.Text, m.Number) && !strings.Contains(text, m.Number) {
		m.Number = ""
	}
	m.Text = text
	return m
}

// Stamp logs a mark and gives the bow its number: both or neither.
func (b *Bench) Stamp(m Mark) error {
	var events []model.Event
	if m.Number != "" {
		bow := b.story.Bow()
		bow.Number = m.Number
		edit, _, err := b.story.Desc.EditTo(bow)
		if err != nil {
			return err
		}
		events = append(events, edit)
	}
	return b.add("", append(events, model.Finish{Step: m.step, Text: m.Text})...)
}

// Another is a new bow like another: the order, at the weight that the other was marked with, size, stations
// and tools, and the other's shape as the aim, without what is the other's alone.
func (s *Shop) Another(story session.Story) (model.Bow, error) {
	f, err := s.Finishing(story)
	if err != nil {
		return model.Bow{}, err
	}
	bow := story.Bow()
	bow.Name = fmt.Sprintf("Another like %s", session.NameOf(bow))
	bow.Rig, bow.Cradle = f.Settings.Tree.Rig(), f.Settings.Tree.Rocking()
	bow.ID, bow.Number, bow.Order.For, bow.Order.Due, bow.Order.Notes = "", "", "", "", ""
	if mark, known := f.Mark.Get(); known && !mark.Foretold() {
		bow.Order.Weight = measure.Some(mark.Weight)
	}
	if story.LongestDraw() > 0 {
		bow.Aim.Bend = aim.Like(story.Bow().ID)
	}
	for _, side := range model.Sides {
		bow.Limbs[side].Widths, bow.Limbs[side].Depths = nil, nil
	}
	return bow, nil
}
