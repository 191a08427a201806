package shop_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	practice "bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// toldOf is what the rack tells of the verdict on the only bow of a shop.
func toldOf(t *testing.T, s *shop.Shop) verdict.Verdict {
	t.Helper()
	rows, err := s.Rack()
	if must(t, err); len(rows) != 1 {
		t.Fatalf("the rack has %d rows", len(rows))
	}
	return rows[0].Verdict
}

// reopened is the same book opened anew, of which only the cached rows can be read.
func (w *workshop) reopened(t *testing.T, id string) *shop.Shop {
	t.Helper()
	w.KeepRows()
	w.book.Damage = map[string]error{id: errDamaged}
	t.Cleanup(func() { w.book.Damage = nil })
	return shop.Open(w.book, shop.Options{Now: func() time.Time { return w.time }})
}

// says is what is said of a bow, which is all that a list shows.
func says(v verdict.Verdict) [4]string { return [4]string{string(v.Do), v.Word, v.Say, v.Why} }

// What was worked out of a bow at the tree stays in the book, for the rack to show when it is opened again.
func TestAVerdictIsKeptWithTheRow(t *testing.T) {
	w, bench := atBench(t, pull(10, 20), braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)))
	same(t, "before anything was worked out the rack says", toldOf(t, w.Shop).Do, "")
	v := w.judge(t, bench)
	if v.Do != verdict.Scrape || v.Why == "" {
		t.Fatalf("the verdict is %+v", v)
	}
	same(t, "the rack", says(toldOf(t, w.Shop)), says(v))
	same(t, "opened anew", says(toldOf(t, w.reopened(t, bench.Story().Bow().ID))), says(v))
}

// An entry makes the verdict of before void, on the rack and in the book; a verdict that comes late, too.
func TestAVerdictIsGoneAfterAnEntry(t *testing.T) {
	w, bench := atBench(t, pull(10, 20), braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)))
	before, v := bench.Story(), w.judge(t, bench)
	w.add(t, bench, scrape(model.Upper, 4, 12))
	same(t, "the rack says", toldOf(t, w.Shop).Do, "")
	late := need(verdict.Of(before, verdict.Usual(), nil))(t)
	w.Judged(late, v)
	same(t, "the rack says", toldOf(t, w.Shop).Do, "")
	same(t, "the rack says", toldOf(t, w.reopened(t, before.Bow().ID)).Do, "")
	w.book.Damage = nil
	same(t, "worked out again", w.judge(t, bench).Do, verdict.Exercise)
	undo(t, bench)
	same(t, "the rack says", toldOf(t, w.Shop).Do, "")
}

// A sentence in inches is not shown to a shop that reads centimetres, nor one for a weight that is wanted no
// more.
func TestAVerdictIsOfItsUnitsAndWeight(t *testing.T) {
	w, bench := atBench(t, pull(10, 20), braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)))
	v := w.judge(t, bench)
	metric, gentle := practice.Usual(), practice.Usual()
	metric.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	gentle.Allowances.Sanding = 7.5
	for what, other := range map[string]practice.Settings{"other units": metric, "another allowance": gentle} {
		must(t, w.KeepSettings(other))
		same(t, "the rack says with "+what, toldOf(t, w.Shop).Do, "")
		must(t, w.KeepSettings(practice.Usual()))
		same(t, "as before", says(toldOf(t, w.Shop)), says(v))
	}
	must(t, w.KeepSettings(metric))
	again := w.judge(t, bench)
	if !strings.Contains(v.Why, " in") || !strings.Contains(again.Why, " cm") {
		t.Errorf("in inches it says %q, in centimetres %q", v.Why, again.Why)
	}
	same(t, "worked out in centimetres", says(toldOf(t, w.Shop)), says(again))
}

