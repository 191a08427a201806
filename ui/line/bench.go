package line

import (
	"errors"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/sheet"
)

// bench is one bow at work.
type bench struct {
	*talk
	atWork *session.Bench

	// What the readings say is worked out when it is first asked for, and again after each entry.
	told   int // of so many entries; -1 for none
	advice advice.Advice
	err    error
	shop   advice.Experience

	drawn time.Time     // since when the bow stands drawn; zero where no clock runs
	limit time.Duration // after which it is to be let down
}

func newBench(t *talk, atWork *session.Bench) *bench {
	return &bench{talk: t, atWork: atWork, told: -1}
}

func (b *bench) bow() model.Bow { return b.atWork.Story().Bow() }

func (b *bench) name() string { return session.NameOf(b.bow()) }

// arrive says which bow it is, how far, and what comes next.
func (b *bench) arrive() error {
	story := b.atWork.Story()
	text := session.NameOf(story.Bow())
	if wanted := session.SayWanted(story.Bow()); wanted != "" {
		text += ", " + wanted
	}
	b.say(spoken(text + "; " + session.SayStage(story.Stage()) + "."))
	if n := len(story.Lines); n > 0 {
		if at := b.tell(story.LastAt()); at != "" {
			b.say(say.N(n, "All saved: %d entry, the last %s.", "All saved: %d entries, the last %s.", n, at))
		} else {
			b.say(say.N(n, "All saved: %d entry.", "All saved: %d entries.", n))
		}
	} else {
		b.say(say.It("Nothing was entered on this bow yet. p, or the first draw, begins a pull."))
	}
	drafts, err := sheet.HalfTyped(b.desk.Shop, story)
	for i, draft := range drafts {
		if i > 0 {
			b.sayf("Behind it, a half-typed %s from %s.", sheet.FormName(draft.Form), b.tell(draft.Begun))
			continue
		}
		b.sayf("A half-typed %s from %s is kept: c takes it up again.", sheet.FormName(draft.Form), b.tell(draft.Begun))
	}
	if err != nil {
		return err
	}
	b.next()
	b.sayHold()
	b.standClear()
	if waits := story.Waits(); waits != "" {
		b.say(say.F("Waits for: %s", ended(waits.String())))
	}
	return nil
}

// standClear says where not to stand, and past which weight the bow is not drawn, where that is known.
func (b *bench) standClear() {
	says, err := b.says()
	if wanted, known := says.Wanted.Get(); known && err == nil {
		b.sayf("Stand clear; never past %s.", session.SayOrdered(b.bow(), wanted))
		return
	}
	b.say(say.It("Stand clear."))
}

// says is what the readings say now.
func (b *bench) says() (advice.Advice, error) {
	story := b.atWork.Story()
	if b.told == len(story.Lines) {
		return b.advice, b.err
	}
	b.advice, b.err = b.practice().Of(story)
	b.told = len(story.Lines)
	return b.advice, b.err
}

// practice is what the bow's readings are reckoned by.
func (b *bench) practice() advice.Practice { return b.shop.PracticeFor(b.desk.Shop, b.bow()) }

// next says what the bow will weigh, how far the next pull may go, where to take wood, and what is to be heeded.
func (b *bench) next() {
	story := b.atWork.Story()
	says, err := b.says()
	var lines []string
	if err == nil && says.Read {
		lines = append(lines, says.SayForecast())
		if n := len(says.Findings); n > 0 {
			lines = append(lines, say.N(n, "%d uneven place; v tells", "%d uneven places; v tells", n))
		}
		if story.InHand {
			lines = append(lines, says.SayNext())
			if p, ok := says.Plan.Get(); ok {
				lines = append(lines, p.Line)
			}
		}
	}
	if err == nil && says.Read && len(says.Cautions) > 0 {
		lines = append(lines, says.Cautions[0])
	}
	for _, line := range lines {
		if line != "" {
			b.say(ended(session.Capital(spoken(line))))
		}
	}
}

