package ui

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report"
	"bendbook/session/shop"
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

// another describes a new bow like one that may be copied.
func (d *Desk) another(like session.Story) move {
	if err := d.Shop.MayCopy(like); err != nil {
		return move{say: notice{warning, err.Error()}}
	}
	return d.newBow(form.LikeForm(d.Shop, like))
}

func (d *Desk) describe(atWork *shop.Bench) move {
	filling, err := form.EditForm(d.Shop, atWork)
	return d.form(filling, err, func(kept form.Kept) move {
		return move{back: true, say: d.orderNotice(kept.Bow, "Saved.")}
	})
}

func (d *Desk) enter(atWork *shop.Bench, fields *form.Sheet) move {
	bow := atWork.Story().Bow()
	filling, err := form.EntryForm(d.Shop, atWork, fields)
	return d.form(filling, err, func(kept form.Kept) move {
		return done("Saved %s: %s.", d.Shop.Now().In(d.Place).Format("15:04"), session.Say(bow, kept.Event))
	})
}

func (d *Desk) correct(atWork *shop.Bench, line session.Line) move {
	bow := atWork.Story().Bow()
	filling, ok, err := form.CorrectForm(d.Shop, atWork, line)
	if !ok {
		return move{}
	}
	return d.form(filling, err, func(made form.Kept) move {
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
	next := w.desk.enter(w.atWork, fields)
	if next.opens() {
		next.open.ask.waiting = func() bool { return !w.fresh() }
	}
	return next
}

// logStage logs a stage of a bow's finishing as done now: it asks for what is weighed, and stamps a mark.
func (d *Desk) logStage(atWork *shop.Bench, at int) move {
	f, err := atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	event := model.Event(f.StepOf(at))
	switch stage := f.Progress.Stages[at]; stage.Seen {
	case finish.SignWeighed, finish.SignReweigh:
		return d.enter(atWork, form.Weigh(atWork.Story()))
	case finish.SignShot:
		return d.enter(atWork, form.ShotIn(atWork.Story()))
	case finish.SignMarked:
		return d.stamp(atWork)
	case finish.SignBack:
		return d.enter(atWork, form.Back(atWork.Story()))
	}
	if err := atWork.Add(event, ""); err != nil {
		return failed(fmt.Errorf("not saved: %w", err))
	}
	if step, isStep := event.(model.Finish); isStep && step.Step == model.HandedOver {
		return said("Handed over. h is the card that goes with it.")
	}
	return said("Saved %s: %s.", f.Now.Format("15:04"), session.Say(f.Bow, event))
}

// stamp asks what was stamped on the bow.
func (d *Desk) stamp(atWork *shop.Bench) move {
	filling, err := form.MarkForm(d.Shop, atWork)
	return d.form(filling, err, func(kept form.Kept) move {
		return done("Marked: %s.", plain.Line(kept.Event.(model.Finish).Text))
	})
}
