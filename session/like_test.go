package session_test

import (
	"errors"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/session"
)

// A bow may be made like one that is finished and was pulled, whatever is wrong with others.
func TestABowMayBeMadeLikeAFinishedOne(t *testing.T) {
	w := newWorkshop(1)
	done := w.bench(t, ash())
	w.add(t, done, pull(18, 22), model.Finish{Step: "filed"})
	raw, unpulled, damaged := ash(), ash(), ash()
	raw.Name, unpulled.Name, damaged.Name = "Raw", "Unpulled", "Damaged"
	w.add(t, w.bench(t, raw), pull(18, 22))
	w.add(t, w.bench(t, unpulled), model.Finish{Step: "filed"})
	broken := w.bench(t, damaged)
	w.add(t, broken, pull(18, 22), model.Finish{Step: "filed"})
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
		if _, named, err := w.Like(bow); !named || !errors.Is(err, session.ErrNoBow) {
			t.Errorf("%q: %v, %v", bow.Aim.Bend, named, err)
		}
	}
}

// The nocks are on once a step of finishing says so, and no longer when that is void.
func TestTheNocksAreOnOnceThatIsLogged(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	for _, c := range []struct {
		step string
		on   bool
	}{{"filed", false}, {"horn nocks fitted", true}, {"sanded", true}} {
		if w.add(t, bench, model.Finish{Step: c.step}); bench.Story().NocksOn() != c.on {
			t.Errorf("after %s the nocks are on: %v", c.step, !c.on)
		}
	}
	for _, line := range bench.Story().Lines {
		if what, ok := line.Entry.What.(model.Finish); ok && what.Step == "horn nocks fitted" {
			if err := bench.Void(line.Entry.ID, "another bow"); err != nil {
				t.Fatal(err)
			}
		}
	}
	if bench.Story().NocksOn() {
		t.Error("a void step puts the nocks on")
	}
}
