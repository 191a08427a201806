package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
)

// entries lists what was entered on a bow, the newest first, and corrects an entry or voids it with a reason.
type entries struct {
	base
	list // 0 is the newest
	on   *work
	id   string // of the chosen entry
	row  int    // the first line of it that is shown
}

func entriesPage() page {
	return page{name: "entries",
		about: "Everything that was entered on this bow, the newest first. Correct or strike out here what was " +
			"wrong. Nothing is erased.",
		open: func(_ *Desk, to route) (screen, error) {
			return &entries{on: to.work, list: list{count: len(to.work.story().Lines)}}, nil
		},
		key: action{keys: "e", name: "entries",
			long: "List the entries: read them whole, correct one, or strike one out with a reason."}}
}

// returned keeps the mark on its entry.
func (e *entries) returned() error {
	lines := e.on.story().Lines
	e.count = len(lines)
	if i := slices.IndexFunc(lines, func(l session.Line) bool { return l.Entry.ID == e.id }); i >= 0 {
		e.at = len(lines) - 1 - i
	}
	e.step(0)
	return nil
}

func (e *entries) fit(int, int) {
	if line, _ := e.chosen(); line.Entry.ID != e.id {
		e.id, e.row = line.Entry.ID, 0
	}
}

func (e *entries) title() (name, what, right string) {
	story := e.on.story()
	return session.NameOf(story.Bow()), "entries, the newest first", fmt.Sprintf("%d entries", len(story.Lines))
}

func (e *entries) chosen() (session.Line, bool) {
	lines := e.on.story().Lines
	if e.at >= len(lines) {
		return session.Line{}, false
	}
	return lines[len(lines)-1-e.at], true
}

func (e *entries) actions() []action {
	// may says why the chosen entry can't be changed.
	may := func(judge func(session.Line) string) func() string {
		return func() string {
			line, ok := e.chosen()
			if !ok {
				return cmp.Or(e.on.desk.mayWrite(), "there is no entry here")
			}
			return cmp.Or(e.on.desk.mayWrite(), judge(line))
		}
	}
	all := []action{
		{keys: "delete backspace", show: "del", name: "strike out", main: true, in: writes,
			off: may(session.Line.MayVoid), do: e.void,
			long: "Strike out the chosen entry: it stays in the story, but no longer counts."},
		{keys: "enter", name: "correct", main: true, in: writes, off: may(session.Line.MayCorrect), do: e.correct,
			long: "Correct the chosen entry, however old. What you save takes its place and its time. All " +
				"figures after it follow. The old one stays, struck out."},
	}
	scroll := func(by int) { e.row += by }
	all = append(all, e.on.desk.undoing(e.on.atWork.Last, e.returned)...)
	all = append(all,
		action{keys: "right", name: "read on", do: by(1, scroll), long: "Read on in a long entry, at the foot."},
		action{keys: "left", name: "read back", do: by(-1, scroll), long: "Read back in it."})
	return append(append(all, choosing("entry", true, e.step)...), back("Go back to the bench."))
}

func (e *entries) correct() move {
	line, _ := e.chosen()
	next := e.on.correct(line)
	if asked := next.open.ask; asked != nil {
		after := asked.after
		asked.after = func(kept form.Kept) move {
			if old, _ := e.on.story().Line(e.id); old.Voided != nil {
				e.id = old.Voided.By
			}
			return after(kept)
		}
	}
	return next
}

func (e *entries) void() move {
	line, _ := e.chosen()
	what := session.Say(e.on.bow(), line.Entry.What)
	filling, err := form.ShortForm(e.on.desk.Shop, e.on.atWork, form.Void(line.Entry.ID, what))
	return e.on.desk.form(filling, err, func(form.Kept) move { return done("Saved. Void now: %s.", what) })
}

func (e *entries) view(width, height int) string {
	s, lines := e.on.desk.Styles, e.on.story().Lines
	if len(lines) == 0 {
		return "\n  This bow has no entries yet."
	}
	foot := scrolled(e.whole(width), &e.row, max(5, height/2))
	foot = lengthen(foot, max(5, len(foot)))
	return e.list.view(s, height, nil, foot, func(i int) (sign, text, section string) {
		line := lines[len(lines)-1-i]
		struck, why := " ", voided(line)
		if why != "" {
			struck = "x"
		}
		out := fmt.Sprintf("%s %-16s  pass %-3d %s", struck, e.on.desk.tell(line.Entry.At), line.Pass,
			e.on.story().SayEntry(line))
		// The reason is seen whole before the entry is.
		out = left(ansi.Truncate(out, max(width/2, width-2-ansi.StringWidth(why)), "~")+why, width-2)
		if why != "" && i != e.at {
			out = s.Quiet.Render(out)
		}
		return "  ", out, ""
	})
}

func voided(line session.Line) string {
	if line.Counts() {
		return ""
	}
	return fmt.Sprintf(" (void: %s)", plain.Line(line.Voided.Why))
}

func (e *entries) whole(width int) []string {
	line, ok := e.chosen()
	if !ok {
		return nil
	}
	text := e.on.story().SayEntry(line) + voided(line)
	if read := sayReadings(e.on.bow(), line.Entry.What); read != "" {
		text += ". " + read
	}
	return append([]string{e.on.desk.Styles.Rule(width)}, strings.Split(ansi.Wrap(text, width, ""), "\n")...)
}