func (b *bench) commands() []command {
	write := b.mayWrite
	var all []command
	for _, kind := range sheet.Kinds() {
		if kind.Key == "" {
			continue
		}
		takes := "[ANSWER]"
		all = append(all, command{letter: kind.Key, word: string(kind.Name), takes: takes, off: write, long: kind.Long, do: func(rest string) error {
			return b.enter(kind.Of(b.atWork.Story()), rest)
		}})
	}
	return append(all,
		command{letter: "h", word: "drawn", off: write, long: "Say that the bow stands drawn: the hold clock runs until down, or until a draw is typed. Nothing is written; drawn again starts it anew.",
			do: func(string) error { return b.beginHold() }},
		command{word: "down", takes: "[DRAW]", off: b.mayEndHold, long: "Say that the bow is down: the clock stops, and the pull is asked for, with the time held.",
			do: func(draw string) error { return b.enter(sheet.Pull(b.atWork.Story()), draw) }},
		command{letter: "c", word: say.It("take up"), off: func() string {
			drafts, err := sheet.HalfTyped(b.desk.Shop, b.atWork.Story())
			if err == nil && len(drafts) == 0 {
				return say.It("no form is half typed")
			}
			return b.mayWrite()
		}, long: "Take up the half-typed form again.", do: func(string) error { return b.takeUp() }},
		command{letter: "u", word: "undo", off: write, long: "Undo the last entry. It stays in the story, struck out.", do: func(string) error { return b.undo() }},
		command{letter: "U", word: say.It("bring back"), off: write, long: "Bring back what was just undone.", do: func(string) error { return b.bringBack() }},
		command{letter: "i", word: "figures", takes: "[PASS]", long: "Read the readings of the newest pass, or of another, in figures.", do: b.figures},
		command{letter: "v", word: "bend", long: "Read how the limbs bend at the stations, against the aim.", do: func(string) error { return b.bend() }},
		command{letter: "t", word: "story", takes: "[PASS [PASS]]", long: "Read the bow's story pass by pass; or one pass beside the one before it, or beside another.", do: b.story},
		command{letter: "a", word: "advice", off: b.mayAdvise, long: "Read all that the readings say, each figure with its band, and what they do not show.", do: func(string) error {
			says, _ := b.says()
			b.sayParts(says.Parts())
			b.say(advice.BandsSay.String())
			return nil
		}},
		command{letter: "g", word: "plan", off: b.mayPlan, long: "Go to where wood is to be taken, and what the bow would then be; change it, and log it when it is done.", do: func(string) error {
			return b.visit(newPlan(b))
		}},
		command{letter: "f", word: "finish", long: "Go to the bow's finishing: its stages, what dries, its mark, its number and its card.", do: func(string) error {
			return b.visit(newFinishing(b.talk, b.atWork))
		}},
		command{letter: "e", word: "entries", long: "Go to the entries: read them whole, correct one, or void one with a reason.", do: func(string) error {
			return b.visit(&entries{talk: b.talk, atWork: b.atWork})
		}},
		command{letter: "w", word: "summary", takes: "[last|all|N]", long: "Read the summary of a session, the last one or another, or of the whole bow.", do: b.summary},
		command{letter: "W", word: "write", takes: "[last|all|N] [FORM]", long: "Write a summary to a file in the folder where Bendbook was started. FORM is text, markdown, html, csv, json or tally.", do: b.write},
		command{letter: "d", word: "describe", off: write, long: "Change the bow's description or order.", do: func(string) error { return b.describe(b.atWork) }},
		back("Go back to the rack."),
	)
}

// other takes a line that begins with a digit for the draw of a pull.
func (b *bench) other(text string) (bool, error) {
	if text[0] < '0' || text[0] > '9' {
		return false, nil
	}
	if why := b.mayWrite(); why != "" {
		return false, refuse(say.F("not now: %s", why))
	}
	return true, b.enter(sheet.Pull(b.atWork.Story()), text)
}

