package report

import (
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

// longbow is 68 in + 4 in of handle = 72 in nock to nock, ordered 40 lb at 28 in.
func longbow(name, number string) model.Bow {
	limb := model.Limb{Length: 34, Stations: []measure.Length{8, 16, 24}}
	return model.Bow{
		Name: name, Wood: "ash", Number: number, Section: model.SectionD, Units: measure.Imperial(), Handle: 4,
		Limbs: [2]model.Limb{limb, limb},
		Order: model.Order{
			Draw: measure.Some[measure.Length](28), DrawTo: model.ToBelly, Weight: measure.Some[measure.Force](40),
		},
		Aim: model.Aim{TillerAt: measure.Some[measure.Length](8), Tiller: measure.Some[measure.Length](0.25)},
	}
}

// What finishing took is the weight on the tree less the finished bow's, and what use took the finished bow's
// less that of the bow that came back: 42, 41 and 40 lb. The other bow was only described.
func TestBowsStandSideBySide(t *testing.T) {
	scrape := func(strokes int) model.Scrape {
		return model.Scrape{Limb: model.Upper, From: 8, To: 16, Tool: "scraper", Strokes: measure.Some(strokes)}
	}
	braced := func(height measure.Length) model.Event {
		return model.Braced{Height: measure.Some(height), From: model.FromString}
	}
	w := newWorkshop(t, longbow("Ash", "7"))
	w.add(t, braced(5.5), at28(46), scrape(20), model.Exercise{Pulls: 15}, scrape(500))
	done, err := w.bench.Last(false) // a scraping that was never done
	must(t, err)
	must(t, done.Do())
	w.add(t, braced(6), at28(42), model.StringLength{Length: 69},
		model.Finish{Step: "horn nocks fitted"}, model.Finish{Step: "sanded"}, at28(41),
		model.Finish{Step: model.HandedOver}, model.Rack{InHand: true}, at28(40))
	stories := []session.Story{w.story()}
	w.begin(t, longbow("Elm", ""))
	stories = append(stories, w.story())
	for _, c := range []struct {
		units measure.Units
		want  map[string][2]string
	}{
		{measure.Imperial(), map[string][2]string{
			"number": {"7", ""}, "wood": {"ash", "ash"}, "section": {"D", "D"}, "length": {"72 in", "72 in"},
			"limbs": {"34, 34", "34, 34"}, "order": {"40 lb", "40 lb"}, "draw": {"28 in belly", "28 in belly"},
			"stage": {"came back", "new"}, "passes": {"1", "0"}, "scrapes": {"1", ""}, "strokes": {"20", ""},
			"exercise": {"15", ""}, "set taken": {"", ""}, "on the tree": {"42.0 lb", ""},
			"finished": {"41.0 lb", ""}, "after use": {"40.0 lb", ""}, "finishing took": {"1.0 lb", ""},
			"use took": {"1.0 lb", ""}, "stamped": {"", ""}, "tiller": {"+1/4 at 8", "+1/4 at 8"},
			"brace height": {"6 in", ""}, "string": {"69 in", ""},
		}},
		// 72 in are 182.9 cm and 42 lb are 19.05 kg, shown to 0.1, whatever the record is kept in.
		{measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}, map[string][2]string{
			"length": {"182.9 cm", "182.9 cm"}, "on the tree": {"19.1 kg", ""}, "strokes": {"20", ""},
		}},
	} {
		settings := finish.Usual()
		settings.Units = c.units
		must(t, w.KeepSettings(settings))
		lines, err := Compare(w.Shop, stories)
		must(t, err)
		found := 0
		for _, line := range lines {
			want, asked := c.want[line.Name]
			if asked {
				found++
			}
			if asked && !slices.Equal(line.Cells, want[:]) {
				t.Errorf("in %s: %s is %q, want %q", c.units.Length, line.Name, line.Cells, want)
			}
		}
		if found != len(c.want) {
			t.Errorf("in %s: %d of %d figures are shown", c.units.Length, found, len(c.want))
		}
	}
}

func TestAKindOfBowIsSaidInASentence(t *testing.T) {
	took := func(mean, low, high float64, count int) finish.Allowance {
		return finish.Allowance{Mean: mean, Low: low, High: high, Count: count}
	}
	kind := shop.Kind{
		Wood: "yew", Section: model.SectionD, Count: 3, Passes: 6, Strokes: 230,
		Set: measure.Some[measure.Length](0.5), Units: measure.Imperial(),
		Takes: finish.Allowances{Sanding: took(0.03, -0.01, 0.06, 3), Settling: took(0.02, 0.01, 0.03, 2)},
	}
	const want = "yew, section D: 3 finished, 6 passes, 230 strokes, 1/2 in of set (the middle one of each); " +
		"finishing takes 3.0% (0.0 to 6.0, from 3), first use 2.0% (1.0 to 3.0, from 2)"
	if got := SayKind(kind); got != want {
		t.Errorf("said\n%q, want\n%q", got, want)
	}
	if got := SayKind(shop.Kind{Units: measure.Imperial()}); len(got) < 15 || got[:15] != "wood not named:" {
		t.Errorf("of no wood: %q", got)
	}
}
