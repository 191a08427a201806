package form

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/date"
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

// A doubt is raised once for an answer, across a crash too, and never drops the value, here one 5 in off.
func TestADoubtIsAskedOnceAndNeverDropsTheValue(t *testing.T) {
	story := readAt18(t)
	s := Pull(story)
	answered(t, s, "18", "21", "3/4", "1 1/2")
	if got := s.Answer("8 1/4"); got != (Reply{Asked, doubtful}) {
		t.Fatalf("the first time it says %+v, want %q asked", got, doubtful)
	}
	var draft shop.Draft
	doc := must(json.Marshal(s.draft(time.Now())))(t)
	must(doc, json.Unmarshal(doc, &draft))(t)
	s = Pull(story)
	s.Restore(draft)
	for _, again := range []string{" 8 1/4 ", "8 1/4"} {
		s.goTo(s.index("upper.2"))
		answered(t, s, again)
	}
	if read := must(s.Finish())(t).Event.(model.Pull).Readings; read.At(model.Upper, 2).Or(0) != 8.25 {
		t.Errorf("finishing gives %v", read)
	}
	s.goTo(s.index("upper.2"))
	if got := s.Answer("9"); got.State != Asked {
		t.Errorf("another doubtful value: %+v", got)
	}
}

func TestAValueThatWasOnlyLeftIsAskedAboutAtTheEnd(t *testing.T) {
	s := Pull(readAt18(t))
	answered(t, s, "18")
	s.goTo(s.index("upper.2"))
	s.leave("8 1/4")
	s.goTo(len(s.Questions) - 1)
	if _, err := s.Finish(); err == nil || err.Error() != doubtful || s.At() != s.index("upper.2") {
		t.Fatalf("finishing says %v and stands at question %d", err, s.At())
	}
	if read := must(s.Finish())(t).Event.(model.Pull).Readings; read.At(model.Upper, 2).Or(0) != 8.25 {
		t.Errorf("the second time finishing gives %v", read)
	}
}

func TestWhatIsAskedAbout(t *testing.T) {
	pulled := []model.Event{model.Pull{Draw: 18, Peak: force(22), From: model.FromLine}}
	thenScraped := append(slices.Clone(pulled), model.Scrape{From: 4, To: 12})
	onDay := func(session.Story) *Sheet {
		now := time.Date(2027, 2, 3, 8, 0, 0, 0, time.UTC)
		return OnDay(model.Finish{Step: "varnish"}, "varnish", now, date.ISO)
	}
	for _, c := range []struct {
		name    string
		form    func(session.Story) *Sheet
		events  []model.Event
		answers []string // the last of them is the doubtful one
		says    string   // "" where it is taken
	}{
		{"a draw past the ordered one", Pull, nil, []string{"28 1/2"}, "28 1/2 is past the ordered draw, 28 in"},
		{"the ordered draw", Pull, nil, []string{"28"}, ""},
		{"a step of 3 in", Pull, pulled, []string{"21"}, "that is 3 in farther than ever before"},
		{"a peak that grew by scraping", Pull, thenScraped, []string{"18", "26"},
			"was 22.0 at this draw in pass 0, now 26.0"},
		{"a peak that fell by a tenth", Pull, thenScraped, []string{"18", "19.8"}, ""},
		{"a longer draw that weighs less", Pull, pulled, []string{"19", "21"},
			"this pass had 22.0 at 18, now 21.0 at 19"},
		{"a shorter draw that weighs more", Pull, pulled, []string{"17", "23"},
			"this pass had 22.0 at 18, now 23.0 at 17"},
		{"a peak over the ordered weight", Pull, nil, []string{"18", "42.1"},
			"over the ordered 40 lb; never draw a bow past its weight"},
		{"a peak that the order allows", Pull, nil, []string{"18", "42"}, ""},
		{"a reading off its neighbours", Pull, nil, []string{"18", "20", "3/4", "1", "6"},
			"by its neighbours, now 6"},
		{"a first reading off the root", Pull, nil, []string{"18", "20", "0", "4"}, "by its neighbours, now 4"},
		// To the string there is no root to go by: two stations are needed.
		{"a gap after two others", Braced, nil, []string{"6", "5 3/4", "2", "1"}, "by its neighbours, now 1"},
		{"a scraping 0.3 in deep", scrapeSheet, nil, []string{"1", "4", "12", "", "", "0.3"},
			"in one scraping is much"},
		{"a day seven years ago", onDay, nil, []string{"2020-01-01"}, "more than a year ago"},
	} {
		s := c.form(storyOf(t, ash(), c.events...))
		last := len(c.answers) - 1
		if q, _ := s.Current(); q.Name == stringName {
			answered(t, s, "")
		}
		answered(t, s, c.answers[:last]...)
		got := s.Answer(c.answers[last])
		if c.says == "" {
			if got.State != Taken {
				t.Errorf("%s: %+v, want it taken", c.name, got)
			}
			continue
		}
		if got.State != Asked || !strings.Contains(got.Says, c.says) ||
			!strings.HasSuffix(got.Says, ": Enter again to keep") {
			t.Errorf("%s: %+v, want it asked: %q", c.name, got, c.says)
		}
		answered(t, s, c.answers[last])
	}
}
