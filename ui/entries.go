package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/sheet"
)

// entries lists what was entered on a bow, the newest first, and corrects an entry or voids it with a reason.
type entries struct {
	keysOnly
	desk   *Desk
	atWork *session.Bench
	at     int // 0 is the newest
}

func newEntries(desk *Desk, atWork *session.Bench) *entries {
	return &entries{desk: desk, atWork: atWork}
}

func (e *entries) about() string {
	return "Everything that was entered on this bow, the newest first. What was wrong is corrected or voided here; nothing is erased."
}

func (e *entries) title() (name, what, right string) {
	story := e.atWork.Story()
	return session.NameOf(story.Bow()), "entries, the newest first", fmt.Sprintf("%d entries", len(story.Lines))
}

func (e *entries) chosen() (session.Line, bool) {
	lines := e.atWork.Story().Lines
	if e.at < 0 || e.at >= len(lines) {
		return session.Line{}, false
	}
	return lines[len(lines)-1-e.at], true
}

func (e *entries) actions() []action {
	step := func(by int) func() move {
		return func() move {
			e.at = max(0, min(e.at+by, len(e.atWork.Story().Lines)-1))
			return move{}
		}
	}
	return []action{
		{keys: []string{"x"}, name: "void it", main: true, long: "Void the chosen entry: it stays in the story, struck out, and counts no more.",
			off: e.mayVoid, do: e.void},
		{keys: []string{"c"}, name: "correct it", main: true, long: "Correct the chosen entry: its form, filled in. What you save takes its place; the old one stays in the story, struck out.",
			off: e.mayCorrect, do: e.correct},
		{keys: []string{"up", "k"}, show: "up/down", name: "choose", main: true, long: "Choose a newer entry.", do: step(-1)},
		{keys: []string{"down", "j"}, name: "older", long: "Choose an older entry.", do: step(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: step(-10)},
		{keys: []string{"pgdown"}, name: "page down", long: "Go down by a page.", do: step(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back to the bench.", do: func() move { return move{back: true} }},
	}
}

// mayWrite says why nothing can be done to the chosen entry; "" where something can.
func (e *entries) mayWrite() string {
	if why := e.desk.mayWrite(); why != "" {
		return why
	}
	if _, ok := e.chosen(); !ok {
		return "there is no entry here"
	}
	return ""
}

func (e *entries) mayVoid() string {
	if why := e.mayWrite(); why != "" {
		return why
	}
	line, _ := e.chosen()
	return line.MayVoid()
}

func (e *entries) mayCorrect() string {
	if why := e.mayWrite(); why != "" {
		return why
	}
	line, _ := e.chosen()
	return e.atWork.Story().MayCorrect(line)
}

func (e *entries) correct() move {
	line, _ := e.chosen()
	return openCorrection(e.desk, e.atWork, line, func() { e.at = 0 })
}

// openCorrection puts an entry right; kept is called once it is.
func openCorrection(desk *Desk, atWork *session.Bench, line session.Line, kept func()) move {
	bow := atWork.Story().Bow()
	filling, ok, err := sheet.CorrectForm(desk.Shop, atWork, line)
	if !ok {
		return move{}
	}
	return openForm(showForm(desk, filling, err, func(made sheet.Kept) move {
		kept()
		return move{back: true, say: notice{saying, fmt.Sprintf("Corrected: %s.", session.Say(bow, made.Event))}}
	}))
}

func (e *entries) void() move {
	line, _ := e.chosen()
	what := session.Say(e.atWork.Story().Bow(), line.Entry.What)
	filling, err := sheet.ShortForm(e.desk.Shop, e.atWork, sheet.Void(line.Entry.ID, what))
	return openForm(showForm(e.desk, filling, err, func(sheet.Kept) move {
		return move{back: true, say: notice{saying, fmt.Sprintf("Saved. Void now: %s.", what)}}
	}))
}

func (e *entries) view(width, height int) string {
	s := e.desk.Styles
	story := e.atWork.Story()
	if len(story.Lines) == 0 {
		return "\n  Nothing was entered on this bow yet."
	}
	foot := e.whole(width)
	height -= len(foot)
	first := max(0, min(e.at-height/2, len(story.Lines)-height))
	var lines []string
	for i := first; i < len(story.Lines) && len(lines) < height; i++ {
		line := story.Lines[len(story.Lines)-1-i]
		why := ""
		if !line.Counts() {
			why = " " + fmt.Sprintf("(void: %s)", plain.Line(line.Voided.Why))
		}
		out := fmt.Sprintf("%s %-16s  pass %-3d %s", struck(line), e.desk.tell(line.Entry.At), line.Pass, e.atWork.Story().SayEntry(line))
		// The reason is seen whole before the entry is.
		out = left(ansi.Truncate(out, max(width/2, width-2-ansi.StringWidth(why)), "~")+why, width-2)
		if !line.Counts() && i != e.at {
			out = s.Quiet.Render(out)
		}
		lines = append(lines, mark(s, i == e.at, out))
	}
	return strings.Join(append(lengthen(lines, height), foot...), "\n")
}

// struck is the sign before a line: x for one that does not count.
func struck(line session.Line) string {
	if line.Counts() {
		return " "
	}
	return "x"
}

// whole is the chosen entry in full, with its readings, in a few lines.
func (e *entries) whole(width int) []string {
	const most = 4
	s := e.desk.Styles
	line, ok := e.chosen()
	if !ok {
		return nil
	}
	text := e.atWork.Story().SayEntry(line)
	if !line.Counts() {
		text += " " + fmt.Sprintf("(void: %s)", plain.Line(line.Voided.Why))
	}
	if read := e.readings(line); read != "" {
		text += ". " + read
	}
	return append([]string{s.Rule(width)}, lengthen(wrapped(text, width, most), most)...)
}

// readings are an entry's own, limb by limb.
func (e *entries) readings(line session.Line) string {
	var rows model.Readings
	print := e.atWork.Story().Bow().Ruler().Print
	switch what := line.Entry.What.(type) {
	case model.Pull:
		rows = what.Readings
	case model.Braced:
		rows = what.Readings
		if block := what.Block; block != nil && !rows.Any() {
			rows, print = block.Gaps, e.atWork.Story().Bow().Calliper().Print
		}
	case model.Relaxed:
		rows = what.Readings
	}
	var parts []string
	for _, side := range model.Sides {
		var row []string
		for _, reading := range rows[side] {
			text := "-"
			if l, known := reading.Get(); known {
				text = print(l)
			}
			row = append(row, text)
		}
		if len(row) > 0 {
			parts = append(parts, side.String()+": "+strings.Join(row, ", "))
		}
	}
	return strings.Join(parts, "; ")
}
