package shop_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	practice "bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/shop"
)

// readyToMark is a bow that was weighed after sanding.
func (w *workshop) readyToMark(t testing.TB, name string) *shop.Bench {
	t.Helper()
	return w.made(t, func(bow *model.Bow) { bow.Name = name }, pull(28, 42), finish("sanded"), pull(28, 41))
}

func stamped(t testing.TB, bench *shop.Bench) (number string) {
	t.Helper()
	mark := need(bench.ToStamp())(t)
	must(t, bench.Stamp(mark))
	if number = bench.Story().Bow().Number; number == "" || !strings.HasSuffix(bench.Story().Stamped(), number) {
		t.Fatalf("stamped %q, number %q", bench.Story().Stamped(), number)
	}
	return number
}

// Two books count on from the same bow on the same day, and are merged: no two bows have one number. Numbers
// that were taken away again, also by undoing, are not given again.
func TestNumbersOfTwoBooksThatMerge(t *testing.T) {
	one, other := newWorkshop(1), newWorkshop(2)
	start := one.readyToMark(t, "First")
	if number := stamped(t, start); !strings.HasPrefix(number, "270111-1-") {
		t.Errorf("the first bow of 11 January 2027 is numbered %q", number)
	}
	other.imported(t, one.exported(t))
	seen := map[string]string{}
	for round := range 5 {
		for k, w := range []*workshop{one, other} {
			bench := w.readyToMark(t, "Bow "+string(rune('A'+2*round+k)))
			number := stamped(t, bench)
			if by := seen[number]; by != "" {
				t.Fatalf("%q is %s's already", number, by)
			}
			seen[number] = bench.Story().Bow().Name
			if round == 2 {
				for range 2 { // the mark, and the number with it as far as that goes
					undo(t, bench)
				}
				redescribe(t, bench, func(bow *model.Bow) { bow.Number = "" })
			}
		}
		if round%2 == 1 {
			for _, done := range append(one.imported(t, other.exported(t)), other.imported(t, one.exported(t))...) {
				if len(done.SameNumber) > 0 {
					t.Errorf("%+v", done)
				}
			}
		}
		one.wait(time.Hour)
		other.wait(time.Hour)
	}
	// Each counts on from the highest that either gave.
	if number := stamped(t, one.readyToMark(t, "Last")); !strings.HasPrefix(number, "270111-7-") {
		t.Errorf("after six rounds comes %q", number)
	}
}

func TestANumberThatAnotherBowHasOrHadIsRefused(t *testing.T) {
	w, second := atBench(t)
	first := w.made(t, func(bow *model.Bow) { bow.Number = "47" })
	redescribe(t, first, func(bow *model.Bow) { bow.Number = "48" })
	for _, number := range []string{" 47", "47", "48"} {
		typed := second.Story().Bow()
		typed.Number = number
		for _, err := range []error{second.Redescribe(typed, ""), failure(w.NewBow(typed, ""))} {
			if err == nil || !strings.Contains(err.Error(), "number: ") || !strings.Contains(err.Error(), "the number of Ash for Wren") {
				t.Errorf("%s: %v", number, err)
			}
		}
	}
}

func TestTwoBowsOfOneNumberAreToldOfOnMerging(t *testing.T) {
	w, other := newWorkshop(1), newWorkshop(2)
	w.named(t, "Ash of book 0", "47")
	other.named(t, "Ash of book 0", "47")
	done := w.imported(t, other.exported(t))
	if len(done) != 1 || len(done[0].SameNumber) != 1 || !strings.Contains(done[0].String(), "it has the number of Ash of book 0: both stay") {
		t.Errorf("%+v", done)
	}
	if rows, err := w.Rack(); err != nil || len(rows) != 2 {
		t.Errorf("%d bows (%v); nothing may be lost", len(rows), err)
	}
}

