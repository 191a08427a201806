package form

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/session"
	"bendbook/session/shop"
)

// walker answers, leaves, goes about and lets the machine die, and compares the sheet with a paper that holds
// where the pencil is, and what stands where.
type walker struct {
	fresh   func() *Sheet
	s       *Sheet
	at      int
	written map[string]string
}

func TestWalkingAboutASheetLosesNothing(t *testing.T) {
	story := storyOf(t, ash())
	bow := func(session.Story) *Sheet { return newBow(practice{}) }
	forms := []func(session.Story) *Sheet{Pull, Braced, scrapeSheet, sizesSheet, bow}
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.SampledFrom(forms).Draw(t, "form")
		fresh := func() *Sheet { return of(story) }
		w := walker{fresh: fresh, s: fresh(), written: make(map[string]string)}
		t.Repeat(rapid.StateMachineActions(&w))
	})
}

func typing(t *rapid.T) string {
	texts := []string{"", "1", "2", " 3/4 ", "6", "18", "200", "-1", "what", "u", "Ash", "\x1b[2J"}
	return rapid.SampledFrom(texts).Draw(t, "text")
}

func (w *walker) Answer(t *rapid.T) {
	text := typing(t)
	q, ok := w.s.Current()
	reply := w.s.Answer(text)
	if reply.State != Taken {
		if reply.Says == "" {
			t.Fatalf("%q is not taken, and nothing says why", text)
		}
		return
	}
	if !ok {
		t.Fatal("an answer was taken behind the last question")
	}
	text = cmp.Or(strings.TrimSpace(text), q.Preset)
	if choice, ok := choose(q.Choices, text); ok && text != "" {
		text = choice
	}
	w.written[q.Name] = text
	w.carry(q)
	w.at++
}

// carry follows a change of units: what was typed before is given the unit that it was typed in.
func (w *walker) carry(q Question) {
	for name, was := range w.written {
		now, typed := w.s.answer(name), strings.TrimSpace(was)
		if q.Name == "units" && now != typed && strings.HasPrefix(now, typed) {
			w.written[name] = now
		}
	}
}

func (w *walker) Leave(t *rapid.T) {
	text := typing(t)
	q, ok := w.s.Current()
	if ok && (text != "" || w.written[q.Name] != "") {
		w.written[q.Name] = text
	}
	w.s.leave(text)
	w.carry(q)
}

func (w *walker) GoAbout(t *rapid.T) {
	to := rapid.IntRange(-2, len(w.s.Questions)+2).Draw(t, "to")
	w.s.goTo(to)
	w.at = max(0, min(to, len(w.s.Questions)))
}

func (w *walker) Finish(t *rapid.T) {
	if _, err := w.s.Finish(); err != nil {
		if err.Error() == "" {
			t.Fatal("it cannot be finished, and nothing says why")
		}
		w.at = w.s.At() // it stands at the fault, or where it was
	}
}

func (w *walker) DieAndBeginAnew(t *rapid.T) {
	var draft shop.Draft
	doc := must(json.Marshal(w.s.draft(time.Unix(0, 0))))(t)
	must(doc, json.Unmarshal(doc, &draft))(t)
	w.s = w.fresh()
	w.s.Restore(draft)
	if w.at == len(w.s.Questions) {
		unwritten := func(q Question) bool {
			_, ok := w.written[q.Name]
			return !ok
		}
		if w.at = slices.IndexFunc(w.s.Questions, unwritten); w.at < 0 {
			w.at = len(w.s.Questions) - 1
		}
	}
}

// Check compares the sheet with the paper after each step.
func (w *walker) Check(t *rapid.T) {
	if w.s.At() != w.at || w.s.Done() != (w.at == len(w.s.Questions)) {
		t.Fatalf("the sheet stands at %d, the pencil at %d", w.s.At(), w.at)
	}
	anything := false
	for i, q := range w.s.Questions {
		got, ok := w.s.Given(i)
		want, written := w.written[q.Name]
		if got != want || ok != written {
			t.Fatalf("%s: the sheet holds %q (%t), the paper %q (%t)", q.Name, got, ok, want, written)
		}
		anything = anything || want != ""
	}
	if w.s.any() != anything {
		t.Fatalf("anything: %t", w.s.any())
	}
}

func TestRestoreDropsAnswersToQuestionsThatAreNotAsked(t *testing.T) {
	s := Pull(storyOf(t, ash()))
	s.Restore(shop.Draft{At: "upper.9", Begun: time.Unix(7, 0),
		Answers: map[string]string{"string": "braced", "draw": "18", "peak": "22", "upper.9": "3"}})
	if q, _ := s.Current(); q.Name != "upper.0" {
		t.Errorf("the sheet stands at %q, want the first that was not come to", q.Name)
	}
	draft := s.draft(time.Unix(9, 0))
	if len(draft.Answers) != 3 || draft.At != "upper.0" || !draft.Begun.Equal(time.Unix(7, 0)) || draft.Form != "pull" {
		t.Errorf("the draft is %+v", draft)
	}
}

// TestDraftOfAnEditHoldsOnlyWhatWasChanged, so that a change made meanwhile elsewhere is not taken back.
func TestDraftOfAnEditHoldsOnlyWhatWasChanged(t *testing.T) {
	bow := ash()
	s := editBow(storyOf(t, bow), practice{})
	answered(t, s, "Ash for Lark", "ash")
	draft := s.draft(time.Unix(0, 0))
	if len(draft.Answers) != 1 || draft.Answers["name"] != "Ash for Lark" {
		t.Fatalf("the draft holds %q", draft.Answers)
	}
	bow.Wood = "white ash"
	s = editBow(storyOf(t, bow), practice{})
	s.Restore(draft)
	if bow := must(s.Finish())(t).Bow; bow.Name != "Ash for Lark" || bow.Wood != "white ash" {
		t.Errorf("the bow is %+v", bow)
	}
}
