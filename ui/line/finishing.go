package line

import (
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/card"
	"bendbook/session/checks"
	"bendbook/session/filename"
	"bendbook/session/paper"
	"bendbook/session/sheet"
)

// finishing is a bow on its way to the customer.
type finishing struct {
	*talk
	atWork *session.Bench
	f      session.Finishing
}

func newFinishing(t *talk, atWork *session.Bench) *finishing {
	return &finishing{talk: t, atWork: atWork}
}

func (d *finishing) name() string {
	return say.F("%s, finishing", session.NameOf(d.atWork.Story().Bow()))
}

// look sees anew how far the bow is.
func (d *finishing) look() (err error) {
	d.f, err = d.atWork.Finishing()
	return err
}

func (d *finishing) arrive() error {
	if err := d.look(); err != nil {
		return err
	}
	parts := []string{say.F("%s, finishing", session.NameOf(d.f.Bow))}
	if number := session.SayNumber(d.f.Bow); number != "" {
		parts = append(parts, number)
	}
	switch days := d.f.Misses(); {
	case d.f.Progress.Away:
		parts = append(parts, say.It("handed over"))
	case days > 0:
		parts = append(parts, say.F("CANNOT BE READY: %s late", say.N(days, "%d day", "%d days", days)))
	case d.f.Bow.Order.Due != "":
		parts = append(parts, say.F("due %s", string(d.f.Bow.Order.Due)))
	}
	d.say(strings.Join(parts, "; ") + ".")
	d.state()
	return nil
}

// state says what comes next, what dries, and what is stamped.
func (d *finishing) state() {
	if next := d.f.Progress.Waits(); next != "" {
		d.say(say.F("Next: %s.", next))
		if caution := sheet.StageCaution(d.f.Progress.Stages[d.f.Progress.At]); caution != "" {
			d.say(caution)
		}
	}
	for _, text := range d.f.SayWhen() {
		d.say(session.Capital(text) + ".")
	}
	stamp, from := d.f.SayMark()
	if from != "" {
		stamp += "; " + from
	}
	d.say(session.Capital(spoken(stamp)) + ".")
}

func (d *finishing) commands() []command {
	write := d.mayWrite
	return []command{
		{letter: "l", word: "list", long: "Read the stages with what is done and on which day.", do: func(string) error { return d.list() }},
		{letter: "x", word: "done", takes: "[STAGE]", off: write, long: "Log a stage as done now, by its number or name, the next one where none is named: its next coat or grit. What is weighed is asked for, what is marked is stamped.", do: func(rest string) error {
			at, err := d.stage(rest)
			if err != nil {
				return err
			}
			return d.log(at)
		}},
		{letter: "d", word: say.It("on a day"), takes: "[STAGE]", off: write, long: "Log a stage as done on an earlier day.", do: d.onDay},
		{letter: "w", word: "weigh", off: write, long: "Weigh the bow at the ordered draw.", do: func(string) error { return d.form(sheet.EntryForm, sheet.Weigh(d.atWork.Story())) }},
		{letter: "m", word: "mark", off: write, long: "Mark the bow: give it a number, if it has none, and log what is stamped.", do: func(string) error { return d.stamp() }},
		{letter: "o", word: "order", long: "Check the order: draw in each way of measuring, string, longbow rule, strain, moisture.", do: func(string) error {
			says, err := newBench(d.talk, d.atWork).says()
			if err != nil {
				says.Read = false
			}
			parts, err := checks.Of(d.desk.Shop, d.atWork.Story(), says)
			if err == nil {
				d.sayParts(parts)
			}
			return err
		}},
		{letter: "h", word: "card", long: "Read the card that goes with the bow.", do: func(string) error {
			if err := d.look(); err != nil {
				return err
			}
			d.sayDocument(card.Of(d.atWork.Story(), d.f))
			return nil
		}},
		{letter: "W", word: "write", takes: "[FORM]", long: "Write the card to a file in the folder where Bendbook was started. FORM is text, markdown or html.", do: d.write},
		{letter: "a", word: "air", off: write, long: "Enter how damp the wood is, by a meter, or the air of the shop or of where the bow goes.", do: func(string) error {
			return d.form(sheet.EntryForm, sheet.Moisture(d.atWork.Story()))
		}},
		{letter: "u", word: "undo", off: write, long: "Undo the last entry. It stays in the story, struck out.", do: func(string) error { return newBench(d.talk, d.atWork).undo() }},
		back("Go back to where one came from."),
	}
}

func (d *finishing) other(string) (bool, error) { return false, nil }

