package form

import (
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// scraped answers the form of a cut and gives the entry that it makes.
func scraped(t *testing.T, bow model.Bow, cut model.Scrape, given map[string]string) model.Scrape {
	t.Helper()
	return filled(t, ScrapeCut(storyOf(t, bow), cut), given).Event.(model.Scrape)
}

// Enter alone takes what was planned. What is not measured is taken as the planned share, only where limb and place are those of the plan and
// nothing else is said of how much came off.
func TestScrapeByThePlan(t *testing.T) {
	cut := model.Scrape{Limb: model.Lower, From: 8, To: 12, Tool: "rasp", DepthShare: measure.Some(0.042)}
	for _, given := range []map[string]string{
		{"limb": "upper"}, {"from": "9"}, {"strokes": "9"}, {"depth": "0.02"},
	} {
		if got := scraped(t, ash(), cut, given); got.DepthShare.Known() ||
			got.Strokes.Known() != (given["strokes"] != "") {
			t.Errorf("%v makes %+v", given, got)
		}
	}
	// Where strokes are told they are filled in, and so is a depth.
	byStrokes, byDepth := cut, cut
	byStrokes.Strokes, byStrokes.DepthShare = measure.Some(13), measure.Optional[float64]{}
	byDepth.Depth, byDepth.DepthShare = measure.Some(measure.Length(0.025)), measure.Optional[float64]{}
	// A stretch that ends at a nock between the rule's marks, 33 1/2 by the rule, can be entered as it is.
	bow, toNock := ash(), cut
	bow.Limbs[model.Lower].Length, toNock.To = 33.47, 33.47
	for _, want := range []model.Scrape{cut, byStrokes, byDepth, toNock} {
		if got := scraped(t, bow, want, nil); got != want {
			t.Errorf("Enter alone makes %+v, want %+v", got, want)
		}
	}
}
