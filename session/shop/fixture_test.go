package shop_test

import (
	"errors"
	"math/rand"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// monday is when the tests' work begins.
var monday = time.Date(2027, 1, 11, 9, 0, 0, 0, time.UTC)

// workshop is a shop with a book in memory and a clock that stands still until it is moved.
type workshop struct {
	*shop.Shop
	book *booktest.Memory
	time time.Time
}

func newWorkshop(seed int64) *workshop {
	w := &workshop{book: booktest.New(), time: monday}
	w.Shop = shop.Open(w.book, shop.Options{
		Now:     func() time.Time { return w.time },
		Entropy: rand.New(rand.NewSource(seed)),
	})
	return w
}

func (w *workshop) wait(d time.Duration) { w.time = w.time.Add(d) }

func (w *workshop) bench(t testing.TB, bow model.Bow) *shop.Bench {
	t.Helper()
	return need(w.Bench(need(w.NewBow(bow, ""))(t)))(t)
}

// made puts ash with a change on the bench, after some events.
func (w *workshop) made(t testing.TB, change func(bow *model.Bow), events ...model.Event) *shop.Bench {
	t.Helper()
	bow := ash()
	change(&bow)
	bench := w.bench(t, bow)
	w.add(t, bench, events...)
	return bench
}

// atBench is a workshop with ash on the bench, after some events.
func atBench(t testing.TB, events ...model.Event) (*workshop, *shop.Bench) {
	t.Helper()
	w := newWorkshop(1)
	return w, w.made(t, func(*model.Bow) {}, events...)
}

func undo(t testing.TB, bench *shop.Bench) {
	t.Helper()
	must(t, failure(turned(bench.Last(false))))
}

// turned undoes or brings back the last thing, and says what it was.
func turned(d shop.Deed, err error) (string, error) {
	if err != nil {
		return "", err
	}
	return d.Says, d.Do()
}

// failure is the error of a call that also gives something else.
func failure[T any](_ T, err error) error { return err }

// redescribe changes the description of the bow on the bench.
func redescribe(t testing.TB, bench *shop.Bench, change func(bow *model.Bow)) {
	t.Helper()
	bow := bench.Story().Bow()
	change(&bow)
	must(t, bench.Redescribe(bow, ""))
}

// ash is an ordered longbow, read at 6, 8 and 12 in.
func ash() model.Bow {
	stations := []measure.Length{6, 8, 12}
	return model.Bow{
		Name: "Ash for Wren", Wood: "ash", Units: measure.Imperial(), Handle: 4, HandleDepth: measure.Some[measure.Length](1.25),
		Limbs: [2]model.Limb{{Length: 34, Stations: stations}, {Length: 33, Stations: stations}},
		Order: model.Order{For: "Wren", Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](40), Allow: measure.Some[measure.Force](2)},
		// Upper limb weaker by 1/4 in at 8 in, braced: common practice, no published source.
		Aim:  model.Aim{TillerAt: measure.Some[measure.Length](8), Tiller: measure.Some[measure.Length](0.25)},
		Rule: 1.0 / 16, Scale: 0.1,
	}
}

// row is one limb's readings; below -90 is an unread one.
func row(readings ...measure.Length) []measure.Optional[measure.Length] {
	out := make([]measure.Optional[measure.Length], len(readings))
	for i, l := range readings {
		if l > -90 {
			out[i] = measure.Some(l)
		}
	}
	return out
}

var (
	errFull    = errors.New("the disk is full")
	errDamaged = errors.New("the checksum of an entry is wrong")
)

const unread measure.Length = -99

func pull(draw measure.Length, peak measure.Force) model.Pull {
	return model.Pull{Draw: draw, Peak: measure.Some(peak), From: model.FromLine}
}

// pullRead is a pull with the same readings on both limbs.
func pullRead(draw measure.Length, readings ...measure.Length) model.Pull {
	return model.Pull{Draw: draw, From: model.FromLine, Readings: model.Readings{row(readings...), row(readings...)}}
}

func braced(upper, lower []measure.Optional[measure.Length]) model.Braced {
	return model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString, Readings: model.Readings{upper, lower}}
}

func finish(step string) model.Finish { return model.Finish{Step: step} }

func scrape(limb model.Side, from, to measure.Length) model.Scrape {
	return model.Scrape{Limb: limb, From: from, To: to, Tool: "scraper"}
}

// add adds events a minute apart.
func (w *workshop) add(t testing.TB, bench *shop.Bench, events ...model.Event) {
	t.Helper()
	for _, event := range events {
		w.wait(time.Minute)
		if err := bench.Add(event, ""); err != nil {
			t.Fatalf("Add(%#v): %v", event, err)
		}
	}
}

// judge is the verdict on the bow on the bench.
func (w *workshop) judge(t testing.TB, bench *shop.Bench) verdict.Verdict {
	t.Helper()
	return need(w.Judge(bench.Story().Bow().ID))(t)
}

func lastID(bench *shop.Bench) string {
	lines := bench.Story().Lines
	return lines[len(lines)-1].Entry.ID
}

func known[T any](t testing.TB, what string, v measure.Optional[T]) T {
	t.Helper()
	got, ok := v.Get()
	if !ok {
		t.Fatalf("%s is not known", what)
	}
	return got
}

func same[T any](t rapid.TB, what string, got, want T) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// need is a value without which a test can't go on.
func need[T any](v T, err error) func(rapid.TB) T {
	return func(t rapid.TB) T {
		t.Helper()
		must(t, err)
		return v
	}
}

func must(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// told is the story of ash with events without times, whose ids are a, b, c.
func told(t testing.TB, events ...model.Event) session.Story {
	t.Helper()
	desc := need(record.Describe(ash()))(t)
	items := make([]record.Item, len(events))
	for i, what := range events {
		entry := model.Entry{ID: string(rune('a' + i)), What: what}
		items[i] = need(record.NewItem(entry, measure.Imperial()))(t)
	}
	return session.Fold(desc, items)
}
