package line

import (
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/sheet"
)

// entries are what was entered on a bow, the newest first.
type entries struct {
	*talk
	atWork *session.Bench
	at     int // how many were said already
}

// pageful is how many entries are said at once.
const pageful = 10

func (e *entries) name() string { return say.F("%s, entries", session.NameOf(e.atWork.Story().Bow())) }

func (e *entries) arrive() error {
	e.at = 0
	n := len(e.atWork.Story().Lines)
	e.sayf("%s, the newest first. A number reads one whole.", say.N(n, "%d entry", "%d entries", n))
	return e.more()
}

// more says the next entries.
func (e *entries) more() error {
	lines := e.atWork.Story().Lines
	last := min(e.at+pageful, len(lines))
	for ; e.at < last; e.at++ {
		e.sayf("%d: %s", e.at+1, e.sayLine(lines[len(lines)-1-e.at]))
	}
	if left := len(lines) - last; left > 0 {
		e.sayf("%d more; m reads on.", left)
	}
	return nil
}

func (e *entries) sayLine(line session.Line) string {
	text := say.F("pass %d, %s", line.Pass, e.atWork.Story().SayEntry(line))
	if at := e.tell(line.Entry.At); at != "" {
		text = at + ", " + text
	}
	if !line.Counts() {
		text = say.F("VOID, %s: %s", session.SayReason(line.Voided.Why), text)
	}
	return ended(text)
}

func (e *entries) commands() []command {
	return []command{
		{letter: "m", word: "more", long: "Read on.", do: func(string) error { return e.more() }},
		{letter: "x", word: "void", takes: "NUMBER", off: e.mayWrite, long: "Void an entry: it stays in the story, struck out, and counts no more.", do: e.void},
		{letter: "c", word: "correct", takes: "NUMBER", off: e.mayWrite, long: "Correct an entry: its form, filled in. What you save takes its place; the old one stays in the story, struck out.", do: e.correct},
		back("Go back to the bench."),
	}
}

func (e *entries) other(text string) (bool, error) {
	if text[0] < '0' || text[0] > '9' {
		return false, nil
	}
	line, err := e.chosen(text)
	if err != nil {
		return false, err
	}
	e.say(e.sayLine(line))
	bow := e.atWork.Story().Bow()
	rows, block := readingsOf(line.Entry.What)
	if block != nil {
		for _, side := range model.Sides {
			for i, at := range block.At {
				if gap, known := block.Gaps.At(side, i).Get(); known {
					e.sayf("%s limb, block at %s: %s.", side, bow.Ruler().WithUnit(at), bow.Calliper().Print(gap))
				}
			}
		}
	}
	for _, at := range session.Stations(bow) {
		if text := sayStation(bow, at, rows); text != "" {
			e.say(text + ".")
		}
	}
	return true, nil
}

// readingsOf are an entry's own.
func readingsOf(what model.Event) (rows model.Readings, block *model.Block) {
	switch what := what.(type) {
	case model.Pull:
		return what.Readings, nil
	case model.Braced:
		return what.Readings, what.Block
	case model.Relaxed:
		return what.Readings, nil
	}
	return rows, nil
}

// chosen is the entry of a number, 1 for the newest.
func (e *entries) chosen(number string) (session.Line, error) {
	lines := e.atWork.Story().Lines
	n, err := strconv.Atoi(strings.TrimSpace(number))
	if err != nil || n < 1 || n > len(lines) {
		return session.Line{}, refuse(say.F("%q is no entry; expected its number, 1 for the newest, %d for the oldest", number, len(lines)))
	}
	return lines[len(lines)-n], nil
}

func (e *entries) void(number string) error {
	line, err := e.chosen(number)
	if err != nil {
		return err
	}
	if why := line.MayVoid(); why != "" {
		return refuse(say.F("not now: %s", why))
	}
	what := session.Say(e.atWork.Story().Bow(), line.Entry.What)
	form, err := sheet.ShortForm(e.desk.Shop, e.atWork, sheet.Void(line.Entry.ID, what))
	if err != nil {
		return err
	}
	kept, err := e.fill(form, "")
	if err == nil && kept != nil {
		e.say(say.F("Saved. Void now: %s.", what))
	}
	return err
}

func (e *entries) correct(number string) error {
	line, err := e.chosen(number)
	if err != nil {
		return err
	}
	if why := e.atWork.Story().MayCorrect(line); why != "" {
		return refuse(say.F("not now: %s", why))
	}
	return e.putRight(line)
}

// putRight asks for an entry anew.
func (e *entries) putRight(line session.Line) error {
	form, ok, err := sheet.CorrectForm(e.desk.Shop, e.atWork, line)
	if err != nil || !ok {
		return err
	}
	kept, err := e.fill(form, "")
	if err == nil && kept != nil {
		e.say(say.F("Corrected: %s.", session.Say(e.atWork.Story().Bow(), kept.Event)))
	}
	return err
}