// What can be done today and what dries until when: a coat of five in the afternoon dries until five the next
// day.
func TestWhatCanBeDoneToday(t *testing.T) {
	w := newWorkshop(1)
	coat := func(n int) model.Finish { return model.Finish{Step: "varnish", Coat: measure.Some(n)} }
	finished := []model.Event{pull(28, 42), sanded(), pull(28, 41), finish("marked"), finish("handle")}
	back := []model.Event{finish(model.HandedOver), model.Rack{InHand: true}}
	varnished := append(finished[:5:5], coat(1))
	w.time = monday.Add(-72 * time.Hour) // its varnish is dry
	w.made(t, func(bow *model.Bow) { bow.Name = "done" }, slices.Concat(varnished, []model.Event{coat(2)}, back,
		[]model.Event{pull(28, 40), finish("handle")})...)
	w.time = monday.Add(8 * time.Hour)
	bows := map[string][]model.Event{
		"to varnish": finished, "at the tree": {pull(10, 20)}, "aside": {model.Rack{Why: "horn"}},
		"away": back[:1], "back": back,
	}
	w.made(t, func(bow *model.Bow) { bow.Name = "varnished" }, varnished...)
	for name, events := range bows {
		w.made(t, func(bow *model.Bow) { bow.Name = name }, events...)
	}
	type can struct {
		today bool
		word  string
	}
	today := func() map[string]can {
		rows := need(w.Rack())(t)
		all := make(map[string]can)
		for _, row := range rows {
			all[row.Bow.Name] = can{row.Today, row.Verdict.Word}
			if row.Verdict.Word == "DRYING" {
				same(t, "it dries until", row.From, monday.Add(32*time.Hour+6*time.Minute))
			} else if row.Today && row.From.After(w.time) {
				t.Errorf("%s can be gone on with today, and dries until %v", row.Bow.Name, row.From)
			}
		}
		return all
	}
	want := map[string]can{
		"varnished": {false, "DRYING"}, "at the tree": {true, ""}, "aside": {false, "ASIDE"},
		"to varnish": {true, "VARNISH 1"}, "away": {false, "HANDED OVER"}, "back": {true, "LOOK IT OVER"},
		"done": {true, "HAND OVER"},
	}
	same(t, "on Monday at six", today(), want)
	w.time = monday.Add(24 * time.Hour)
	want["varnished"] = can{true, "DRYING"} // today, but at five
	same(t, "on Tuesday morning", today(), want)
	w.time = monday.Add(34 * time.Hour)
	want["varnished"] = can{true, "VARNISH 2"}
	same(t, "on Tuesday evening", today(), want)
}

// A bow that came back can be looked over today, also where the shop's list ends with the handing over.
func TestABowThatCameBackIsLookedOverToday(t *testing.T) {
	w, _ := atBench(t, finish(model.HandedOver), model.Rack{InHand: true})
	must(t, w.SetSettings([]byte(`{"format":"bendbook/shop","version":1,"stages":[
		{"name":"tillered","seen":"at weight"}, {"name":"handed over","seen":"handed over"}]}`)))
	rows, err := w.Rack()
	if must(t, err); !rows[0].Today || rows[0].Verdict.Word != "LOOK IT OVER" {
		t.Errorf("today %t, %q", rows[0].Today, rows[0].Verdict.Say)
	}
}

// inSituation has the bow of a situation that the verdict is held to on the bench, without its last entries.
func inSituation(t *testing.T, title string, without int) (*workshop, *shop.Bench) {
	t.Helper()
	rec := booktest.Situation(t, title)
	rec.Items = rec.Items[:len(rec.Items)-without]
	w := newWorkshop(1)
	must(t, w.Import(strings.NewReader(booktest.Written(t, rec)), func(shop.Imported) {}))
	bench := need(w.Bench(rec.Bow.ID))(t)
	return w, bench
}

// sanded is the last sanding, with the finest grit.
func sanded() model.Event { return model.Finish{Step: "sanded", Grit: measure.Some(240)} }

