package ui

import (
	"strconv"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/session"
	"bendbook/session/form"
)

// hold is the clock that runs while the bow stands drawn, from the key that says so to the one that says that
// it is down. It writes nothing; the pull's form opens with the time filled in.
type hold struct {
	base
	of      *work
	begun   time.Time
	limit   time.Duration // after which it rings
	ticking bool          // the next tick is on its way
	rung    int           // how often it rang
	ring    bool          // it is to ring now
}

// mostRings keeps a clock that was forgotten from ringing all day.
const mostRings = 10

func holdPage() page {
	return page{name: toHold,
		about: "The hold clock runs while the bow is drawn. It rings when it's time to let down. Down stops it " +
			"and opens the pull with the time filled in.",
		open: func(desk *Desk, to route) (screen, error) {
			settings, err := desk.Shop.Settings()
			return &hold{of: to.work, begun: desk.Shop.Now(), limit: settings.Hold()}, err
		}}
}

func (h *hold) held() time.Duration { return max(0, h.of.desk.Shop.Now().Sub(h.begun)) }

// background is the next tick, and the bell where it is to ring.
func (h *hold) background() tea.Cmd {
	var all []tea.Cmd
	if h.ring {
		all = append(all, func() tea.Msg { h.of.desk.bell(); return nil })
	}
	h.ring = false
	if !h.ticking {
		h.ticking = true
		held := h.held()
		next := time.Second - held%time.Second
		if left := h.limit - held; left > 0 {
			next = min(next, left)
		}
		all = append(all, h.of.desk.after(next, toldMsg(h.tick)))
	}
	if len(all) == 0 {
		return nil
	}
	// As a batch they don't wait for a core, nor take one while they wait.
	return func() tea.Msg { return tea.BatchMsg(all) }
}

func (h *hold) tick() notice {
	h.ticking = false
	if h.held() >= h.limit && h.rung < mostRings {
		h.rung++
		h.ring = true
	}
	return notice{}
}

func (h *hold) title() (name, what, right string) {
	return session.NameOf(h.of.bow()), "drawn", "it rings after " + session.SayHeld(h.limit)
}

func (h *hold) idle() string { return "Nothing is saved until you save the pull." }

// typing takes a digit for the draw of the pull: hands that type are off the rope.
func (h *hold) typing(msg tea.KeyMsg) (move, bool) {
	if !begins(msg) {
		return move{}, false
	}
	next := h.down()
	next.open.first = &msg
	return next, true
}

func (h *hold) actions() []action {
	return []action{
		{keys: "space enter down", name: "down", main: true, in: reads, do: h.down,
			long: "The bow is down: stop the clock and open the pull with the time held. A digit does so too, " +
				"and begins the draw."},
		{keys: "esc q", name: "forget it", main: true, in: leaves, do: goBack,
			long: "Stop the clock and forget it. Nothing is saved."},
	}
}

func (h *hold) down() move {
	next := h.of.entry(form.Drawn(h.of.story()))
	next.swap = true
	if next.opens() {
		next.open.ask.held = max(h.held().Round(100*time.Millisecond), 100*time.Millisecond)
	}
	return next
}

func (h *hold) view(width, height int) string {
	s, held := h.of.desk.Styles, h.held()
	lines := []headline{
		{label: "HELD", figure: strconv.Itoa(int(held / time.Second)), unit: "S", style: s.Accent, main: true},
		{figure: "DRAWN", style: s.Strong},
	}
	if held >= h.limit {
		lines[1] = headline{figure: "LET DOWN", style: s.Bad}
	}
	caution := "Don't hold it at full draw: read the scale, and let it down. " + form.PullCaution
	return poster(s, lines, styled(s.Caution, caution, width, 3), width, height)
}
