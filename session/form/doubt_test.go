package form

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/estimate"
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

// A list that is read out goes on into the right fields where a value is doubted, here one 5 in off. The doubt
// waits, across a crash too; it is asked about once, and never drops the value.
func TestADoubtWaitsAndIsAskedOnce(t *testing.T) {
	story := readAt18(t)
	s := Pull(story)
	far := s.index("upper.2")
	answered(t, s, "18", "21", "3/4", "1 1/2")
	if got := s.Answer("8 1/4"); got != (Reply{Taken, "upper limb, 12 in: was 3 1/4, now 8 1/4"}) || s.Doubt(far) == "" {
		t.Fatalf("the answer is told of as %+v", got)
	}
	answered(t, s, "3/4", "1 1/2", "3 1/4")
	var draft shop.Draft
	doc := must(json.Marshal(s.draft(time.Now())))(t)
	must(doc, json.Unmarshal(doc, &draft))(t)
	s = Pull(story)
	s.Restore(draft)
	if s.Doubt(far) == "" || s.Doubt(far-1) != "" {
		t.Error("taken up again the doubt is forgotten")
	}
	if _, err := s.Finish(); err == nil || err.Error() != doubtful || s.At() != far {
		t.Fatalf("finishing says %v and stands at question %d", err, s.At())
	}
	answered(t, s, " 8 1/4 ")
	read := must(s.Finish())(t).Event.(model.Pull).Readings
	if read.At(model.Upper, 2).Or(0) != 8.25 || read.At(model.Lower, 2).Or(0) != 3.25 {
		t.Errorf("finishing gives %v", read)
	}
	s.goTo(far)
	if got := s.Answer("9"); got.Says == "" || s.Doubt(far) == "" {
		t.Errorf("another doubtful value: %+v", got)
	}
	// Where one goes back to it, what is doubtful stands there, and the same again keeps it.
	s.goTo(far)
	if answered(t, s, "9"); s.Doubt(far) != "" {
		t.Error("what was kept is doubted still")
	}
}

// Whatever stands in a list, each value that can be is read at its own station, and all that is doubtful is
// asked about before the pull is saved.
func TestNoDoubtMovesAListOn(t *testing.T) {
	story := readAt18(t)
	rapid.Check(t, func(t *rapid.T) {
		s, asked := Pull(story), 0
		answered(t, s, "18", "21")
		typed := rapid.SliceOfN(rapid.SampledFrom([]string{"3/4", "1 1/2", "3 1/4", "5", "2"}), 6, 6).Draw(t, "list")
		answered(t, s, typed...)
		for i := range s.Questions {
			if s.Doubt(i) != "" {
				asked++
			}
		}
		for range asked {
			if _, err := s.Finish(); !errors.As(err, new(DoubtError)) {
				t.Fatalf("%d doubts, and finishing says %v", asked, err)
			}
		}
		read := must(s.Finish())(t).Event.(model.Pull).Readings
		for i, text := range typed {
			side := model.Sides[i/3]
			if want := must(measure.ParseLength(text, measure.Inch))(t); read.At(side, i%3).Or(-1) != want {
				t.Fatalf("%q is read as %v", typed, read)
			}
		}
	})
}

// What is read is held against what was read on the same string: braced, a bow weighs more at a draw than on the long string.
func TestWhatWasReadOnAnotherStringIsNotCompared(t *testing.T) {
	long := model.Pull{Draw: 14, Peak: force(10), String: model.LongString, From: model.FromLine,
		Readings: model.Readings{{some(1)}}}
	onLong := storyOf(t, ash(), long)
	on := storyOf(t, ash(), long, model.Braced{Height: some(6), From: model.FromString})
	for _, c := range []struct {
		story session.Story
		draw  string
		says  string
		was   string // the reading at 6 in
	}{
		{onLong, "14", "was 10.0 at this draw in pass 0, now 19.0", "1"}, {on, "14", "", ""},
		{onLong, "13", "this pass had 10.0 at 14, now 19.0 at 13", ""}, {on, "13", "", ""},
	} {
		s := Pull(c.story)
		answered(t, s, c.draw)
		if got := s.Answer("19"); got.State != Taken || !strings.HasSuffix(got.Says, c.says) || c.says == "" && got.Says != "" {
			t.Errorf("%s in: %+v, want %q", c.draw, got, c.says)
		}
		same(t, c.draw, s.Was(s.At()), c.was)
	}
}

// What the readings foretell of the very bow and string is asked for; a value far off it is doubted.
func TestWhatIsFarFromTheExpectedIsDoubted(t *testing.T) {
	s := Pull(storyOf(t, ash(), model.Braced{Height: some(6), From: model.FromString}))
	var asked []estimate.Where
	s.Expect = func(where estimate.Where, on session.String, brace float64) (estimate.Figure, bool) {
		asked = append(asked, where)
		return estimate.Figure{Estimate: 2, Low: 1.8, High: 2.2}, on.Kind == model.BracedString
	}
	answered(t, s, "18")
	if got := s.Answer("9"); !strings.Contains(got.Says, "expected about 2.0 (") {
		t.Errorf("a peak of 9: %+v", got)
	}
	answered(t, s, "2")
	same(t, "expected is", s.Expected(s.index("upper.1")), "2 (1 13/16 to 2 3/16)")
	if got := s.Answer("3"); got.State != Taken || !strings.Contains(got.Says, "expected about 2 (") {
		t.Errorf("3 in: %+v", got)
	}
	want := estimate.Where{Kind: estimate.Line, Draw: 18, Side: model.Upper, At: 8}
	same(t, "asked for", asked[len(asked)-1], want)
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
		{"a draw past the ordered one", Pull, nil, []string{"28 1/2"},
			"28 1/2 is past the ordered draw, 28 in; everything after depends on it"},
		{"the ordered draw", Pull, nil, []string{"28"}, ""},
		{"a step of 3 in", Pull, pulled, []string{"21"}, "that's 3 in farther than ever before"},
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
			if got != (Reply{}) {
				t.Errorf("%s: %+v, want it taken", c.name, got)
			}
			continue
		}
		// A draw waits for its answer; all else is asked about in the end.
		if atOnce := last == 0 && s.Form == "pull"; (got.State == Asked) != atOnce ||
			!strings.Contains(got.Says, c.says) {
			t.Errorf("%s: %+v, want it doubted: %q", c.name, got, c.says)
		} else if !atOnce {
			var doubt DoubtError
			if _, err := s.Finish(); !errors.As(err, &doubt) || !strings.Contains(doubt.Says, c.says) ||
				!strings.HasSuffix(doubt.Says, ": Enter again to keep") {
				t.Errorf("%s: it ends as %v", c.name, err)
			}
		}
		answered(t, s, c.answers[last])
	}
}
