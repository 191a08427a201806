package shop_test

import (
	"errors"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/measure"
	"bendbook/session/shop"
)

// What the shop's finished bows have in common, by wood and design: the median of each figure.
func TestKindsOfFinishedBows(t *testing.T) {
	w := newWorkshop(1)
	made := func(wood string, section model.Section, passes, strokes int, set measure.Length, sanding measure.Force) {
		bench := w.made(t, func(bow *model.Bow) { bow.Wood, bow.Section = wood, section })
		relaxed := func(l measure.Length) model.Event {
			return model.Relaxed{Readings: model.Readings{row(0, 0, l), row(0, 0, l)}}
		}
		w.add(t, bench, relaxed(0))
		for range passes {
			s := scrape(model.Upper, 4, 12)
			s.Strokes = measure.Some(strokes)
			w.add(t, bench, s, pull(28, 42))
		}
		w.add(t, bench, relaxed(set), finish("sanded"), pull(28, 42-sanding), finish(model.HandedOver))
		w.wait(time.Hour)
	}
	made("ash", model.SectionD, 4, 10, 0.5, 1)
	made("White ash", model.SectionD, 6, 20, 0.75, 1)
	made("ash", model.SectionD, 9, 30, 1.5, 9) // an odd one
	made("ash", model.SectionRectangle, 3, 10, 0.25, 1)
	w.bench(t, ash()) // in hand: it teaches nothing yet
	kinds, err := w.Kinds()
	if err != nil || len(kinds) != 2 {
		t.Fatalf("%+v, %v", kinds, err)
	}
	k := kinds[0]
	if k.Count != 3 || k.Section != model.SectionD || k.Passes != 6 || k.Strokes != 6*20 || k.Set.Or(0) != 0.75 {
		t.Errorf("%+v", k)
	}
	// Allowances are the wood's, whatever the design; the bow that lost 9 lb counts for little.
	if s := k.Takes.Sanding; s.Count != 4 || s.Odd != 1 || s.Mean < 0.025 || s.Mean > 0.0315 {
		t.Errorf("%+v", s)
	}
	if kinds[1].Count != 1 || kinds[1].Section != model.SectionRectangle {
		t.Errorf("%+v", kinds[1])
	}
}

// Another bow like one has the weight that the one was marked with as its order, and nothing that was that bow's alone.
func TestAnotherLikeAFinishedBow(t *testing.T) {
	w := newWorkshop(1)
	bench := w.readyToMark(t, "Ash for Wren")
	w.add(t, bench, finish(model.HandedOver), model.Rack{InHand: true}, pull(28, 38.6)) // in use: 38
	other := need(w.Another(bench.Story()))(t)
	was := bench.Story().Bow()
	if other.Order.Weight.Or(0) != 38 || other.Order.Draw != was.Order.Draw || other.Aim.Tiller != was.Aim.Tiller || other.Aim.Bend != "as "+was.ID || other.Limbs[model.Upper].Length != 34 || other.Wood != "ash" {
		t.Errorf("%+v", other)
	}
	if other.ID != "" || other.Number != "" || other.Order.For != "" || other.Order.Due != "" || other.Name != "Another like Ash for Wren" {
		t.Errorf("%+v", other)
	}
	if id, err := w.NewBow(other, ""); err != nil || id == was.ID {
		t.Errorf("%q, %v", id, err)
	}
}

// A bow may be made like one that is finished and was pulled, whatever is wrong with others.
func TestABowMayBeMadeLikeAFinishedOne(t *testing.T) {
	w := newWorkshop(1)
	done := w.made(t, func(*model.Bow) {}, pull(18, 22), finish("filed"))
	raw := w.made(t, func(bow *model.Bow) { bow.Name = "Raw" }, pull(18, 22)).Story().Bow()
	w.made(t, func(bow *model.Bow) { bow.Name = "Unpulled" }, finish("filed"))
	broken := w.made(t, func(bow *model.Bow) { bow.Name = "Damaged" }, pull(18, 22), finish("filed"))
	w.book.Damage = map[string]error{broken.Story().Bow().ID: errDamaged}

	bows := w.Finished()
	if len(bows) != 1 || bows[0].ID != done.Story().Bow().ID {
		t.Fatalf("finished are %+v", bows)
	}
	for _, called := range []string{bows[0].ID, "ash for wren"} {
		bow := raw
		bow.Aim.Bend = aim.Like(called)
		if like, named, err := w.Like(bow); err != nil || !named || like.Bow().ID != bows[0].ID {
			t.Errorf("like %q is %q, %v, %v", called, like.Bow().Name, named, err)
		}
	}
	if _, named, err := w.Like(raw); named || err != nil {
		t.Errorf("a bow of another aim: %v, %v", named, err)
	}
	itself, missing := bows[0], raw
	itself.Aim.Bend, missing.Aim.Bend = aim.Like(itself.ID), aim.Like("Oak")
	for _, bow := range []model.Bow{itself, missing} {
		if _, named, err := w.Like(bow); !named || !errors.Is(err, shop.ErrNoBow) {
			t.Errorf("%q: %v, %v", bow.Aim.Bend, named, err)
		}
	}
}

// Strokes are learnt from bows of one wood on which they were counted, the last worked on first.
func TestScrapedAreTheBowsThatTeachStrokes(t *testing.T) {
	w := newWorkshop(1)
	made := func(name, wood string, strokes measure.Optional[int]) {
		s := scrape(model.Upper, 4, 12)
		s.Strokes = strokes
		w.made(t, func(bow *model.Bow) { bow.Name, bow.Wood = name, wood }, pull(12, 10), s, pull(12, 9))
		w.wait(time.Hour)
	}
	made("first", "ash", measure.Some(10))
	made("uncounted", "ash", measure.Optional[int]{})
	made("second", "White ash", measure.Some(12))
	made("yew", "yew", measure.Some(12))
	made("third", "ash", measure.Some(8))
	stories, err := w.Scraped("ash", 2)
	if err != nil || len(stories) != 2 || stories[0].Bow().Name != "third" || stories[1].Bow().Name != "second" {
		t.Errorf("%d stories, %v", len(stories), err)
	}
	if all, err := w.Scraped("ASH ", 20); err != nil || len(all) != 3 {
		t.Errorf("%d stories, %v", len(all), err)
	}
}