// doubt is why a stage of the shop's list would rather not be logged now.
func doubt(t *testing.T, bench *shop.Bench, stage string) string {
	t.Helper()
	f := need(bench.Finishing())(t)
	for i, s := range f.Progress.Stages {
		if s.Name == stage {
			return bench.Doubt(f, i)
		}
	}
	t.Fatalf("the shop's list has no %s", stage)
	return ""
}

// The upper tip is half again as stiff as it should be, and its nock is not on yet.
func TestNocksOnAStiffTipAskFirst(t *testing.T) {
	_, ash := inSituation(t, "nocks on, and the tips are a third stiff", 1)
	if got := doubt(t, ash, "horn nocks fitted"); !strings.HasPrefix(got, "Upper limb, ") ||
		!strings.Contains(got, "too stiff") || !strings.HasSuffix(got, "Work the tips down first?") {
		t.Errorf("nocks on a stiff tip: %q", got)
	}
}

func TestAStageThatTheReadingsContradictAsksFirst(t *testing.T) {
	w, ash := inSituation(t, "the upper limb is stiff from 14 to 22 in", 0)
	v := w.judge(t, ash)
	got := doubt(t, ash, "filed")
	if !strings.HasPrefix(v.Say, "Scrape the upper limb") || !strings.Contains(got, "too stiff") {
		t.Errorf("filed while the readings say scrape: %q", got)
	}
	same(t, "filed", got, v.Say+" "+v.Why)
	must(t, ash.Add(finish("horn nocks fitted"), ""))
	must(t, ash.Add(finish("filed"), "")) // the maker knows better
	same(t, "off the tree", doubt(t, ash, "scraped"), "")
}

// Horn nocks are fitted before the last tillering: that alone is no reason to ask.
func TestNocksOnEvenTipsAreNoReasonToAsk(t *testing.T) {
	_, even := inSituation(t, "at its draw twice, right and even", 0)
	same(t, "an even bow", doubt(t, even, "horn nocks fitted"), "")
}

func TestACoatBeforeSandingAsksFirst(t *testing.T) {
	w, bench := atBench(t, pull(28, 42), finish("filed"), finish("scraped"))
	if got := doubt(t, bench, "varnish"); !strings.HasPrefix(got, "Not done before it: sanded, ") {
		t.Errorf("%q", got)
	}
	// One stage that takes wood is enough, however short the list.
	must(t, w.SetSettings([]byte(`{"format":"bendbook/shop","version":1,"stages":[
		{"name":"tillered","seen":"at weight"}, {"name":"sanded","takes_wood":true},
		{"name":"varnish","coats":1}, {"name":"handed over","seen":"handed over"}]}`)))
	bench = w.made(t, func(*model.Bow) {}, pull(28, 42), finish("tillered"))
	same(t, "a coat", doubt(t, bench, "varnish"), "Not done before it: sanded.")
	w.add(t, bench, finish("sanded"))
	same(t, "a coat on a sanded bow", doubt(t, bench, "varnish"), "")
}

// First use takes a pound of what the finished bow weighs, and the mark is rounded down (common practice).
func TestAMarkFarOffTheOrderAsksFirst(t *testing.T) {
	for _, c := range []struct {
		finished measure.Force
		want     string
	}{
		{41, ""}, {40.2, ""}, {42.5, ""},
		{39.9, "The mark would say 38 lb; 40 lb was ordered."},
		{43.1, "The mark would say 42 lb; 40 lb was ordered."},
	} {
		_, bench := atBench(t, pull(28, 42), sanded(), pull(28, c.finished))
		same(t, "the mark", doubt(t, bench, "marked"), c.want)
	}
	_, unordered := atBench(t, pull(28, 42), sanded(), pull(28, 30))
	redescribe(t, unordered, func(bow *model.Bow) { bow.Order.Weight = measure.Optional[measure.Force]{} })
	same(t, "no weight was ordered", doubt(t, unordered, "marked"), "")
}
