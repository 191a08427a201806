package form

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// measured is what a sheet of sizes makes of a story.
func measured(t *testing.T, story session.Story, s *Sheet) model.Bow {
	t.Helper()
	edit := must(s.Finish())(t).Event.(model.Edit)
	desc := must(story.Desc.Edited(edit))(t)
	same(t, "the entry says", session.Say(desc.Bow, edit), "widths and depths measured")
	return desc.Bow
}

// What is typed is measured, in any unit; Enter alone leaves a size out, or as it was known to the last digit.
func TestSizesAreTakenStationByStation(t *testing.T) {
	story := storyOf(t, ash())
	s := sizesSheet(story)
	answered(t, s, "0.87", "1 1/4", "", "30mm", "0.8")
	s.goTo(6) // the lower limb
	answered(t, s, "0.9", "1.25")
	bow := measured(t, story, s)
	check := func(what string, row []measure.Optional[measure.Length], want ...float64) {
		t.Helper()
		for i, w := range want {
			if got := float64(row[i].Or(0)); got < w-1e-9 || got > w+1e-9 {
				t.Errorf("%s %d is %v, want %v", what, i, got, w)
			}
		}
	}
	check("depth", bow.Limbs[model.Upper].Depths, 0.87, 0, 0.8)
	check("width", bow.Limbs[model.Upper].Widths, 1.25, 30/25.4, 0)
	check("lower depth", bow.Limbs[model.Lower].Depths, 0.9, 0, 0)

	bow.Limbs[model.Upper].Depths[1] = some(0.8123456789)
	again := storyOf(t, bow)
	s = sizesSheet(again)
	same(t, "known is", s.Was(2), "0.812")
	answered(t, s, "", "", "", "", "0.79")
	bow = measured(t, again, s)
	check("depth", bow.Limbs[model.Upper].Depths, 0.87, 0.8123456789, 0.79)
	check("width", bow.Limbs[model.Upper].Widths, 1.25, 30/25.4, 0)
}

func TestSizesThatCannotBeOrAreDoubtful(t *testing.T) {
	thick := ash()
	thick.Limbs[model.Upper].Depths = []measure.Optional[measure.Length]{some(0.9)}
	metric := thick
	metric.Units = measure.Units{Length: measure.Millimetre, Force: measure.Newton}
	for _, c := range []struct {
		bow     model.Bow
		typed   []string // the last of them is judged
		refused bool
		says    string
	}{
		{ash(), []string{"13"}, true, "12 in at most"},
		{ash(), []string{"0"}, true, "above 0"},
		{ash(), []string{"8.7"}, false, "a depth of 8.700 in is rare; most are 0.2 to 2.0 in"},
		{ash(), []string{"0.9"}, false, ""},
		{thick, []string{"0.95"}, false, "was 0.900, now 0.950, and wood does not grow back"},
		{metric, []string{"23.5"}, false, "was 22.86, now 23.50"},
		{metric, []string{"2.2"}, false, "most are 5 to 51 mm"},
		{ash(), []string{"0.9", "", "", "", "0.6"}, false, "0.900 at 6 in, and 0.600 here, is a steep step"},
	} {
		s, last := sizesSheet(storyOf(t, c.bow)), len(c.typed)-1
		answered(t, s, c.typed[:last]...)
		if got := s.Answer(c.typed[last]); got.State == Refused != c.refused ||
			!strings.Contains(got.Says, c.says) || c.says == "" && got.Says != "" {
			t.Errorf("%q in %s: %+v, want %q", c.typed, c.bow.Units.Length, got, c.says)
		}
	}
}
