package ui

import (
	"sync"
	"sync/atomic"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model/estimate"
	"bendbook/session/advice"
	"bendbook/session/sheet"
)

// What the readings say takes a tenth of a second and more. It is worked out in the background, from a story that never
// changes, and writes nothing; until it is there the bench shows what was said before the last entry.

// reckoning is what a bench knows of what its readings say.
type reckoning struct {
	advice advice.Advice
	err    error // why there is no advice; nil where there is
	// told is the generation that advice is of, asked the last one that was begun; 0 for none.
	told, asked int
	settings    advice.Settings // that it was worked out by; common practice before
	work        *benchWork
	lines       int // entries of the story when it was asked
}

// benchWork lets what is worked out of one bow go one after the other.
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

// background implements backgrounder. What the shop's other bows tell is read in the background too.
func (b *bench) background() tea.Cmd {
	story := b.atWork.Story()
	r := &b.reckoned
	if r.asked > 0 && r.lines == len(story.Lines) {
		return nil
	}
	r.asked++
	r.lines = len(story.Lines)
	shop, work, advise, generation := b.desk.Shop, r.work, b.desk.advise, r.asked
	work.newest.Store(int64(generation))
	return func() tea.Msg {
		work.mu.Lock()
		defer work.mu.Unlock()
		if int(work.newest.Load()) != generation {
			return nil // more was entered while this one waited
		}
		practice := work.shop.PracticeFor(shop, story.Bow())
		says, err := advise(work.last, story, practice.Settings, practice.Shape)
		if err == nil {
			work.last = says
		}
		return toldMsg(func() notice {
			if r.told == 0 {
				r.settings = practice.Settings
			}
			// Where more was entered meanwhile, what comes of that is waited for.
			if generation == r.asked {
				r.told, r.advice, r.err, r.settings = generation, says, err, practice.Settings
			}
			return notice{}
		})
	}
}

// practice is what the shop goes by for this bow, with what was worked out so far.
func (b *bench) practice() func() advice.Practice {
	shop, work, story, says := b.desk.Shop, b.reckoned.work, b.atWork.Story(), b.reckoned.advice
	return sync.OnceValue(func() advice.Practice {
		practice := work.shop.PracticeFor(shop, story.Bow())
		practice.Before = says
		return practice
	})
}

// says is what the readings say as far as it is known, with what keeps it from being told; it may be of before the last
// entry.
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
	f, err := entryForm(b.desk, b.atWork, sh)
	if err == nil {
		f.reckoning = func() bool { return !b.fresh() }
	}
	return openForm(f, err)
}
