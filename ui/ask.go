package ui

import (
	"fmt"
	"reflect"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report"
)

// form is the move to a form, or what kept it from opening; after says where to go once it is kept.
func (d *Desk) form(filling *form.Form, err error, after func(form.Kept) move) move {
	if err != nil {
		return failed(err)
	}
	return move{open: route{page: toForm, ask: &question{filling: filling, after: after}}}
}

func (d *Desk) newBow(filling *form.Form, err error) move {
	return d.form(filling, err, func(kept form.Kept) move {
		next := goToBow(toBench, kept.ID)
		next.swap, next.say = true, d.orderNotice(kept.Bow, "Saved. Enter or a digit begins the first pull.")
		return next
	})
}

// another describes a new bow like this one, if it may be copied.
func (w *work) another() move {
	if err := w.desk.Shop.MayCopy(w.story()); err != nil {
		return warned("%v", err)
	}
	return w.desk.newBow(form.LikeForm(w.desk.Shop, w.story()))
}

func (w *work) describe() move {
	filling, err := form.EditForm(w.desk.Shop, w.atWork)
	return w.desk.form(filling, err, func(kept form.Kept) move {
		return move{back: true, say: w.desk.orderNotice(kept.Bow, "Saved.")}
	})
}

func (w *work) enter(fields *form.Sheet) move {
	d, bow := w.desk, w.bow()
	filling, err := form.EntryForm(d.Shop, w.atWork, fields)
	return d.form(filling, err, func(kept form.Kept) move {
		return done("Saved %s: %s.", d.Shop.Now().In(d.Place).Format("15:04"), session.Say(bow, kept.Event))
	})
}

func (w *work) correct(line session.Line) move {
	bow := w.bow()
	filling, ok, err := form.CorrectForm(w.desk.Shop, w.atWork, line)
	if !ok {
		return move{}
	}
	return w.desk.form(filling, err, func(made form.Kept) move {
		if reflect.DeepEqual(made.Event, line.Entry.What) {
			return done("Nothing was changed.")
		}
		return done("Corrected: %s.", session.Say(bow, made.Event))
	})
}

// orderNotice says that a description is saved, and what one should think of with its order.
func (d *Desk) orderNotice(bow model.Bow, saved string) notice {
	found, err := report.Warnings(d.Shop, bow)
	if err != nil {
		return notice{failing, fmt.Sprintf("Saved; but %s", err.Error())}
	}
	if len(found) == 0 {
		return notice{saying, saved}
	}
	text := "Saved. To think of: " + found[0]
	if more := len(found) - 1; more > 0 {
		text += fmt.Sprintf(" And %d more: a on the bench.", more)
	}
	return notice{warning, text}
}

// entry is the form that adds an entry, with what the readings foretell, once that is worked out, and the
// stations first that the verdict asks for.
func (w *work) entry(fields *form.Sheet) move {
	fields.Expect = func(where estimate.Where, on session.String, brace float64) (estimate.Figure, bool) {
		if w.err == nil && w.fresh() {
			return w.advice.Expect(where, on, brace)
		}
		return estimate.Figure{}, false
	}
	if w.err == nil && w.fresh() {
		fields.First(w.advice.Stations(w.verdict))
	}
	next := w.enter(fields)
	if next.opens() {
		next.open.ask.waiting = func() bool { return !w.fresh() }
	}
	return next
}

// logStage logs a stage of a bow's finishing as done now: it asks for what is weighed, and stamps a mark.
func (w *work) logStage(at int) move {
	f, err := w.atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	event := model.Event(f.StepOf(at))
	switch stage := f.Progress.Stages[at]; stage.Seen {
	case finish.SignWeighed, finish.SignReweigh:
		return w.enter(form.Weigh(w.story()))
	case finish.SignShot:
		return w.enter(form.ShotIn(w.story()))
	case finish.SignMarked:
		return w.stamp()
	case finish.SignBack:
		return w.enter(form.Back(w.story()))
	}
	if err := w.atWork.Add(event, ""); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if step, isStep := event.(model.Finish); isStep && step.Step == model.HandedOver {
		return said("Handed over. h is the card that goes with it.")
	}
	return said("Saved %s: %s.", f.Now.Format("15:04"), session.Say(f.Bow, event))
}

func (w *work) stamp() move {
	filling, err := form.MarkForm(w.desk.Shop, w.atWork)
	return w.desk.form(filling, err, func(kept form.Kept) move {
		return done("Marked: %s.", plain.Line(kept.Event.(model.Finish).Text))
	})
}