// enter asks for an entry, with what the readings foretell.
func (b *bench) enter(sh *sheet.Sheet, first string) error {
	sh.Expect = func(where estimate.Where, brace float64) (estimate.Figure, bool) {
		if says, err := b.says(); err == nil {
			return says.Expect(where, brace)
		}
		return estimate.Figure{}, false
	}
	form, err := sheet.EntryForm(b.desk.Shop, b.atWork, sh)
	if err != nil {
		return err
	}
	b.endHold(form)
	kept, err := b.fill(form, first)
	if err != nil || kept == nil {
		return err
	}
	b.saved(b.atWork, kept)
	switch kept.Event.(type) {
	case model.Pull, model.Braced, model.Relaxed, model.Scrape:
		b.next()
	}
	return nil
}

// takeUp asks for the newest of the half-typed forms, each as where it was begun.
func (b *bench) takeUp() error {
	story := b.atWork.Story()
	drafts, err := sheet.HalfTyped(b.desk.Shop, story)
	if err != nil {
		return err
	}
	err, _ = sheet.Opening[error]{
		Entry: func(sh *sheet.Sheet) error { return b.enter(sh, "") },
		Edit:  func() error { return b.describe(b.atWork) },
		Like:  func() error { return b.describeNew(sheet.LikeForm(b.desk.Shop, story)) },
		Correct: func(line session.Line) error {
			return (&entries{talk: b.talk, atWork: b.atWork}).putRight(line)
		},
	}.TakeUp(story, drafts[0].Form)
	return err
}

func (b *bench) undo() error {
	line, err := b.atWork.Undo()
	if errors.Is(err, session.ErrNothingToUndo) {
		return refusal{err}
	}
	if err == nil {
		b.sayf("Undone; U brings it back: %s.", session.Say(b.bow(), line.Entry.What))
	}
	return err
}

func (b *bench) bringBack() error {
	line, err := b.atWork.Redo()
	if errors.Is(err, session.ErrNothingToBringBack) {
		return refusal{err}
	}
	if err == nil {
		b.sayf("Counts again: %s.", session.Say(b.bow(), line.Entry.What))
	}
	return err
}

func (b *bench) mayAdvise() string {
	switch says, err := b.says(); {
	case err != nil:
		return err.Error()
	case !says.Read:
		return say.It("nothing was read yet")
	}
	return ""
}

func (b *bench) mayPlan() string {
	switch says, err := b.says(); {
	case err != nil:
		return err.Error()
	case !says.Plan.Known():
		return says.NoPlan
	}
	return ""
}

// bend says how the limbs bend against the aim, station by station, and what shows.
func (b *bench) bend() error {
	says, err := b.says()
	if err != nil {
		return err
	}
	if !says.Bends() {
		return refuse(say.It("no bend can be told from these readings yet"))
	}
	bow := b.bow()
	b.sayf("Bend at %s against the aim, by the distance from the handle. Give or take is half of the band that holds the truth nine times in ten.", bow.Ruler().WithUnit(lengthOf(says.Draw)))
	for _, at := range session.Stations(bow) {
		var parts []string
		for _, side := range model.Sides {
			i, limb := at.Index[side], says.Limbs[side]
			if i < 0 || i >= len(limb.Deviation) {
				continue
			}
			text := say.F("%s limb not compared", side)
			if limb.Compared[i] {
				text = say.F("%s limb %s", side, sayDeviation(limb.Deviation[i]))
			}
			parts = append(parts, text)
		}
		if len(parts) > 0 {
			b.sayf("%s: %s.", bow.Ruler().WithUnit(at.At), strings.Join(parts, ", "))
		}
	}
	for _, p := range says.Parts() {
		if p.Heading == "Evenness" {
			b.sayParts([]advice.Part{p})
		}
	}
	return nil
}

func sayDeviation(f estimate.Figure) string {
	how := "more"
	if f.Estimate < 0 {
		f.Estimate, how = -f.Estimate, "less"
	}
	half := (f.High - f.Low) / 2
	return say.F("%.0f %% %s, give or take %.0f", 100*f.Estimate, how, 100*max(half, -half))
}
