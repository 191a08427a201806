package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/verdict"
)

// whatIf shows what a bow would be: shortened, on another string, thinner somewhere. Each key is worked out
// at once, and nothing of it is kept.
type whatIf struct {
	base
	list
	of        *work
	told      int // generation of the advice that is shown
	asks      []verdict.Ask
	answers   map[string]string // by the name of what is asked
	asked     verdict.WhatIf
	now, then verdict.Would
	err       error
}

func whatIfPage() page {
	return page{name: "what if", off: mayAsk,
		about: "What would it be? Choose a line and type a figure: the picture and the weight follow. Nothing " +
			"is in the book until you log it.",
		open: func(_ *Desk, to route) (screen, error) {
			all := verdict.Asks()
			return &whatIf{of: to.work, asks: all, list: list{count: len(all)}, answers: map[string]string{}}, nil
		},
		key: action{keys: "i", name: "what if",
			long: "Ask what it would be: shortened, at another draw or brace, on another string, thinner."}}
}

// mayAsk says why nothing can be asked of a bow; "" where something can.
func mayAsk(w *work) string {
	return unless(w.err == nil && !(w.fresh() && !w.advice.Weight.Known()), "read a peak first")
}

func (t *whatIf) fit(int, int) {
	if t.of.told != t.told {
		t.told = t.of.told
		t.try()
	}
}

// try works out what is asked.
func (t *whatIf) try() {
	a := t.of.advice
	if t.now, t.err = a.Would(verdict.WhatIf{}); t.err == nil {
		t.asked, t.err = a.Asked(t.answers)
	}
	if t.err == nil {
		t.then, t.err = a.Would(t.asked)
	}
}

func (t *whatIf) title() (name, what, right string) {
	return session.NameOf(t.of.bow()), "what if", t.of.asOf()
}

func (t *whatIf) idle() string { return "Nothing of this is in the book." }

func (t *whatIf) returned() error { return t.of.returned() }

// typing takes figures, and what parts them, as the answer on the chosen line.
func (t *whatIf) typing(msg tea.KeyMsg) (move, bool) {
	name := t.asks[t.at].Name
	text := t.answers[name]
	switch typed := string(msg.Runes); {
	case msg.Type == tea.KeyBackspace:
		text = text[:max(len(text)-1, 0)]
	case (msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace) && strings.Trim(typed, "0123456789 ./-%;") == "":
		if len(text)+len(typed) <= mostAsked {
			text += typed
		}
	default:
		return move{}, false
	}
	t.answers[name] = text
	t.try()
	return move{}, true
}

// mayShorten says why no shortening can be logged; "" where one can.
func (t *whatIf) mayShorten() string {
	if t.asked.Shorten[0] > 0 {
		return unless(t.err == nil, "that leaves no bow")
	}
	return "type what comes off each end first"
}

func (t *whatIf) shorten() move {
	next := t.of.enter(form.ShortenBy(t.of.story(), measure.Length(t.asked.Shorten[0])))
	if next.opens() {
		kept := next.open.ask.after
		next.open.ask.after = func(made form.Kept) move {
			delete(t.answers, "shorten") // the bow is so now
			return kept(made)
		}
	}
	return next
}

const mostAsked = 40 // letters of an answer

func (t *whatIf) actions() []action {
	return append(t.choosing("line"),
		action{keys: "delete", show: "del", name: "leave out", main: true, long: "Leave the line out.",
			do: then(func() { delete(t.answers, t.asks[t.at].Name); t.try() })},
		action{keys: "S", name: "shorten", main: true, in: writes, off: t.mayShorten, do: t.shorten,
			long: "Log what comes off each end, once it is off: the form is filled in with it."},
		back("Go back to the bench, and drop what you asked."))
}

func (t *whatIf) view(width, height int) string {
	s := t.of.desk.Styles
	const name, answer = 13, 11 // cells
	foot := min(t.count, max(9, height-leastPicture-3))
	var picture []string
	if t.err == nil {
		picture = evenness{advice: t.of.advice}.change(s, width, height-foot-2, "then", t.now.Limbs, t.then.Limbs)
	}
	from, to := around(t.at, t.count, foot)
	asks := block{width: 3 + name + answer}
	for i := from; i < to; i++ {
		line := "  " + left(t.asks[i].Label, name) + t.answers[t.asks[i].Name]
		if i == t.at {
			line = s.Chosen.Render("> " + line[2:] + "_")
		}
		asks.lines = append(asks.lines, ansi.Truncate(line, asks.width, "~"))
	}
	head, told := t.asks[t.at].Hint, []string{}
	if t.err == nil {
		if more := t.of.advice.SayStrain(t.asked, t.now, t.then); more != "" {
			head = more
		}
		figures := append([][]string{{"", "now", "then"}}, t.of.advice.SayWould(t.now, t.then)...)
		told = rangedColumns(figures, width-asks.width-1, 1)
	} else {
		told = append(told, wrapped(session.Capital(t.err.Error())+".", width-asks.width-1, 4)...)
	}
	lines := append(lengthen(picture, height-foot-2), s.Rule(width))
	lines = append(lines, beside(1, asks, block{width - asks.width - 1, told})...)
	lines = append(lengthen(lines, height-1), s.Quiet.Render(ansi.Truncate(head, width, "~")))
	return strings.Join(lines, "\n")
}
