package finish

import (
	"math"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// at is a time of the first days of February 2027, a Monday to begin with.
func at(day, hour int) time.Time { return time.Date(2027, 2, day, hour, 0, 0, 0, time.UTC) }

func step(day, hour int, name string) Fact { return Fact{What: Step, At: at(day, hour), Step: name} }

func coat(day, hour, n int) Fact {
	return Fact{What: Step, At: at(day, hour), Step: "varnish", Coat: n}
}

func sanded(day, hour, grit int) Fact {
	return Fact{What: Step, At: at(day, hour), Step: "sanded", Grit: grit}
}

func weighing(day, hour int, weight measure.Force) Fact {
	return Fact{What: Weighing, At: at(day, hour), Weight: weight}
}

// life is a bow's way for an order of 35 lb: what it waits for after each fact, and the earliest handover, by
// hand. Two coats a day apart, the nocks before the last tillering and the pound for finishing and the pound
// for first use are common practice.
var life = []struct {
	fact     Fact
	waits    string
	handover time.Time // if all else is done as soon as can be
	coats    int       // still to come
}{
	{step(1, 8, "roughed out"), "floor tiller", at(3, 8), 2},
	{Fact{What: Pulled, At: at(1, 9)}, "braced", at(3, 9), 2},
	{Fact{What: Braced, At: at(1, 10)}, "horn nocks fitted", at(3, 10), 2},
	{weighing(1, 11, 44), "horn nocks fitted", at(3, 11), 2}, // too heavy
	{Fact{What: Scraping, At: at(1, 12)}, "horn nocks fitted", at(3, 12), 2},
	{step(1, 13, "horn nocks fitted"), "tillered", at(3, 13), 2},
	{weighing(1, 14, 37), "shot in", at(3, 14), 2},
	{Fact{What: Shot, At: at(1, 14)}, "filed", at(3, 14), 2},
	{step(1, 15, "Filed"), "scraped", at(3, 15), 2},
	{sanded(1, 16, 80), "sanded, grit 120", at(3, 16), 2}, // scraped was passed
	{sanded(1, 17, 240), "weighed", at(3, 17), 2},
	{weighing(1, 18, 36), "marked", at(3, 18), 2},
	{step(1, 19, "marked"), "handle", at(3, 19), 2},
	{step(2, 8, "handle"), "varnish, coat 1", at(4, 8), 2},
	{coat(2, 9, 1), "varnish, coat 2", at(4, 9), 1}, // dry on the 3rd at 9, the second on the 4th
	{sanded(3, 10, 400), "varnish, coat 2", at(4, 10), 1},
	{coat(3, 11, 2), "nocks polished", at(4, 11), 0},
	{step(4, 12, "strung"), "handed over", at(4, 12), 0},
	{step(4, 13, "handed over"), "", time.Time{}, 0},
	{Fact{What: Back, At: at(25, 9)}, "weighed again", at(25, 9), 0},
	{weighing(25, 10, 35), "", at(25, 10), 0},
}

func TestABowsWayByCommonPractice(t *testing.T) {
	s := Usual()
	var log Log
	for _, step := range life {
		log = append(log, step.fact)
		p := s.Progress(log, wantedFor(35), step.fact.At)
		if p.Waits() != step.waits || !p.Handover.Equal(step.handover) || p.CoatsLeft != step.coats {
			t.Errorf("after %+v it waits for %q, %d coats, earliest %v; want %q, %d, %v", step.fact,
				p.Waits(), p.CoatsLeft, p.Handover, step.waits, step.coats, step.handover)
		}
	}
	first, present := s.Weighings(log)
	if first != present {
		t.Errorf("one life, but %+v and %+v", first, present)
	}
	if sanding := first.Sanding().Or(0); math.Abs(sanding-1.0/36) > 1e-12 {
		t.Errorf("sanding took %v of what is left, 36 of 37", sanding)
	}
	if settling := first.Settling().Or(0); math.Abs(settling-1.0/35) > 1e-12 {
		t.Errorf("first use took %v of what is left, 35 of 36", settling)
	}
}

func TestACoatDriesADay(t *testing.T) {
	s := Usual()
	log := Log{weighing(1, 9, 36), step(1, 10, "filed"), weighing(1, 11, 36), step(1, 12, "marked"),
		coat(1, 17, 1)}
	for _, c := range []struct {
		now         time.Time
		today       bool
		from, leave time.Time
	}{
		{at(1, 18), false, at(2, 17), at(3, 17)},
		{at(2, 9), true, at(2, 17), at(3, 17)}, // today, but at five
		{at(2, 20), true, at(2, 20), at(3, 20)},
		{at(9, 9), true, at(9, 9), at(10, 9)},
	} {
		p := s.Progress(log, wantedFor(35), c.now)
		today, from := p.Today(c.now), p.from(c.now)
		if p.Waits() != "varnish, coat 2" || today != c.today || !from.Equal(c.from) || !p.Handover.Equal(c.leave) {
			t.Errorf("at %v: %q, today %t, from %v, handed over %v at the earliest", c.now, p.Waits(), today, from,
				p.Handover)
		}
	}
}

func TestWhatIsOwedIsNotPassed(t *testing.T) {
	s := Usual()
	// The handle was glued on before the bow was weighed and marked, and it was strung after one coat.
	log := Log{weighing(1, 9, 36), sanded(1, 10, 240), step(1, 11, "handle"), coat(2, 9, 1),
		step(4, 9, "strung")}
	allowed := wantedFor(35)
	for _, then := range []struct {
		fact  Fact
		waits string
	}{
		{weighing(4, 10, 35.5), "weighed"}, {step(4, 11, "marked"), "marked"}, {coat(4, 12, 2), "varnish, coat 2"},
		{Fact{}, "handed over"},
	} {
		if got := s.Progress(log, allowed, at(4, 18)).Waits(); got != then.waits {
			t.Errorf("it waits for %q, want %q", got, then.waits)
		}
		log = append(log, then.fact)
	}
}

func TestScrapingAtTheBenchTakesFinishingBack(t *testing.T) {
	s := Usual()
	log := Log{step(1, 8, "horn nocks fitted"), weighing(1, 9, 37), sanded(1, 10, 240),
		weighing(1, 11, 36.5), step(1, 12, "marked"), coat(1, 13, 1), {What: Scraping, At: at(1, 14)}}
	p := s.Progress(log, wantedFor(35), at(1, 15))
	if p.Waits() != "tillered" || p.CoatsLeft != 2 || !p.Dry.IsZero() {
		t.Errorf("it waits for %q, %d coats are left, and it dries until %v", p.Waits(), p.CoatsLeft, p.Dry)
	}
	if _, present := s.Weighings(log); present != (Weighings{}) {
		t.Errorf("weighings %+v of a bow that was scraped since", present)
	}
}

// A bow that came back and was scraped there teaches by its first life, and is marked by its second.
func TestASecondLife(t *testing.T) {
	s := Usual()
	log := Log{
		weighing(1, 9, 37), sanded(1, 10, 240), weighing(1, 11, 36), step(4, 9, "handed over"),
		{What: Back, At: at(20, 9)}, weighing(20, 10, 35.5),
		{What: Scraping, At: at(20, 11)}, weighing(20, 12, 32), sanded(20, 13, 240), weighing(20, 14, 31.25),
	}
	first, present := s.Weighings(log)
	want := [2]Weighings{
		{Tree: pounds(37), Finished: pounds(36), Used: pounds(35.5)},
		{Tree: pounds(32), Finished: pounds(31.25)},
	}
	if first != want[0] || present != want[1] {
		t.Errorf("%+v and %+v", first, present)
	}
	if p := s.Progress(log, wantedFor(31), at(20, 15)); p.Waits() != "marked" {
		t.Errorf("it waits for %q", p.Waits())
	}
}

func pounds(f measure.Force) measure.Optional[measure.Force] { return measure.Some(f) }

// wantedFor is the weight wanted on the tree of an order, with a pound of 35 for finishing and one for first use.
func wantedFor(weight measure.Force) measure.Optional[Wanted] {
	one := Allowance{Mean: 1.0 / 35}
	return Allowances{Sanding: one, Settling: one}.Wanted(model.Order{Weight: measure.Some(weight)})
}

// Neither a bow that is too heavy on the tree nor one that is too light there is tillered. An order of 35 lb
// wants 37 there, half a pound under to one over; one that allows half a pound wants no more than that.
func TestABowIsTilleredBetweenTwoWeights(t *testing.T) {
	one := Allowance{Mean: 1.0 / 35}
	takes := Allowances{Sanding: one, Settling: one}
	for _, c := range []struct {
		allow    measure.Optional[measure.Force]
		weight   measure.Force
		tillered bool
	}{
		{weight: 36.4}, {weight: 36.5, tillered: true}, {weight: 37, tillered: true}, {weight: 38, tillered: true}, {weight: 38.1},
		{allow: pounds(3), weight: 38, tillered: true}, {allow: pounds(3), weight: 38.1}, {allow: pounds(3), weight: 36.4},
		{allow: pounds(0.5), weight: 37.5, tillered: true}, {allow: pounds(0.5), weight: 37.6}, {allow: pounds(0), weight: 37.6},
	} {
		wanted := takes.Wanted(model.Order{Weight: pounds(35), Allow: c.allow})
		p := Usual().Progress(Log{step(1, 8, "horn nocks fitted"), weighing(1, 9, c.weight)}, wanted, at(1, 10))
		if p.done(signTillered) != c.tillered || p.AtTheTree() == c.tillered {
			t.Errorf("%v lb, ordered 35 ± %v: tillered %t, at the tree %t", c.weight, c.allow, p.done(signTillered), p.AtTheTree())
		}
	}
	log := Log{step(1, 8, "horn nocks fitted"), weighing(1, 9, 37)}
	if p := Usual().Progress(log, takes.Wanted(model.Order{}), at(1, 10)); p.done(signTillered) {
		t.Error("a bow of no order came to its weight")
	}
}

// What comes after the tillering takes a bow off the tree: neither the nocks nor the tillering itself.
func TestStagesThatTakeABowOffTheTree(t *testing.T) {
	p := Usual().Progress(nil, wantedFor(35), at(1, 8))
	leaves := map[string]bool{}
	for i, stage := range p.Stages {
		leaves[stage.Name] = p.Leaves(i)
	}
	for name, want := range map[string]bool{
		"braced": false, "horn nocks fitted": false, "tillered": false, "filed": true, "varnish": true, "handed over": true,
	} {
		if got, listed := leaves[name]; got != want || !listed {
			t.Errorf("%s takes it off the tree: %t", name, got)
		}
	}
}
