package form

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

// readAt18 is a bow of which the upper limb was read at 18 in.
func readAt18(t *testing.T) session.Story {
	t.Helper()
	row := []maybeLength{some(0.75), some(1.5), some(3.25)}
	return storyOf(t, ash(),
		model.Pull{Draw: 18, Peak: force(22), From: model.FromLine, Readings: model.Readings{row, row}})
}

const doubtful = "was 3 1/4, now 8 1/4: Enter again to keep"

// TestADoubtIsAskedOnceAndNeverDropsTheValue takes the reading that is 5 in off.
func TestADoubtIsAskedOnceAndNeverDropsTheValue(t *testing.T) {
	s := Pull(readAt18(t))
	answered(t, s, "18", "21", "3/4", "1 1/2")
	if got := s.Answer("8 1/4"); got != (Verdict{Asked, doubtful}) {
		t.Fatalf("the first time it says %+v, want %q asked", got, doubtful)
	}
	if got := s.Answer(" 8 1/4 "); got.State != Taken {
		t.Fatalf("the second time it says %+v", got)
	}
	s.goTo(4)
	if got := s.Answer("8 1/4"); got.State != Taken {
		t.Errorf("confirmed once more it says %+v", got)
	}
	s.goTo(4)
	if got := s.Answer("9"); got.State != Asked {
		t.Errorf("another doubtful value: %+v", got)
	}
}

func TestAValueThatWasOnlyLeftIsAskedAboutAtTheEnd(t *testing.T) {
	s := Pull(readAt18(t))
	answered(t, s, "18")
	s.goTo(4)
	s.leave("8 1/4")
	s.goTo(7)
	if _, err := s.Finish(); err == nil || err.Error() != doubtful || s.At() != 4 {
		t.Fatalf("finishing says %v and stands at question %d", err, s.At())
	}
	if read := must(s.Finish())(t).Event.(model.Pull).Readings; read.At(model.Upper, 2).Or(0) != 8.25 {
		t.Errorf("the second time finishing gives %v", read)
	}
}

func TestADoubtThatWasLookedAtIsNotAskedAgainAfterACrash(t *testing.T) {
	story := readAt18(t)
	s := Pull(story)
	answered(t, s, "18", "21", "", "")
	for _, want := range []State{Asked, Taken} {
		if got := s.Answer("8 1/4"); got.State != want {
			t.Fatalf("%+v", got)
		}
	}
	var draft shop.Draft
	doc := must(json.Marshal(s.draft(time.Now())))(t)
	must(doc, json.Unmarshal(doc, &draft))(t)
	again := Pull(story)
	again.Restore(draft)
	if read := must(again.Finish())(t).Event.(model.Pull).Readings; read.At(model.Upper, 2).Or(0) != 8.25 {
		t.Errorf("after a crash finishing gives %v", read)
	}
}

func TestWhatIsAskedAbout(t *testing.T) {
	pull := func(draw measure.Length, peak measure.Force) model.Event {
		return model.Pull{Draw: draw, Peak: measure.Some(peak), From: model.FromLine}
	}
	scraped := model.Scrape{From: 4, To: 12}
	for _, c := range []struct {
		name    string
		events  []model.Event
		answers []string // the last of them is the doubtful one
		says    string   // "" where it is taken
	}{
		{"a draw past the ordered one", nil, []string{"28 1/2"}, "28 1/2 is past the ordered draw, 28 in"},
		{"the ordered draw", nil, []string{"28"}, ""},
		{"a step of 3 in", []model.Event{pull(18, 22)}, []string{"21"}, "that is 3 in farther than ever before"},
		{"a peak that grew by scraping", []model.Event{pull(18, 22), scraped}, []string{"18", "26"}, "was 22.0 at this draw in pass 0, now 26.0"},
		{"a peak that fell by a tenth", []model.Event{pull(18, 22), scraped}, []string{"18", "19.8"}, ""},
		{"a longer draw that weighs less", []model.Event{pull(18, 22)}, []string{"19", "21"}, "this pass had 22.0 at 18, now 21.0 at 19"},
		{"a shorter draw that weighs more", []model.Event{pull(18, 22)}, []string{"17", "23"}, "this pass had 22.0 at 18, now 23.0 at 17"},
		{"a peak over the ordered weight", nil, []string{"18", "42.1"}, "over the ordered 40 lb; never draw a bow past its weight"},
		{"a peak that the order allows", nil, []string{"18", "42"}, ""},
		{"a reading off its neighbours", nil, []string{"18", "20", "3/4", "1", "6"}, "by its neighbours, now 6"},
		{"a first reading off the root", nil, []string{"18", "20", "0", "4"}, "by its neighbours, now 4"},
	} {
		s := Pull(storyOf(t, ash(), c.events...))
		last := len(c.answers) - 1
		answered(t, s, c.answers[:last]...)
		got := s.Answer(c.answers[last])
		switch {
		case c.says == "" && got.State != Taken:
			t.Errorf("%s: %+v, want it taken", c.name, got)
		case c.says != "" && (got.State != Asked || !strings.Contains(got.Says, c.says) || !strings.HasSuffix(got.Says, ": Enter again to keep")):
			t.Errorf("%s: %+v, want it asked: %q", c.name, got, c.says)
		}
		if c.says != "" {
			if again := s.Answer(c.answers[last]); again.State != Taken {
				t.Errorf("%s: the second time %+v", c.name, again)
			}
		}
	}
	s := scrapeSheet(storyOf(t, ash()))
	s.goTo(s.index("depth"))
	if got := s.Answer("0.3"); got.State != Asked || !strings.Contains(got.Says, "in one scraping is much") {
		t.Errorf("a scraping 0.3 in deep: %+v", got)
	}
	now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.UTC)
	long := OnDay(model.Finish{Step: "varnish"}, "varnish", now, date.ISO)
	if got := long.Answer("2020-01-01"); got.State != Asked {
		t.Errorf("seven years ago: %+v", got)
	}
}

func TestDoubtAboutNeighboursLooksInwardOnly(t *testing.T) {
	s := Braced(storyOf(t, ash()))
	// To the string there is no root to go by: two stations are needed.
	answered(t, s, "6", "5 3/4", "2")
	if got := s.Answer("1"); got.State != Asked {
		t.Errorf("a gap of 1 in after 5 3/4 and 2 in: %+v", got)
	}
}
