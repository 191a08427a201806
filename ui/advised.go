package ui

import (
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/estimate"
	sheet "bendbook/session/form"
	"bendbook/session/verdict"
)

// What the readings say takes a tenth of a second and more. It is worked out in the background, from a story
// that never changes, and writes nothing; until it is there the bench shows what was said before the last
// entry.

// advised is the advice of a bench, worked out in the background.
type advised struct {
	advice   verdict.Advice
	err      error            // why there is no advice; nil where there is
	settings verdict.Settings // that it was worked out by; common practice before
	told     int              // how often it was worked out
	lines    int              // how many entries the story had then
	running  bool
	shop     *verdict.Experience
}

// fresh says whether the advice is of the last entry.
func (b *bench) fresh() bool {
	return b.advised.told > 0 && b.advised.lines == len(b.atWork.Story().Lines)
}

// background implements backgrounder. What the shop's other bows tell is read in the background too. Of
// several entries at once only the first and the last are worked out.
func (b *bench) background() tea.Cmd {
	r := &b.advised
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
func (b *bench) practice() func() verdict.Practice {
	shop, experience, story, says := b.desk.Shop, b.advised.shop, b.atWork.Story(), b.advised.advice
	return sync.OnceValue(func() verdict.Practice {
		practice := experience.PracticeFor(shop, story.Bow())
		practice.Before = says
		return practice
	})
}

// says is what the readings say as far as it is known, with what keeps it from being told; it may be of
// before the last entry.
func (b *bench) says() (verdict.Advice, error) { return b.advised.advice, b.advised.err }

// hasAdvice says whether the readings say anything yet.
func (b *bench) hasAdvice() bool { return b.advised.err == nil && b.advised.advice.Read }

// staleMark stands beside figures of before the last entry.
func (b *bench) staleMark() string {
	switch {
	case b.fresh():
		return ""
	case b.advised.told == 0:
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
		f.waiting = func() bool { return !b.fresh() }
	}
	return next
}
