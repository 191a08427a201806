package ui

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/session"
	"bendbook/session/sheet"
	"bendbook/session/shop"
)

// logStage logs a stage of a bow's finishing as done now. What is weighed is asked for, what is marked is
// stamped.
func (d *Desk) logStage(atWork *shop.Bench, at int) move {
	f, err := atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	event := model.Event(f.StepOf(at))
	switch stage := f.Progress.Stages[at]; stage.Seen {
	case finish.SignWeighed, finish.SignReweigh:
		return d.enter(atWork, sheet.Weigh(atWork.Story()))
	case finish.SignMarked:
		return d.stamp(atWork, f)
	case finish.SignBack:
		event = model.Rack{InHand: true, Why: stage.Name}
	}
	if err := atWork.Add(event, ""); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if step, isStep := event.(model.Finish); isStep && step.Step == model.HandedOver {
		return said("Handed over. h is the card that goes with it.")
	}
	return said("Saved %s: %s.", f.Now.Format("15:04"), session.Say(f.Bow, event))
}

// stamp gives a bow its number, and logs its mark.
func (d *Desk) stamp(atWork *shop.Bench, f shop.Finishing) move {
	if why := f.MayStamp(); why != "" {
		return warned("Not marked: %s.", why)
	}
	text, err := atWork.Stamp()
	if err != nil {
		return failed(err)
	}
	return said("Stamp: %s", text)
}
