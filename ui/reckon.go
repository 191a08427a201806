package ui

import (
	"sync"
	"sync/atomic"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/estimate"
	"bendbook/session/advice"
	"bendbook/session/sheet"
)

// What the readings say takes a tenth of a second and more. It is worked out beside the keys' way, from a story that never changes,
// and writes nothing; until it is there the bench shows what was said before the last entry.

// reckonedMsg brings a bench what its readings say.
type reckonedMsg struct {
	to         *bench
	generation int // which reckoning it is: an older one than the last that was asked for is dropped
	advice     advice.Advice
	err        error
	settings   advice.Settings // that it was reckoned by, with what the shop's strokes take
}

// reckoner is a screen that has something to work out beside the keys' way.
type reckoner interface {
	// reckon is the work that is to be begun now; nil where there is none, or it is under way.
	reckon() tea.Cmd
}

// reckon begins what the screens have to work out.
func (a *App) reckon() tea.Cmd {
	var all []tea.Cmd
	for _, s := range a.screens {
		if r, ok := s.(reckoner); ok {
			if work := r.reckon(); work != nil {
				all = append(all, a.inTurn(work))
			}
		}
	}
	if len(all) == 1 {
		return all[0]
	}
	return tea.Batch(all...)
}

// inTurn is work that waits until one of the cores is free for it; one is left to the keys.
func (a *App) inTurn(work tea.Cmd) tea.Cmd {
	return func() tea.Msg {
		a.cores <- struct{}{}
		defer func() { <-a.cores }()
		return work()
	}
}

// reckoning is what a bench knows of what its readings say.
type reckoning struct {
	advice advice.Advice
	err    error // why there is no advice; nil where there is
	// told is the generation that advice is of, asked the last one that was begun; 0 for none.
	told, asked int
	settings    advice.Settings // that it was reckoned by; common practice before
	work        *benchWork      // nil before the first asking
	// lines is how many entries the story had when it was asked.
	lines int
}

// benchWork lets what is reckoned of one bow go one after the other: many entries at once would else be reckoned all at once, and hold up the keys.
type benchWork struct {
	newest atomic.Int64 // generation; what is older is not begun any more
	shop   advice.Experience
	mu     sync.Mutex
	last   advice.Advice // what was worked out last, from which the next goes on
}

// fresh says whether what is told is of the last entry.
func (b *bench) fresh() bool {
	r := b.reckoned
	return r.told > 0 && r.told == r.asked && r.lines == len(b.atWork.Story().Lines)
}

// advise works out what the readings of a story say, from what was said of it before. A test that looks at one bow a thousand times may remember it.
var advise = advice.Advice.Again

// reckon implements reckoner. What the shop's other bows tell is read beside the keys' way too.
func (b *bench) reckon() tea.Cmd {
	story := b.atWork.Story()
	r := &b.reckoned
	if r.asked > 0 && r.lines == len(story.Lines) {
		return nil
	}
	r.asked++
	r.lines = len(story.Lines)
	if r.asked == 1 {
		r.settings = advice.Usual()
	}
	if r.work == nil {
		r.work = new(benchWork)
	}
	shop, work := b.desk.Shop, r.work
	work.newest.Store(int64(r.asked))
	msg := reckonedMsg{to: b, generation: r.asked}
	return func() tea.Msg {
		work.mu.Lock()
		defer work.mu.Unlock()
		if int(work.newest.Load()) != msg.generation {
			return nil // more was entered while this one waited
		}
		practice := work.shop.PracticeFor(shop, story.Bow())
		msg.settings = practice.Settings
		msg.advice, msg.err = advise(work.last, story, practice.Settings, practice.Shape)
		if msg.err == nil {
			work.last = msg.advice
		}
		return msg
	}
}

// take takes what was worked out, unless more was entered meanwhile.
func (b *bench) take(msg reckonedMsg) {
	r := &b.reckoned
	if r.told == 0 {
		r.settings = msg.settings
	}
	if msg.generation == r.asked {
		r.told, r.advice, r.err, r.settings = msg.generation, msg.advice, msg.err, msg.settings
	}
}

// says is what the readings say as far as it is known, with what keeps it from being told; it may be of before the last entry.
func (b *bench) says() (advice.Advice, error) { return b.reckoned.advice, b.reckoned.err }

// hasAdvice says whether the readings say anything yet.
func (b *bench) hasAdvice() bool { return b.reckoned.err == nil && b.reckoned.advice.Read }

// reckoningMark is what stands beside figures that are of before the last entry.
func (b *bench) reckoningMark() string {
	switch {
	case b.fresh():
		return ""
	case b.reckoned.told == 0:
		return "reckoning..."
	}
	return "of before the last entry; reckoning..."
}

// entry is the form of a sheet that adds an entry, with what the readings foretell, once that is reckoned.
func (b *bench) entry(sh *sheet.Sheet) move {
	sh.Expect = func(where estimate.Where, brace float64) (estimate.Figure, bool) {
		if says, err := b.says(); err == nil && b.fresh() {
			return says.Expect(where, brace)
		}
		return estimate.Figure{}, false
	}
	f, err := entryForm(b.desk, b.atWork, sh)
	if err == nil {
		f.reckoning = func() bool { return !b.fresh() }
	}
	return openForm(f, err)
}
