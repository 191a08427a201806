package shop_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	practice "bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/booktest"
)

// metric has a shop work in centimetres and kilograms, whatever its bows are kept in.
func (w *workshop) metric(t testing.TB) {
	t.Helper()
	settings := practice.Usual()
	settings.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	must(t, w.KeepSettings(settings))
}

// written is the bow's record as export writes it.
func (w *workshop) written(t testing.TB, id string) string {
	t.Helper()
	rec, err := w.Export(id)
	must(t, err)
	return booktest.Written(t, rec)
}

// A bow that is kept in inches is shown in the shop's units, told no finer than those are read, and its record
// stays as it is, and travels so.
func TestABowIsShownInTheShopsUnitsAndKeptInItsOwn(t *testing.T) {
	w, bench := atBench(t)
	id := bench.Story().Bow().ID
	must(t, bench.Add(pull(20, 30), ""))
	before := w.written(t, id)
	w.metric(t)
	story, err := w.Story(id)
	must(t, err)
	bow := story.Bow()
	if got, want := bow.Ruler().WithUnit(20)+", "+bow.Weigher().WithUnit(30), "50.8 cm, 13.6 kg"; got != want {
		t.Errorf("20 in and 30 lb are shown as %s, want %s", got, want)
	}
	if got := story.Until(story.Sessions[0]).Without("none").Bow().Units; got != bow.Units {
		t.Errorf("an earlier story is told in %v, want %v", got, bow.Units)
	}
	if said := session.Say(bow, model.Moisture{Where: model.ShopAir, Celsius: measure.Some(20.0)}); !strings.Contains(said, "air of 20 C") {
		t.Errorf("warmth is told as %q", said)
	}
	if rows, err := w.Rack(); err != nil || rows[0].Bow.Units != bow.Units {
		t.Errorf("the rack tells it in %v (%v), want %v", rows[0].Bow.Units, err, bow.Units)
	}
	if after := w.written(t, id); after != before {
		t.Errorf("looked at in other units the record is\n%s\nwant\n%s", after, before)
	}
	if bench, err = w.Bench(id); err != nil {
		t.Fatal(err)
	}
	w.wait(time.Minute)
	changed := bench.Story().Bow()
	changed.Wood = "yew"
	must(t, bench.Redescribe(changed, ""))
	must(t, bench.Add(pull(22, 34.5), ""))
	items := bench.Story().Lines
	if got, want := string(items[1].Entry.What.(model.Edit).Set), `{"wood":"yew"}`; got != want {
		t.Errorf("a change of the wood alone sets %s, want %s", got, want)
	}
	other := newWorkshop(3)
	first := w.written(t, id)
	other.imported(t, first)
	if got := other.written(t, id); got != first {
		t.Errorf("imported and exported it is\n%s\nwant\n%s", got, first)
	}
	if got := string(items[2].Doc); !bytes.Contains([]byte(got), []byte(`"draw":22,"peak":34.5`)) {
		t.Errorf("a pull is written %s, want inches and pounds", got)
	}
}
