package demo

import (
	"bytes"
	"flag"
	"os"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/model/record"
	"bendbook/model/treetest"
)

var update = flag.Bool("update", false, "make the shop's records anew")

// TestTheShopIsMadeByItsBowyers makes one bow again, whose maker asks for no verdict on the way; with -update
// it makes them all and writes the file anew. The seeds were chosen for their stories: where the verdict says
// something else than it did, another seed may be needed, and the other tests say so.
func TestTheShopIsMadeByItsBowyers(t *testing.T) {
	if *update {
		shop = nil
		for _, make := range []func(*testing.T) *bowyer{yew, ash, locust, elm, hickory} {
			shop = append(shop, line(t, make(t))...)
		}
		must(t, os.WriteFile("shop.jsonl", shop, 0o600))
	}
	if !bytes.Contains(shop, line(t, locust(t))) {
		t.Error("the locust that its bowyer makes is not the one in the file; -update makes the shop anew")
	}
}

// line is a bow as the file has it.
func line(t *testing.T, b *bowyer) []byte {
	t.Helper()
	var out bytes.Buffer
	must(t, record.WriteLine(&out, record.Record{Description: b.desc, Items: b.items}))
	t.Logf("%s: %d entries, %d bytes, until %s", b.desc.Bow.Name, len(b.items), out.Len(), b.at)
	return out.Bytes()
}

// longbow is the description of a bow in inches; both limbs are read at the same stations.
func longbow(id, name, wood string, upper, lower measure.Length, order model.Order) model.Bow {
	stations := []measure.Length{6, 8, 12, 16, 20, 24, 28, 32}
	order.Draw, order.DrawTo = measure.Some(measure.Length(28)), model.ToBelly
	order.Allow = measure.Some(measure.Force(2))
	return model.Bow{
		ID: id, Name: name, Wood: wood, Handle: 4, HandleDepth: measure.Some(measure.Length(1.25)),
		Section: model.SectionD, Order: order, Rule: 1.0 / 16, Scale: 0.2, Cradle: "clamped",
		Units: measure.Imperial(),
		Limbs: [2]model.Limb{{Length: upper, Stations: stations}, {Length: lower, Stations: stations}},
		Aim: model.Aim{Bend: aim.CompassName, TillerAt: measure.Some(measure.Length(8)),
			Tiller: measure.Some(measure.Length(0.25)), StiffTips: measure.Some(measure.Length(6))},
	}
}

func order(who string, weight measure.Force, due model.Day) model.Order {
	return model.Order{For: who, Weight: measure.Some(weight), Due: due}
}

func day(month time.Month, day, hour int) time.Time {
	return time.Date(2025, month, day, hour, 4, 11, 0, time.UTC)
}

// ash has two flats in its stave. One soon goes; the other lies where the grain dips, and tools bite there by
// half.
func ash(t *testing.T) *bowyer {
	bow := longbow("01K7ET6W50B82S9TS2Z8A0BN8H", "Ash for Wren", "ash", 34, 33,
		order("Wren", 40, "2025-12-02"))
	b := sit(t, 22, bow, 1.45, 0.035, day(time.October, 13, 12))
	b.stave.Step(model.Upper, 15, 22, 1.15)
	b.stave.Step(model.Lower, 13, 20, 1.35)
	b.weigh()
	b.tough = treetest.Scraping{Side: model.Upper, From: 15, To: 22, Loss: 0.7}
	b.share, b.rests = 0.6, []int{7, 10}
	b.measured()
	b.note("Straight stave. Grain dips in the upper limb, 15 to 22 in out; hard there under the shave.")
	b.add(model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09)})
	b.relaxed()
	b.brace()
	b.work(2)
	b.note("Scraper chatters over the dip. Turned a fresh edge.")
	b.work(3)
	b.note("Better, but still flat over the dip. No farther until it comes.")
	return b
}

// yew is worked by the verdict until it is close to its weight; then the scraper digs in beside a pin knot.
func yew(t *testing.T) *bowyer {
	bow := longbow("01K6A8AYY0JJT11RPPB3YPGWTM", "Yew for Hollis", "yew", 34, 33.5,
		order("Hollis", 45, "2025-11-09"))
	b := sit(t, 5, bow, 1.3, 0.07, day(time.September, 29, 8))
	b.note("Dry nine years. One pin knot in the upper limb, 21 in out.")
	b.relaxed()
	b.brace()
	b.work(5)
	b.rest()
	b.shave(plan.Cut{Stretch: estimate.Stretch{Side: model.Upper, From: 16, To: 24}, Loss: 0.25})
	b.note("Meant to clean up tool marks beside the pin knot. The scraper dug in; far too much came off.")
	b.work(0)
	b.note("Put it down. I'll write to Hollis before I touch it again.")
	return b
}

// locust is fresh on the long string.
func locust(t *testing.T) *bowyer {
	bow := longbow("01K8N10GK024WA304F9M6RVMC9", "Locust for Bram", "black locust", 34.5, 34,
		order("Bram", 50, "2026-01-16"))
	bow.Section, bow.HandleDepth = model.SectionRectangle, measure.Some(measure.Length(1.375))
	b := sit(t, 4, bow, 1.4, 0.04, day(time.October, 28, 9))
	b.note("Roughed to the pencil line. Back follows one ring from end to end.")
	b.add(model.Moisture{Where: model.ShopAir, Celsius: measure.Some(17.0), Humidity: measure.Some(0.5)})
	b.long = 73
	b.add(model.StringLength{Length: 73})
	b.add(model.Exercise{Pulls: 10})
	b.pull(8)
	b.pull(10)
	b.note("Long string. Nothing stands out yet. A little farther next time.")
	b.tell(b.judge())
	return b
}