func TestWhatCannotBeMarkedIsNot(t *testing.T) {
	w := newWorkshop(1)
	for _, c := range []struct {
		name   string
		change func(*model.Bow)
		events []model.Event
		says   string
	}{
		{"without an order", func(b *model.Bow) { b.Order = model.Order{} }, nil, "no draw was ordered"},
		{"to the back of an unknown handle", func(b *model.Bow) { b.Order.DrawTo, b.HandleDepth = model.ToBack, measure.Optional[measure.Length]{} }, nil, "how deep the handle is"},
		{"not weighed", func(*model.Bow) {}, []model.Event{pull(20, 30)}, "weigh it first, at the ordered draw"},
		{"not weighed since it was sanded", func(*model.Bow) {}, []model.Event{pull(28, 42), finish("sanded")}, "wood came off in finishing"},
		{"away", func(*model.Bow) {}, []model.Event{pull(28, 42), finish("sanded"), pull(28, 41), finish(model.HandedOver)}, "handed over"},
	} {
		bench := w.made(t, c.change, c.events...)
		before := len(bench.Story().Lines)
		if _, err := bench.ToStamp(); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
		if bench.Story().Bow().Number != "" || len(bench.Story().Lines) != before {
			t.Errorf("%s: something was written", c.name)
		}
	}
	full := w.readyToMark(t, "Full")
	w.book.Fail = errFull
	mark := need(full.ToStamp())(t)
	if err := full.Stamp(mark); err == nil || full.Story().Bow().Number != "" {
		t.Error("a number stands on a bow though the disk was full")
	}
}

// Bows that were read on the shop's tree follow what is found out about it; one that was described otherwise, or is
// gone, stays.
func TestBowsInHandFollowTheTree(t *testing.T) {
	w := newWorkshop(1)
	usual := w.made(t, func(b *model.Bow) { b.Name = "Usual" }, pull(20, 33))
	own := w.made(t, func(b *model.Bow) { b.Name, b.Rig.ScaleAt, b.Rig.High = "Own", model.OnRope, 0.05 }, pull(20, 33))
	gone := w.made(t, func(b *model.Bow) { b.Name = "Gone" }, pull(28, 42), finish(model.HandedOver))
	settings := practice.Usual()
	settings.Tree.ScaleAt, settings.Tree.High, settings.Tree.Hook = model.OnRope, 10, "1/2in"
	must(t, w.KeepSettings(settings))
	for bench, want := range map[*shop.Bench]measure.Force{usual: 30, own: 33 / 1.05, gone: 42} {
		story := need(w.Story(bench.Story().Bow().ID))(t)
		if pull, _, _ := story.Weight(); math.Abs(float64(pull.Peak.Or(0)-want)) > 1e-9 {
			t.Errorf("%s weighs %v at the hook, want %v", story.Bow().Name, pull.Peak.Or(0), want)
		}
	}
	story := need(w.Story(usual.Story().Bow().ID))(t)
	if rig := story.Bow().Rig; rig.Hook != 0.5 || !rig.Same(settings.Tree.Rig()) {
		t.Errorf("%+v", rig)
	}
}

// Settings are checked before they are kept; refused ones leave those of the book alone.
func TestTheShopsSettings(t *testing.T) {
	w := newWorkshop(1)
	mine := `{"format":"bendbook/shop","version":1,"number":{"pattern":"{count:3}","start":48,"alone":true},"allowances":{"finishing":5,"first_use":1}}`
	must(t, w.SetSettings([]byte(mine)))
	for _, bad := range []string{``, `{"format":"bendbook/shop","version":1,"number":{"pattern":"{year}"}}`} {
		if err := w.SetSettings([]byte(bad)); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
	if doc, err := w.SettingsDocument(); err != nil || strings.Join(strings.Fields(string(doc)), "") != mine {
		t.Errorf("%s, %v", doc, err)
	}
	// The count begins where the shop has got to on paper. Each number is given once, even by a pattern without letters.
	for _, want := range []string{"048", "049"} {
		same(t, "the number", stamped(t, w.readyToMark(t, "Ash")), want)
	}
	// Both bows lost a pound in sanding, which lowers the 5 % to begin with.
	takes := need(w.Allowances("white ash"))(t)
	if mean := takes.Sanding.Mean; takes.Sanding.Count != 2 || mean <= 0.025 || mean >= 0.0375 || takes.Settling != practice.Learn(0.01, nil) {
		t.Errorf("%+v", takes)
	}
	if takes, err := w.Allowances("yew"); err != nil || takes.Sanding != practice.Learn(0.05, nil) {
		t.Errorf("of another wood: %+v, %v", takes, err)
	}
}
