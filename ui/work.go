package ui

import (
	"cmp"
	"fmt"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// work is a bow at work, with what its readings say. That is worked out in the background and writes nothing;
// until it is there the bench shows what was said before the last entry.
type work struct {
	base
	desk   *Desk
	atWork *shop.Bench
	drafts []shop.Draft // half-typed forms, the newest first

	advice     verdict.Advice
	verdict    verdict.Verdict  // its Do is "" until it was worked out
	err        error            // why there is no advice; nil where there is
	settings   verdict.Settings // that it was worked out by; common practice before
	told       int              // how often it was worked out
	lines      int              // how many entries the story had then
	running    bool
	experience shop.Experience
}

func (d *Desk) work(bow string) (*work, error) {
	atWork, err := d.Shop.Bench(bow)
	return &work{desk: d, atWork: atWork, settings: verdict.Usual()}, err
}

func (w *work) story() session.Story { return w.atWork.Story() }

func (w *work) bow() model.Bow { return w.story().Bow() }

// returned looks for what was added, and for half-typed forms.
func (w *work) returned() error {
	if err := w.atWork.Refresh(); err != nil {
		return err
	}
	drafts, err := form.HalfTyped(w.desk.Shop, w.story())
	w.drafts = drafts
	return err
}

// fresh says whether the advice is of the last entry.
func (w *work) fresh() bool { return w.told > 0 && w.lines == len(w.story().Lines) }

// background works out what the readings say, which takes in what the shop's other bows tell. Of several
// entries at once only the first and the last are worked out.
func (w *work) background() tea.Cmd {
	if w.running || w.fresh() {
		return nil
	}
	w.running = true
	shop, advise, last, story := w.desk.Shop, w.desk.advise, w.advice, w.story()
	return func() tea.Msg {
		practice := w.experience.PracticeFor(shop, story.Bow())
		says, err := advise(last, story, practice.Settings, practice.Shape)
		told, unset := judge(shop, story, says, err)
		return toldMsg(func() notice {
			w.advice, w.verdict, w.err, w.settings = says, told, cmp.Or(err, unset), practice.Settings
			w.told, w.lines, w.running = w.told+1, len(story.Lines), false
			return notice{}
		})
	}
}

// judge is the verdict on a story, and keeps it for the rack; unmade says why its readings make no bow.
func judge(in *shop.Shop, story session.Story, says verdict.Advice, unmade error) (verdict.Verdict, error) {
	if unmade != nil {
		return verdict.Verdict{Do: verdict.Tell, Say: "Describe the bow again: it can't be worked out.",
			Why: session.Capital(unmade.Error()) + ".", Word: "DESCRIBE"}, nil
	}
	f, err := in.Finishing(story)
	if err != nil {
		return verdict.Verdict{}, err
	}
	v := says.Judge(f)
	in.Judged(says, v)
	return v, nil
}

// practice is what the shop goes by for this bow, with what was worked out so far.
func (w *work) practice() func() verdict.Practice {
	shop, story, says := w.desk.Shop, w.story(), w.advice
	return sync.OnceValue(func() verdict.Practice {
		practice := w.experience.PracticeFor(shop, story.Bow())
		practice.Before = says
		return practice
	})
}

// staleMark stands beside figures before the last entry.
func (w *work) staleMark() string {
	switch {
	case w.fresh():
		return ""
	case w.told == 0:
		return "working it out..."
	}
	return "before the last entry; working it out..."
}

// asOf says which pass the advice is of, or that it is out of date.
func (w *work) asOf() string { return cmp.Or(w.staleMark(), fmt.Sprintf("pass %d", w.advice.Pass)) }
