package line

import (
	"time"

	"bendbook/model"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/sheet"
)

// The hold clock line by line: it runs from the word drawn to the word down, or to the first draw that is typed. It writes nothing; the time stays
// with the pull.

// beginHold starts the clock, anew where it runs.
func (b *bench) beginHold() error {
	settings, err := b.desk.Shop.Settings()
	if err != nil {
		return err
	}
	b.drawn, b.limit = b.desk.Shop.Now(), settings.Hold
	b.sayf("Drawn: the clock runs. Say down when the bow is let down, after %s at the longest. Do not hold it at full draw.", session.SayHeld(b.limit))
	return nil
}

// mayEndHold says why no clock can be stopped; "" where one runs.
func (b *bench) mayEndHold() string {
	if b.drawn.IsZero() {
		return say.It("no clock runs; drawn starts it")
	}
	return b.mayWrite()
}

// sayHold says how long the bow has stood drawn, where the clock runs.
func (b *bench) sayHold() {
	if b.drawn.IsZero() {
		return
	}
	held := max(0, b.desk.Shop.Now().Sub(b.drawn))
	text := say.F("Drawn for %s.", session.SayHeld(held))
	if held >= b.limit {
		text += " " + say.It("Let it down.")
	}
	b.say(text)
}

// endHold stops the clock, where it runs, and fills the time in.
func (b *bench) endHold(form *sheet.Form) {
	if b.drawn.IsZero() || !form.Sheet.AsksHeld() {
		return
	}
	held := max(b.desk.Shop.Now().Sub(b.drawn).Round(100*time.Millisecond), 100*time.Millisecond)
	b.drawn = time.Time{}
	if err := hold(form, held); err != nil {
		b.refused(b.heard, say.Errorf("the time held, %s, is not filled in: %w", session.SayHeld(held), err))
		return
	}
	text := say.F("Held %s; it is kept with the pull.", session.SayHeld(held))
	if held > b.limit {
		text += " " + say.F("Longer than %s: do not hold a bow at full draw.", session.SayHeld(b.limit))
	}
	b.say(text)
}

// hold fills in how long the bow stood drawn.
func hold(form *sheet.Form, held time.Duration) error {
	if err := model.CheckHeld(held); err != nil {
		return err
	}
	return form.Hold(held)
}
