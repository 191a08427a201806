package verdict

import (
	"slices"
	"time"

	"bendbook/model"
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
	Dates    date.Order                    // of the days shown
	Cracked  string                        // what wasn't mended; "" for nothing

	warm      string            // what the last weighing would be in a warm shop; "" for about the same
	atTree    bool              // it has not left the tree
	weighings finish.Weighings  // of the bow's present life
	takes     finish.Allowances // what finishing and first use are going to take
}

// FinishingOf says how far a bow is by a shop's settings, what its wood loses in finishing, and the time.
func FinishingOf(
	story session.Story, settings finish.Settings, takes finish.Allowances, now time.Time, dates date.Order,
) Finishing {
	f := FinishingBy(story.Bow(), story.Facts(), settings, takes, now, dates)
	f.Stamped, f.warm = story.Stamped(), sayWarmth(story, now.Location())
	f.atTree = !story.InFinishing() && !story.HandedOver() || f.Progress.AtTheTree()
	if crack, cracked := story.Crack(); cracked {
		f.Cracked = crack.Say(f.Bow)
	}
	return f
}

// FinishingBy tells that by what was logged and weighed: what a row of the rack knows of a bow.
func FinishingBy(
	bow model.Bow, facts []finish.Fact, settings finish.Settings, takes finish.Allowances, now time.Time,
	dates date.Order,
) Finishing {
	log := LogOf(facts, now.Location())
	f := Finishing{Bow: bow, Settings: settings, Now: now, Dates: dates, takes: takes}
	f.Progress = settings.Progress(log, takes.Wanted(bow.Order), now)
	_, f.weighings = settings.Weighings(log)
	if mark, ok := f.MarkOf(bow); ok {
		f.Mark = measure.Some(mark)
	}
	return f
}

// Of is how far another story of the shop is, by the same settings and at the same time.
func (f Finishing) Of(story session.Story) Finishing {
	return FinishingOf(story, f.Settings, f.takes, f.Now, f.Dates)
}

// MarkOf is what would be stamped on the bow as described here.
func (f Finishing) MarkOf(bow model.Bow) (finish.Mark, bool) {
	return f.Settings.MarkOf(bow, f.weighings, f.takes)
}

// Misses says by how many days the bow cannot be ready on the day that it was promised for; 0 where it can.
func (f Finishing) Misses() int {
	due, promised := f.Bow.Order.Due.Time()
	if f.Progress.Away || f.Progress.Handover.IsZero() || !promised {
		return 0
	}
	return max(0, -DaysTo(due, f.Progress.Handover.In(f.Now.Location())))
}

// StepOf is the step that logs a stage of the shop's list now: its next coat or grit, where it has such.
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

// MayStamp says why a bow cannot be marked now; "" where it can.
func (f Finishing) MayStamp() string {
	mark, known := f.Mark.Get()
	switch {
	case !f.Bow.Order.Draw.Known():
		return "no draw was ordered: describe the order first"
	case !f.Bow.DrawToBelly().Known():
		return "the draw was ordered to the back: type how deep the handle is first"
	case !known:
		return "weigh it first, at the ordered draw"
	case mark.Foretold():
		return "wood came off in finishing: weigh it again first"
	case f.Progress.Away:
		return "it was handed over"
	}
	return ""
}

// FirstWeighings are those of the bow's first life: what it lost in finishing and in first use.
func FirstWeighings(story session.Story, settings finish.Settings) finish.Weighings {
	first, _ := settings.Weighings(LogOf(story.Facts(), time.UTC))
	return first
}

// LogOf are facts as package finish takes them, with days counted in the given place.
func LogOf(facts []finish.Fact, place *time.Location) finish.Log {
	log := slices.Clone(finish.Log(facts))
	for i, f := range log {
		if f.On != "" {
			log[i].At = model.Finish{On: f.On}.Time(f.At.In(place))
		}
	}
	return log
}
