package ui

import (
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/estimate"
	"bendbook/session/advice"
	"bendbook/session/sheet"
)

// What the readings say takes a tenth of a second and more. It is worked out in the background, from a story
// that never changes, and writes nothing; until it is there the bench shows what was said before the last
// entry.

// reckoning is what a bench knows of what its readings say.
type reckoning struct {
	advice   advice.Advice
	err      error           // why there is no advice; nil where there is
	settings advice.Settings // that it was worked out by; common practice before
	told     int             // how often it was worked out
	lines    int             // how many entries the story had then
	running  bool
	shop     *advice.Experience
}

// fresh says whether what is told is of the last entry.
func (b *bench) fresh() bool {
	return b.reckoned.told > 0 && b.reckoned.lines == len(b.atWork.Story().Lines)
}

// background implements backgrounder. What the shop's other bows tell is read in the background too. Of
// several entries at once only the first and the last are worked out.
func (b *bench) background() tea.Cmd {
	r := &b.reckoned
	if r.running || b.fresh() {
		return nil
	}
	r.running = true
	shop, experience, advise, last, story := b.desk.Shop, r.shop, b.desk.advise, r.advice, b.atWork.Story()
	return func() tea.Msg {
		practice := experience.PracticeFor(shop, story.Bow())
		says, err := advise(last, story, practice.Settings, practice.Shape)
		return toldMsg(func() notice {
			r.advice, r.err, r.settings = says, err, practice.Settings
			r.told, r.lines, r.running = r.told+1, len(story.Lines), false
			return notice{}
		})
	}
}

// practice is what the shop goes by for this bow, with what was worked out so far.
func (b *bench) practice() func() advice.Practice {
	shop, experience, story, says := b.desk.Shop, b.reckoned.shop, b.atWork.Story(), b.reckoned.advice
	return sync.OnceValue(func() advice.Practice {
		practice := experience.PracticeFor(shop, story.Bow())
		practice.Before = says
		return practice
	})
}

// says is what the readings say as far as it is known, with what keeps it from being told; it may be of
// before the last entry.
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

// entry is the form of a sheet that adds an entry, with what the readings foretell, once that is worked out.
func (b *bench) entry(sh *sheet.Sheet) move {
	sh.Expect = func(where estimate.Where, brace float64) (estimate.Figure, bool) {
		if says, err := b.says(); err == nil && b.fresh() {
			return says.Expect(where, brace)
		}
		return estimate.Figure{}, false
	}
	next := b.desk.enter(b.atWork, sh)
	if f, ok := next.open.(*form); ok {
		f.reckoning = func() bool { return !b.fresh() }
	}
	return next
}
