package form

import (
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// scraped answers the form of a cut and gives the entry that it makes.
func scraped(t *testing.T, cut model.Scrape, answers ...string) model.Scrape {
	t.Helper()
	s := ScrapeCut(storyOf(t, ash()), cut)
	answered(t, s, answers...)
	out, err := s.Finish()
	if err != nil {
		t.Fatal(err)
	}
	return out.Event.(model.Scrape)
}

// Enter alone takes what was planned. What is not measured is taken as the planned share, only where limb and place are those of the plan and
// nothing else is said of how much came off.
func TestScrapeByThePlan(t *testing.T) {
	cut := model.Scrape{Limb: model.Lower, From: 8, To: 12, Tool: "rasp", DepthShare: measure.Some(0.042)}
	if got := scraped(t, cut, "", "", "", "", "", ""); got != cut {
		t.Errorf("Enter alone makes %+v", got)
	}
	for _, c := range []struct {
		what    string
		answers []string
	}{
		{"another limb", []string{"upper", "", "", "", "", ""}},
		{"another place", []string{"", "9", "", "", "", ""}},
		{"strokes counted", []string{"", "", "", "", "9", ""}},
		{"depth measured", []string{"", "", "", "", "", "0.02"}},
	} {
		if got := scraped(t, cut, c.answers...); got.DepthShare.Known() {
			t.Errorf("%s makes %+v", c.what, got)
		}
	}
	if got := scraped(t, cut, "", "", "", "", "9", ""); got.Strokes.Or(0) != 9 {
		t.Errorf("strokes counted make %+v", got)
	}
	// Where strokes are told they are filled in, and so is a depth.
	byStrokes := model.Scrape{Limb: model.Upper, From: 0, To: 6, Tool: "scraper", Strokes: measure.Some(13)}
	if got := scraped(t, byStrokes, "", "", "", "", "", ""); got != byStrokes {
		t.Errorf("Enter alone makes %+v", got)
	}
	byDepth := model.Scrape{Limb: model.Upper, From: 0, To: 6, Tool: "scraper", Depth: measure.Some(measure.Length(0.025)), DepthShare: measure.Some(0.03)}
	if got := scraped(t, byDepth, "", "", "", "", "", ""); got.Depth != byDepth.Depth {
		t.Errorf("Enter alone makes %+v", got)
	}
}

// A stretch that ends at a nock between the rule's marks can be entered as it is.
func TestScrapeToANockBetweenTheMarks(t *testing.T) {
	bow := ash()
	bow.Limbs[model.Upper].Length = 33.47 // 33 1/2 by the rule
	s := ScrapeCut(storyOf(t, bow), model.Scrape{Limb: model.Upper, From: 28, To: 33.47, Tool: "scraper", DepthShare: measure.Some(0.02)})
	answered(t, s, "", "", "", "", "", "")
	out, err := s.Finish()
	if err != nil {
		t.Fatal(err)
	}
	if got := out.Event.(model.Scrape); got.To != 33.47 || got.DepthShare.Or(0) != 0.02 {
		t.Errorf("%+v", got)
	}
}
