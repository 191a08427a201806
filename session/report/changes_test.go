package report

import (
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// TestChangesOfAPassThatWentOnOverTwoSessions compares what each session read, not what the pass came to.
func TestChangesOfAPassThatWentOnOverTwoSessions(t *testing.T) {
	s := newWorkshop(t, ash())
	braced := func(upper measure.Length) model.Event {
		return model.Braced{From: model.FromString, Readings: model.Readings{row(6, upper, 5), row(6, 5.375, 5)}}
	}
	s.add(t, pull(18, 31, nil, nil), pull(18.0625, 30.5, nil, nil), braced(5.5))
	s.now = s.now.Add(24 * time.Hour)
	s.add(t, pull(18, 29.5, nil, nil), braced(5.4375))
	text := documentOf(t, s.story(), 2).Text()
	for _, want := range []string{
		"- Weight at 18 in: was 30.5, now 29.5 lb (-1.0).\n", "- Braced, upper gap less lower gap at 8 in: was " +
			"+1/8, now +1/16 in.\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if strings.Contains(text, "Wood came off") {
		t.Errorf("no wood came off in\n%s", text)
	}
}

// TestChangesAreToldAlsoWhenTheLastPassHasNoPullYet: after the last pull of the day there was one more
// scraping.
func TestChangesAreToldAlsoWhenTheLastPassHasNoPullYet(t *testing.T) {
	s := newWorkshop(t, ash())
	s.add(t, pull(18, 31, nil, nil))
	s.now = s.now.Add(24 * time.Hour)
	cut := model.Scrape{Limb: model.Lower, From: 4, To: 12}
	s.add(t, cut, pull(18, 29.5, nil, nil), cut)
	if text := documentOf(t, s.story(), 2).Text(); !strings.Contains(text,
		"- Weight at 18 in: was 31.0, now 29.5 lb (-1.5).\n- Wood came off in 2 places.\n") {
		t.Errorf("the changes are missing in\n%s", text)
	}
}

// A row of block gaps alone is told once, as a table that says that the bow was braced.
func TestABlockAloneIsNoBareBraced(t *testing.T) {
	block := &model.Block{Length: 6, At: []measure.Length{6}, Gaps: model.Readings{row(0.11), row(0.1)}}
	s := newWorkshop(t, ash())
	s.add(t, model.Braced{From: model.FromString, Block: block})
	text := documentOf(t, s.story(), 0).Text()
	if strings.Contains(text, "Braced.") || !strings.Contains(text, "Braced, gap under a block of 6 in (in):") {
		t.Errorf("it says\n%s", text)
	}
}
