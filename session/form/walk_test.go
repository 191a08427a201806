package form

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/session"
	"bendbook/session/shop"
)

// paper is what a sheet should hold: where the pencil is, and what stands where.
type paper struct {
	at      int
	written map[string]string
}

// TestWalkingABoutASheetLosesNothing answers, leaves, goes about and lets the machine die at random, and compares the
// sheet with a paper after each step.
func TestWalkingAboutASheetLosesNothing(t *testing.T) {
	story := storyOf(t, ash())
	newBow := func(session.Story) *Sheet { return newBow(practice{}) }
	rapid.Check(t, func(t *rapid.T) {
		fresh := rapid.SampledFrom([]func(session.Story) *Sheet{
			Pull, Braced, scrapeSheet, sizesSheet, newBow,
		}).Draw(t, "form")
		s, p := fresh(story), paper{written: make(map[string]string)}
		text := rapid.SampledFrom([]string{"", "1", "2", " 3/4 ", "6", "18", "200", "-1", "what", "u", "Ash", "\x1b[2J"})
		t.Repeat(map[string]func(*rapid.T){
			"answer": func(t *rapid.T) {
				typed := text.Draw(t, "text")
				q, ok := s.Current()
				verdict := s.Answer(typed)
				if verdict.State != Taken {
					if verdict.Says == "" {
						t.Fatalf("%q is not taken, and nothing says why", typed)
					}
					return
				}
				if !ok {
					t.Fatal("an answer was taken behind the last question")
				}
				typed = strings.TrimSpace(typed)
				if typed == "" {
					typed = q.Preset
				}
				if choice, ok := choose(q.Choices, typed); ok && typed != "" {
					typed = choice
				}
				p.written[q.Name] = typed
				p.at++
			},
			"leave": func(t *rapid.T) {
				typed := text.Draw(t, "text")
				if q, ok := s.Current(); ok && (typed != "" || p.written[q.Name] != "") {
					p.written[q.Name] = typed
				}
				s.leave(typed)
			},
			"go": func(t *rapid.T) {
				to := rapid.IntRange(-2, len(s.Questions)+2).Draw(t, "to")
				s.goTo(to)
				p.at = max(0, min(to, len(s.Questions)))
			},
			"finish": func(t *rapid.T) {
				if _, err := s.Finish(); err != nil {
					if err.Error() == "" {
						t.Fatal("it cannot be finished, and nothing says why")
					}
					p.at = s.At() // it stands at the fault, or where it was
				}
			},
			"die and begin anew": func(t *rapid.T) {
				var draft shop.Draft
				doc := must(json.Marshal(s.draft(time.Unix(0, 0))))(t)
				must(doc, json.Unmarshal(doc, &draft))(t)
				s = fresh(story)
				s.Restore(draft)
				if p.at == len(s.Questions) {
					p.at = len(s.Questions) - 1
					for i, q := range s.Questions {
						if _, ok := p.written[q.Name]; !ok {
							p.at = i
							break
						}
					}
				}
			},
			"": func(t *rapid.T) {
				if s.At() != p.at || s.Done() != (p.at == len(s.Questions)) {
					t.Fatalf("the sheet stands at %d, the pencil at %d", s.At(), p.at)
				}
				any := false
				for i, q := range s.Questions {
					got, ok := s.Given(i)
					want, written := p.written[q.Name]
					if got != want || ok != written {
						t.Fatalf("%s: the sheet holds %q (%t), the paper %q (%t)", q.Name, got, ok, want, written)
					}
					any = any || want != ""
				}
				if s.any() != any {
					t.Fatalf("anything: %t", s.any())
				}
			},
		})
	})
}

func TestRestoreDropsAnswersToQuestionsThatAreNotAsked(t *testing.T) {
	s := Pull(storyOf(t, ash()))
	s.Restore(shop.Draft{At: "upper.9", Begun: time.Unix(7, 0),
		Answers: map[string]string{"draw": "18", "peak": "22", "upper.9": "3"}})
	if q, _ := s.Current(); q.Name != "upper.0" {
		t.Errorf("the sheet stands at %q, want the first that was not come to", q.Name)
	}
	draft := s.draft(time.Unix(9, 0))
	if len(draft.Answers) != 2 || draft.At != "upper.0" || !draft.Begun.Equal(time.Unix(7, 0)) || draft.Form != "pull" {
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