// elm is metric, and half tillered when the horn runs out.
func elm(t *testing.T) *bowyer {
	cm := measure.Centimetre.Length
	bow := longbow("01K5RQJM60ZJWJY0YY9XAVAQA1", "Elm for Odile", "wych elm", cm(86), cm(84),
		order("Odile", measure.KilogramForce.Force(18), "2025-10-29"))
	bow.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	bow.Handle, bow.HandleDepth = cm(10), measure.Some(cm(3.1))
	bow.Rule, bow.Scale = cm(0.1), measure.KilogramForce.Force(0.1)
	bow.Order.Draw, bow.Order.Allow = measure.Some(cm(71)), measure.Some(measure.KilogramForce.Force(1))
	bow.Aim.TillerAt, bow.Aim.Tiller, bow.Aim.StiffTips =
		measure.Some(cm(20)), measure.Some(cm(0.6)), measure.Some(cm(15))
	var stations []measure.Length
	for _, at := range []float64{15, 20, 30, 40, 50, 60, 70, 80} {
		stations = append(stations, cm(at))
	}
	bow.Limbs[model.Upper].Stations, bow.Limbs[model.Lower].Stations = stations, stations
	b := sit(t, 5, bow, 1.4, 0.07, day(time.September, 22, 13))
	b.share = 0.8
	b.note("Back cleaned up well. Odile draws in gloves; the grip can stay full.")
	b.add(model.Relaxed{Readings: b.unstrung(0.6)})
	misread := b.items[len(b.items)-1].Entry.ID
	b.add(model.Void{Entry: misread, Why: "rule stood on its end, not on the nought"})
	b.relaxed()
	b.brace()
	b.far = float64(cm(56))
	b.work(3)
	b.note("Odile asks for buffalo horn at both ends; none here. No more at the tips until it comes.")
	b.add(model.Rack{Why: "horn on order"})
	b.tell(b.judge())
	return b
}

// hickory goes all the way.
func hickory(t *testing.T) *bowyer {
	bow := longbow("01K3G503W0SCYWMF2D8CAC5SPP", "Hickory for Tamsin", "hickory", 33.5, 33.5,
		order("Tamsin", 36, "2025-10-17"))
	bow.HandleDepth = measure.Some(measure.Length(1.125))
	b := sit(t, 6, bow, 1.35, 0.07, day(time.August, 25, 8))
	b.measured()
	b.share = 0.7
	b.note("White sapwood, one clear ring on the back. Heavy in the hand.")
	b.done(0, model.Finish{Step: "roughed out"})
	b.long, b.far = 72, 12
	b.add(model.StringLength{Length: 72})
	b.pull(8)
	b.pull(10)
	for _, side := range model.Sides {
		b.shave(plan.Cut{Stretch: estimate.Stretch{Side: side, From: 4, To: 28}, Loss: 0.12})
	}
	b.work(0)
	b.rest()
	b.far = 0
	b.brace()
	b.work(3)
	b.note("Bends well now. Nocks next, then the tips.")
	b.rest()
	b.done(0, model.Finish{Step: "horn nocks fitted"})
	b.leave(1)
	b.work(20)
	b.finish()
	return b
}

// finish takes a tillered bow to its customer.
func (b *bowyer) finish() {
	b.relaxed()
	b.leave(2)
	b.add(model.Exercise{Pulls: 60})
	b.note("Shot in: sixty arrows at short draw, a few at full. It stays even.")
	b.add(model.Finish{Step: "shot in"})
	b.done(1, model.Finish{Step: "filed"})
	b.done(0, model.Finish{Step: "scraped"})
	for _, grit := range []int{80, 120, 240} {
		b.done(0, model.Finish{Step: "sanded", Grit: measure.Some(grit)})
	}
	b.stave.Change(func() { b.times(37.3 / b.stave.Force(b.stave.Draw)) })
	b.braced(false)
	b.pull(28)
	b.pull(28)
	b.done(0, model.Finish{Step: "weighed"})
	bow := b.desc.Bow
	bow.Number = "47"
	edit, _, err := b.desc.EditTo(bow)
	must(b.t, err)
	b.add(edit)
	b.add(model.Finish{Step: "marked", Text: b.finishing().Mark.Or(finish.Mark{}).Text})
	b.done(1, model.Finish{Step: "handle"})
	b.done(3, model.Finish{Step: "varnish", Coat: measure.Some(1)})
	b.at = b.at.Add(25 * time.Hour)
	b.add(model.Finish{Step: "varnish", Coat: measure.Some(2)})
	b.done(3, model.Finish{Step: "nocks polished"})
	b.done(0, model.Finish{Step: "strung"})
	b.leave(2)
	b.note("Tamsin drew it to 27 and smiled. Back in a year for a look at the nocks.")
	b.add(model.Finish{Step: model.HandedOver})
	b.tell(b.judge())
}
