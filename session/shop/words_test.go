package shop_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	practice "bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
)

func TestSayTellsEachEventInALine(t *testing.T) {
	share := scrape(model.Lower, 4, 12)
	share.Tool, share.Strokes, share.DepthShare = "", measure.Some(1), measure.Some(0.042)
	deep := scrape(model.Upper, 4, 12.5)
	deep.Strokes, deep.Depth = measure.Some(12), measure.Some[measure.Length](0.03)
	gaps := braced(row(6, unread), row(5.75))
	gaps.Block = &model.Block{Length: 6, At: []measure.Length{6}, Gaps: model.Readings{row(0.1)}}
	for _, c := range []struct {
		what model.Event
		want string
	}{
		{model.Relaxed{Readings: model.Readings{row(0, 0.25)}}, "relaxed, 2 readings to the line"},
		{model.Relaxed{}, "relaxed, nothing read to the line"},
		{model.StringLength{Length: 69.75}, "string 69 3/4 in between the nocks"},
		{gaps, "braced at 6 in, 2 readings to the string, 1 reading under a block of 6 in"},
		{pull(18.5, 21.4), "pull to 18 1/2 in: 21.4 lb"},
		{model.Pull{Draw: 18, Peak: measure.Some[measure.Force](21), Held: measure.Some(3240 * time.Millisecond)}, "pull to 18 in: 21.0 lb, held 3.2 s"},
		{pullRead(18, 1), "pull to 18 in, 2 readings to the line"},
		{deep, "scraped upper limb, 4 to 12 1/2 in, scraper, 12 strokes, 0.030 in deep"},
		{share, "scraped lower limb, 4 to 12 in, 1 stroke, 4.2% of the thickness"},
		{model.Exercise{Pulls: 1}, "exercised, 1 pull"}, {model.Exercise{Pulls: 20}, "exercised, 20 pulls"},
		{model.Finish{Step: "varnish\x1b[2J", Coat: measure.Some(2)}, "varnish[2J, coat 2"},
		{model.Note{Text: "one\ntwo\u202e"}, "note: one two"},
		{model.Void{Why: "wrong mark"}, "struck out: wrong mark"}, {model.Void{Why: "\u202e"}, "struck out: no reason given"},
		{model.Rack{Why: "horn"}, "set aside: horn"}, {model.Rack{InHand: true}, "taken in hand again"},
		{model.Edit{}, "description changed"},
		{model.Moisture{Where: model.ShopAir, Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)}, "moisture in the shop: air of 68 F, 50% relative humidity"},
		{model.Unknown{Name: "steamed\x07"}, "steamed (a kind of entry that this Bendbook does not know)"},
	} {
		if got := session.Say(ash(), c.what); got != c.want || plain.Line(got) != got {
			t.Errorf("%#v is told as %q, want %q", c.what, got, c.want)
		}
	}
}

func TestSayWhatIsOrdered(t *testing.T) {
	for _, c := range []struct {
		order model.Order
		want  string
	}{
		{model.Order{}, ""},
		{model.Order{For: "Wren\x1b", Weight: measure.Some[measure.Force](40)}, "for Wren, 40 lb"},
		{model.Order{Draw: measure.Some[measure.Length](28), DrawTo: model.ToBack}, "28 in to the back"},
		{
			model.Order{For: "Wren", Weight: measure.Some[measure.Force](40.5), Allow: measure.Some[measure.Force](2), Draw: measure.Some[measure.Length](28), DrawTo: model.ToPivot, Due: "2027-02-01"},
			"for Wren, 40.5 lb ± 2 at 28 in by the published standard (pivot point + 1 3/4 in), due 2027-02-01",
		},
	} {
		bow := ash()
		bow.Order = c.order
		same(t, "the order", session.SayOrder(bow, date.ISO), c.want)
	}
	same(t, "a pull without a peak", session.SayPeak(ash(), pullRead(18)), "pulled to 18 in")
}

func TestATextBeginsWithACapitalInAnyTongue(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "braced": "Braced", "3 pulls": "3 pulls", "über 28": "Über 28", "ǆep": "ǅep", "弓": "弓", "\xff": "\xff",
	} {
		same(t, text, session.Capital(text), want)
	}
}

// SayAim has words for every aim, not just its name in a record.
func TestEveryAimHasWords(t *testing.T) {
	for _, name := range aim.Names() {
		if called, how := session.SayAim(name); called == "" || how == name {
			t.Errorf("the aim %s is called %q, and the limbs are to bend %q", name, called, how)
		}
	}
}

// written is the bow's record as export writes it.
func (w *workshop) written(t rapid.TB, id string) string {
	t.Helper()
	story := need(w.Story(id))(t)
	var b strings.Builder
	must(t, record.Write(&b, story.Record()))
	return b.String()
}

// A bow that is kept in inches is shown in the shop's units, no finer than those are read. Its record stays as it
// is, also on its way to another book.
func TestABowIsShownInTheShopsUnitsAndKeptInItsOwn(t *testing.T) {
	w, bench := atBench(t)
	id := bench.Story().Bow().ID
	must(t, bench.Add(pull(20, 30), ""))
	before := w.written(t, id)
	settings := practice.Usual()
	settings.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	must(t, w.KeepSettings(settings))
	story := need(w.Story(id))(t)
	bow := story.Bow()
	same(t, "20 in and 30 lb", bow.Ruler().WithUnit(20)+", "+bow.Weigher().WithUnit(30), "50.8 cm, 13.6 kg")
	same(t, "an earlier story", story.Until(story.Sessions[0]).Before("none").Bow().Units, bow.Units)
	if said := session.Say(bow, model.Moisture{Where: model.ShopAir, Celsius: measure.Some(20.0)}); !strings.Contains(said, "air of 20 C") {
		t.Errorf("warmth is told as %q", said)
	}
	if rows, err := w.Rack(); err != nil || rows[0].Bow.Units != bow.Units {
		t.Errorf("the rack tells it in %v (%v), want %v", rows[0].Bow.Units, err, bow.Units)
	}
	same(t, "looked at in other units the record", w.written(t, id), before)
	bench = need(w.Bench(id))(t)
	w.wait(time.Minute)
	redescribe(t, bench, func(bow *model.Bow) { bow.Wood = "yew" })
	must(t, bench.Add(pull(22, 34.5), ""))
	items := bench.Story().Lines
	same(t, "a change of the wood alone", string(items[1].Entry.What.(model.Edit).Set), `{"wood":"yew"}`)
	other := newWorkshop(3)
	first := w.written(t, id)
	other.imported(t, first)
	same(t, "imported and exported it", other.written(t, id), first)
	if got := string(items[2].Doc); !strings.Contains(got, `"draw":22,"peak":34.5`) {
		t.Errorf("a pull is written %s, want inches and pounds", got)
	}
}