func (d *finishing) list() error {
	if err := d.look(); err != nil {
		return err
	}
	for i, stage := range d.f.Progress.Stages {
		text := fmt.Sprintf("%d: %s", i+1, stage.Name)
		if state := session.SayState(d.f.Progress, i); state == "-" {
			text += ", " + say.It("passed over")
		} else if state != "" {
			text += ", " + strings.ToLower(state)
		}
		if done := d.f.SayDone(stage); done != "" {
			text += ", " + done
		}
		d.say(text + ".")
	}
	d.say(session.Capital(spoken(d.f.SayTakes())) + ".")
	return nil
}

// stage is the stage that is meant: by its number in the list or the start of its name, the next one for "".
func (d *finishing) stage(asked string) (int, error) {
	if err := d.look(); err != nil {
		return 0, err
	}
	stages := d.f.Progress.Stages
	if asked == "" {
		if d.f.Progress.At < 0 {
			return 0, refuse(say.It("the bow waits for no stage; name one"))
		}
		return d.f.Progress.At, nil
	}
	if n, err := strconv.Atoi(asked); err == nil && n >= 1 && n <= len(stages) {
		return n - 1, nil
	}
	found := -1
	for i, stage := range stages {
		if name := strings.ToLower(stage.Name); name == strings.ToLower(asked) {
			return i, nil
		} else if strings.HasPrefix(name, strings.ToLower(asked)) {
			if found >= 0 {
				return 0, refuse(say.F("%q could be %s or %s", asked, stages[found].Name, stage.Name))
			}
			found = i
		}
	}
	if found < 0 {
		return 0, refuse(say.F("%q is no stage; l lists them", asked))
	}
	return found, nil
}

// log logs a stage now. What speaks against it is told once.
func (d *finishing) log(at int) error {
	stage := d.f.Progress.Stages[at]
	if doubt := d.f.Doubt(stage); doubt != "" && !d.sure(d.heard, doubt) {
		return nil
	}
	switch {
	case stage.Seen == finish.SignWeighed || stage.Seen == finish.SignReweigh:
		return d.form(sheet.EntryForm, sheet.Weigh(d.atWork.Story()))
	case stage.Seen == finish.SignMarked:
		return d.stamp()
	case stage.Seen == finish.SignBack:
		return d.add(model.Rack{InHand: true, Why: stage.Name})
	}
	return d.add(d.f.StepOf(at))
}

func (d *finishing) add(event model.Event) error {
	if err := d.atWork.Add(event, ""); err != nil {
		return err
	}
	d.sayf("Saved %s: %s.", d.f.Now.Format("15:04"), session.Say(d.f.Bow, event))
	if err := d.look(); err != nil {
		return err
	}
	d.state()
	return nil
}

func (d *finishing) stamp() error {
	if err := d.look(); err != nil {
		return err
	}
	if why := d.f.MayStamp(); why != "" {
		return refuse(say.F("not marked: %s", why))
	}
	text, err := d.atWork.Stamp()
	if err == nil {
		d.say(say.F("Stamp: %s", text))
	}
	return err
}

// form asks for a sheet whose entry is added to the bow.
func (d *finishing) form(of func(*session.Shop, *session.Bench, *sheet.Sheet) (*sheet.Form, error), sh *sheet.Sheet) error {
	form, err := of(d.desk.Shop, d.atWork, sh)
	if err != nil {
		return err
	}
	kept, err := d.fill(form, "")
	if err != nil || kept == nil {
		return err
	}
	d.saved(d.atWork, kept)
	if err := d.look(); err != nil {
		return err
	}
	d.state()
	return nil
}

func (d *finishing) onDay(asked string) error {
	at, err := d.stage(asked)
	if err != nil {
		return err
	}
	step := d.f.StepOf(at)
	return d.form(sheet.ShortForm, sheet.OnDay(step, say.F("Done: %s", session.Say(d.f.Bow, step)), d.f.Now, d.f.Dates))
}

// write writes the card to a file.
func (d *finishing) write(asked string) error {
	if err := d.look(); err != nil {
		return err
	}
	form := paper.Cards()[0]
	if asked != "" {
		var ok bool
		if form, ok = paper.FindCard(strings.ToLower(asked)); !ok {
			return refuse(say.F("%q is no form of a card; expected %s", asked, paper.CardNames()))
		}
	}
	var text strings.Builder
	if err := form.Write(&text, card.Of(d.atWork.Story(), d.f)); err != nil {
		return err
	}
	return d.save(filename.Of(session.NameOf(d.f.Bow), "bow")+form.Part(), text.String())
}
