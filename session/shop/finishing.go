package shop

import (
	"fmt"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
)

// Finishing is how far a bow is on its way to the customer, by the shop's own practice.
type Finishing struct {
	Bow      model.Bow
	Settings finish.Settings
	Progress finish.Progress
	Mark     measure.Optional[finish.Mark] // what to stamp; unread where nothing tells
	Stamped  string                        // what was stamped last; "" where nothing was
	Now      time.Time                     // where the shop is
	Dates    date.Order                    // in which days are told

	weighings finish.Weighings  // of the bow's present life
	takes     finish.Allowances // what finishing and first use are going to take
}

// Finishing tells how far the bow on the bench is.
func (b *Bench) Finishing() (Finishing, error) { return b.shop.Finishing(b.Story()) }

// Finishing tells how far a bow is.
func (s *Shop) Finishing(story session.Story) (Finishing, error) {
	settings, err := s.Settings()
	if err != nil {
		return Finishing{}, err
	}
	takes, err := s.Allowances(story.Bow().Wood)
	if err != nil {
		return Finishing{}, err
	}
	log := logOf(story.Facts(), s.options.Place)
	f := Finishing{Bow: story.Bow(), Settings: settings, takes: takes, Now: s.Here(), Stamped: story.Stamped()}
	f.Dates = s.DatesOf(settings)
	f.Progress = settings.Progress(log, allowedOn(f.Bow, takes), f.Now)
	_, f.weighings = settings.Weighings(log)
	if mark, ok := settings.MarkOf(f.Bow, f.weighings, takes); ok {
		f.Mark = measure.Some(mark)
	}
	return f, nil
}

// Misses is by how many days the bow will be late for the day that it was promised for; 0 where it won't be.
func (f Finishing) Misses() int {
	row := Row{Bow: f.Bow, Handover: f.Progress.Handover, HandedOver: f.Progress.Away}
	return row.Misses(f.Now.Location())
}

// StepOf is the step that logs a stage of the shop's list now, with its next coat or grit if it has any.
func (f Finishing) StepOf(stage int) model.Finish {
	standing := f.Progress.Stages[stage]
	step := model.Finish{Step: standing.Step()}
	switch coat, grit := standing.Next(); {
	case coat > 0:
		step.Coat = measure.Some(coat)
	case grit > 0:
		step.Grit = measure.Some(grit)
	}
	return step
}

// MayStamp says why the bow can't be marked now; "" where it can.
func (f Finishing) MayStamp() string {
	mark, known := f.Mark.Get()
	switch {
	case !f.Bow.Order.Draw.Known():
		return "no draw was ordered: describe the order first"
	case !f.Bow.DrawToBelly().Known():
		return "the draw is ordered to the back, and the depth of the handle is not known: describe it first"
	case !known:
		return "it was not weighed at the ordered draw: weigh it first"
	case mark.Foretold():
		return "it was not weighed since wood came off in finishing: weigh it first"
	case f.Progress.Away:
		return "it was handed over"
	}
	return ""
}

// Stamp gives the bow a number, if it has none, and logs the text to stamp: both or neither. It returns that.
func (b *Bench) Stamp() (string, error) {
	f, err := b.Finishing()
	if err != nil {
		return "", err
	}
	if why := f.MayStamp(); why != "" {
		return "", fmt.Errorf("not marked: %s", why)
	}
	var events []model.Event
	bow := f.Bow
	if strings.TrimSpace(bow.Number) == "" {
		if bow.Number, err = b.shop.nextNumber(f.Settings); err != nil {
			return "", err
		}
		edit, _, err := b.story.Desc.EditTo(bow)
		if err != nil {
			return "", err
		}
		events = append(events, edit)
	}
	mark, _ := f.Settings.MarkOf(bow, f.weighings, f.takes)
	step := "marked" // where the shop's list has no such stage
	for _, stage := range f.Settings.Stages {
		if stage.Seen == finish.SignMarked {
			step = stage.Name
		}
	}
	events = append(events, model.Finish{Step: step, Text: mark.Text})
	return mark.Text, b.add("", events...)
}

// FirstWeighings are those of the bow's first life: what it lost in finishing and in first use.
func FirstWeighings(story session.Story, settings finish.Settings) finish.Weighings {
	first, _ := settings.Weighings(logOf(story.Facts(), time.UTC))
	return first
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
