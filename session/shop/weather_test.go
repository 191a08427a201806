package shop_test

import (
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// Wood Handbook (FPL-GTR-190, -282), table 4-2 (read): 70 °F and 65 % give 12.0 %, 70 °F and 30 % give 6.2 %. Ch. 5 (from memory), computed
// independently: white ash of 12,000 MPa has 11436.54 MPa at 15 %, 12794.69 at 8 %. The table's 1.74e6 psi is 11,997 MPa.
func TestAShopsAirAndTheCustomers(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
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
	if said := strings.Join(got.Say(ash()), " "); !strings.Contains(said, "A bow of 40 lb becomes about 44.7 lb there (+11.9 %)") || !strings.Contains(said, "caution") {
		t.Error(said)
	}
	if _, err := bench.Undo(); err != nil {
		t.Fatal(err)
	}
	if got := bench.Story().Weather(); math.Abs(known(t, "the customer's", got.Home)-0.062) > 0.0006 {
		t.Errorf("what was undone still counts: %+v", got)
	}
	bow := ash()
	bow.Wood = "whitebeam"
	other := w.bench(t, bow)
	w.add(t, other, model.Moisture{Where: model.ShopAir, Content: measure.Some(0.15)}, model.Moisture{Where: model.HomeAir, Content: measure.Some(0.08)})
	if said := strings.Join(other.Story().Weather().Say(bow), " "); !strings.Contains(said, "not known here") {
		t.Error(said)
	}
}
