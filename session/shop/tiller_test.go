package shop_test

import (
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// The upper limb's gap to the string is wider by 1/4 in at 8 in: common practice, no published source.
func TestTillerOfCommonPractice(t *testing.T) {
	w, bench := atBench(t, braced(row(6.0625, 5.625, 5.0625), row(5.875, 5.375, 4.75)))
	tiller, ok := bench.Story().TillerOf(0)
	if !ok {
		t.Fatal("there is no tiller")
	}
	want := []session.Gap{{At: 6, Difference: 0.1875}, {At: 8, Difference: 0.25}, {At: 12, Difference: 0.3125}}
	same(t, "gaps", tiller.Gaps, want)
	if off, ok := tiller.OffAim(); !ok || off != 0 {
		t.Errorf("the tiller is %v off the aim (%t), want the wanted 1/4 in", off, ok)
	}
	w.add(t, bench, scrape(model.Lower, 4, 12), braced(row(6, 5.5, 5), row(6, 5.5, 5)))
	tiller, _ = bench.Story().TillerOf(1)
	if off, ok := tiller.OffAim(); !ok || off != -0.25 || tiller.Pass != 1 {
		t.Errorf("limbs that bend alike are %v off the aim in pass %d, want -1/4 in pass 1: the upper is too stiff", off, tiller.Pass)
	}
	if tiller, ok = bench.Story().TillerOf(0); !ok || tiller.Pass != 0 || len(tiller.Gaps) != 3 {
		t.Errorf("the tiller up to pass 0 is %+v", tiller)
	}
}

func TestTillerNeedsBothLimbsAndTheString(t *testing.T) {
	for _, c := range []struct {
		name   string
		event  model.Event
		ok     bool
		offAim bool
	}{
		{"both limbs", braced(row(6, 5), row(6, 5)), true, true},
		{"upper only", braced(row(6, 5), nil), false, false},
		{"not at the aim's station", braced(row(6, unread, 5), row(6, 5, 5)), true, false},
		{"to the line", model.Braced{From: model.FromLine, Readings: model.Readings{row(6, 5), row(6, 5)}}, false, false},
		{"drawn", pullRead(20, 6, 5), false, false},
	} {
		tiller, ok := told(t, c.event).TillerOf(0)
		if _, off := tiller.OffAim(); ok != c.ok || off != c.offAim {
			t.Errorf("%s: tiller %t, off the aim %t; want %t, %t", c.name, ok, off, c.ok, c.offAim)
		}
	}
}

func TestTillerStationIsTheAimsOrTheSharedOneNearestToEight(t *testing.T) {
	cm := measure.Centimetre.Length
	for _, c := range []struct {
		name         string
		at           measure.Length
		upper, lower []measure.Length
		want         measure.Length
	}{
		{"the aim's own", 10, []measure.Length{6, 8, 10}, []measure.Length{6, 8, 10}, 10},
		{"inches", 0, []measure.Length{6, 8, 12}, []measure.Length{6, 8, 12}, 8},
		{"centimetres", 0, []measure.Length{cm(15), cm(20), cm(30)}, []measure.Length{cm(15), cm(20), cm(30)}, cm(20)},
		{"on one limb only", 0, []measure.Length{6, 8, 8.5}, []measure.Length{6, 8.5}, 8.5},
		{"none near", 0, []measure.Length{4, 12}, []measure.Length{4, 12}, 8},
	} {
		bow := ash()
		if bow.Aim.TillerAt = measure.Some(c.at); c.at == 0 {
			bow.Aim.TillerAt = measure.Optional[measure.Length]{}
		}
		bow.Limbs[model.Upper].Stations, bow.Limbs[model.Lower].Stations = c.upper, c.lower
		same(t, c.name, session.TillerAt(bow), c.want)
	}
}

func TestStationsOfBothLimbsTogether(t *testing.T) {
	bow := ash()
	bow.Limbs[model.Upper].Stations = []measure.Length{4, 8, 8.02, 16}
	bow.Limbs[model.Lower].Stations = []measure.Length{6, 8.01, 12, 16, 20}
	want := []session.Station{
		{At: 4, Index: [2]int{0, -1}}, {At: 6, Index: [2]int{-1, 0}}, {At: 8, Index: [2]int{1, 1}},
		{At: 8.02, Index: [2]int{2, -1}}, {At: 12, Index: [2]int{-1, 2}}, {At: 16, Index: [2]int{3, 3}},
		{At: 20, Index: [2]int{-1, 4}},
	}
	same(t, "stations", session.Stations(bow), want)
}

// Wood Handbook (FPL-GTR-190, -282), table 4-2 (read): 70 °F and 65 % give 12.0 %, 70 °F and 30 % give 6.2 %. Ch. 5 (from memory), computed
// independently: white ash of 12,000 MPa has 11436.54 MPa at 15 %, 12794.69 at 8 %. The table's 1.74e6 psi is 11,997 MPa.
func TestAShopsAirAndTheCustomers(t *testing.T) {
	w, bench := atBench(t)
	if got := bench.Story().Weather(); got.Shop.Known() || got.Home.Known() || len(got.Say(ash())) != 0 {
		t.Errorf("nothing was measured, but %+v", got)
	}
	air := func(where model.Air, fahrenheit, humidity float64) model.Moisture {
		return model.Moisture{Where: where, Celsius: measure.Some((fahrenheit - 32) / 1.8), Humidity: measure.Some(humidity)}
	}
	w.add(t, bench, air(model.ShopAir, 70, 0.65), air(model.HomeAir, 70, 0.30))
	got := bench.Story().Weather()
	if math.Abs(known(t, "the shop's", got.Shop)-0.120) > 0.0006 || math.Abs(known(t, "the customer's", got.Home)-0.062) > 0.0006 || got.ByMeter {
		t.Errorf("%+v", got)
	}
	w.add(t, bench, model.Moisture{Where: model.ShopAir, Content: measure.Some(0.15)}, model.Moisture{Where: model.HomeAir, Content: measure.Some(0.08)})
	got = bench.Story().Weather()
	if change := known(t, "the change", got.Change); math.Abs(change-(12794.69/11436.54-1)) > 2e-4 || !got.ByMeter {
		t.Errorf("a bow tillered at 15 %% and shot at 8 %% changes by %v", change)
	}
	// 40 lb and 11.9 % more.
	said := strings.Join(got.Say(ash()), " ")
	if !strings.Contains(said, "A bow of 40 lb becomes about 44.7 lb there (+11.9%)") || !strings.Contains(said, "caution") {
		t.Error(said)
	}
	redescribe(t, bench, func(bow *model.Bow) { bow.Wood = "whitebeam" })
	if said := strings.Join(bench.Story().Weather().Say(bench.Story().Bow()), " "); !strings.Contains(said, "no figure for how moisture changes this wood") {
		t.Error(said)
	}
}
