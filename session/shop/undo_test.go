package shop_test

import (
	"fmt"
	"math/rand"
	"reflect"
	"regexp"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// tells is all that a bow's story and the shop's settings tell, without what was struck out.
func (w *workshop) tells(t rapid.TB, bench *shop.Bench) string {
	t.Helper()
	story := bench.Story()
	settings := need(w.SettingsDocument())(t)
	hold := regexp.MustCompile(`"hold_seconds": .*`).FindString(string(settings))
	tells := fmt.Sprintf("%s %+v %v %s\n", hold, story.Bow(), story.InHand, story.Stage())
	for _, line := range story.Lines {
		if _, isVoid := line.Entry.What.(model.Void); line.Counts() && !isVoid {
			tells += fmt.Sprintf("pass %d: %s\n", line.Pass, line.Doc)
		}
	}
	return tells
}

// A thing done at the bench or in the shop, and what was half typed before it.
type thing struct {
	before, after string
	draft         string // key of a form that was thrown away; "" for another thing
	inShop        bool   // it isn't in the bow's record
}

// drawThing does one thing at random.
func drawThing(t *rapid.T, w *workshop, bench *shop.Bench, n int) (made thing) {
	w.wait(time.Duration(rapid.IntRange(0, 20000).Draw(t, "seconds")) * time.Second)
	made.before = w.tells(t, bench)
	lines := bench.Story().Lines
	counts := slices.DeleteFunc(slices.Clone(lines), func(l session.Line) bool { return l.MayVoid() != "" })
	what := rapid.IntRange(0, 9).Draw(t, "thing")
	if what < 3 && len(counts) == 0 {
		what = 9
	}
	switch what {
	case 0, 1:
		line := counts[rapid.IntRange(0, len(counts)-1).Draw(t, "entry")]
		right := drawRight(t, line.Entry.What)
		if line.MayCorrect() == "" && !reflect.DeepEqual(right, line.Entry.What) {
			must(t, bench.Correct(line.Entry.ID, right, ""))
			break
		}
		must(t, bench.Add(model.Void{Entry: line.Entry.ID, Why: "wrong mark"}, ""))
	case 2:
		must(t, bench.Add(model.Void{Entry: rapid.SampledFrom(counts).Draw(t, "entry").Entry.ID, Why: "wrong bow"}, ""))
	case 3:
		must(t, bench.AddAll(scrape(model.Upper, 4, 12), scrape(model.Lower, 8, 20), scrape(model.Upper, 20, 30)))
	case 4:
		must(t, bench.Add(finish("varnish"), ""))
	case 5:
		bow := bench.Story().Bow()
		bow.Order.For = fmt.Sprintf("customer %d", n)
		must(t, bench.Redescribe(bow, ""))
	case 6:
		made.inShop = true
		settings := need(w.Settings())(t)
		settings.Tree.Hold = float64(2 + n%20)
		must(t, w.KeepSettings(settings))
	case 7:
		made.inShop, made.draft = true, shop.DraftKey(bench.Story().Bow().ID, fmt.Sprintf("form %d", n))
		must(t, w.SaveDraft(made.draft, shop.Draft{Form: "pull"}))
		must(t, w.ThrowAway(bench.Story().Bow().ID, made.draft, "half-typed pull thrown away"))
	case 8:
		must(t, bench.Add(model.Rack{InHand: !bench.Story().InHand, Why: "horn ordered"}, ""))
	default:
		must(t, bench.Add(drawRight(t, pull(18, 20)), ""))
	}
	made.after = w.tells(t, bench)
	return made
}

// drawRight is another event of a kind.
func drawRight(t *rapid.T, was model.Event) model.Event {
	switch was.(type) {
	case model.Scrape:
		return scrape(model.Lower, 6, measure.Length(rapid.IntRange(7, 30).Draw(t, "to")))
	case model.Pull:
		return pull(measure.Length(rapid.IntRange(10, 28).Draw(t, "draw")), 30)
	}
	return was
}

// Whatever was done, of every kind and in any order, is undone to the start one thing after the other, and
// brought back; what was done on the bow alone also after a restart.
func TestUndoToTheStartAndRedoTellTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWorkshop(3)
		id := need(w.NewBow(ash(), ""))(t)
		bench, err := w.Bench(id)
		must(t, err)
		var things []thing
		inRecord := true
		for n := range rapid.IntRange(1, 30).Draw(t, "things") {
			made := drawThing(t, w, bench, n)
			inRecord = inRecord && !made.inShop
			things = append(things, made)
		}
		restart := func() {
			if inRecord && rapid.Bool().Draw(t, "restart") {
				w.Shop = shop.Open(w.book, shop.Options{
					Now:     func() time.Time { return w.time },
					Entropy: rand.New(rand.NewSource(int64(len(bench.Story().Lines)))),
				})
				bench = need(w.Bench(id))(t)
			}
		}
		drafted := func(made thing, want bool) {
			if _, ok, err := w.Draft(made.draft); made.draft != "" && (ok != want || err != nil) {
				t.Fatalf("the form is there: %v (%v)", ok, err)
			}
		}
		for range 2 {
			for _, made := range slices.Backward(things) {
				restart()
				must(t, failure(turned(bench.Last(false))))
				same(t, "undone, the bow", w.tells(t, bench), made.before)
				drafted(made, true)
			}
			if says, err := turned(bench.Last(false)); err == nil {
				t.Fatalf("undone from nothing: %s", says)
			}
			for _, made := range things {
				restart()
				must(t, failure(turned(bench.Last(true))))
				same(t, "brought back, the bow", w.tells(t, bench), made.after)
				drafted(made, false)
			}
			if says, err := turned(bench.Last(true)); err == nil {
				t.Fatalf("brought back from nothing: %s", says)
			}
		}
		again := need(w.Story(id))(t)
		same(t, "the reopened story", again, bench.Story())
	})
}

// Passes that were put down with one thing wrong are corrected in the first; what they tell is then what they
// would tell had it been typed right from the start, in this book and in every one that its record reaches.
func TestAnOldEntryIsCorrectedInItsPlace(t *testing.T) {
	read := func(draw measure.Length, peak measure.Force, at12 measure.Length) model.Pull {
		p := pullRead(draw, at12/4, at12*4/9, at12)
		p.Peak = measure.Some(peak)
		return p
	}
	for name, c := range map[string]struct {
		wrong, right model.Event
		told         bool // the readings tell otherwise then
	}{
		"station": {read(20, 31, 1.75), read(20, 31, 1.5), true},
		"peak":    {read(20, 38, 1.5), read(20, 31, 1.5), true},
		"note":    {model.Note{Text: "flat at 12"}, model.Note{Text: "flat at 16"}, false},
		"scrape":  {scrape(model.Lower, 6, 20), scrape(model.Upper, 6, 20), true},
		"braced": {braced(row(5.75, 5.5, 5), row(5.5, 5.25, 4.75)),
			model.Braced{Height: measure.Some[measure.Length](5.5), From: model.FromString, Readings: model.Readings{row(5.25, 5, 4.5), row(5, 4.75, 4.25)}}, true},
		"moisture": {model.Moisture{Where: model.ShopAir, Content: measure.Some(0.19)}, model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09)}, false},
	} {
		written := func(first model.Event) (*workshop, *shop.Bench) {
			w, bench := atBench(t, braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)), read(18, 27, 1.25))
			w.add(t, bench, first, read(22, 35, 1.75))
			for n := range 3 {
				w.wait(6 * time.Hour)
				w.add(t, bench, scrape(model.Upper, 4, measure.Length(14+n)), read(22, 34-measure.Force(n), 1.75))
			}
			return w, bench
		}
		w, bench := written(c.wrong)
		meant, intended := written(c.right)
		var before verdict.Advice
		if c.told {
			before = advised(t, bench.Story(), before)
		}
		old := bench.Story().Lines[2]
		w.wait(48 * time.Hour)
		must(t, bench.Correct(old.Entry.ID, c.right, ""))
		checks := func(where string, story session.Story) {
			t.Helper()
			lines := story.Lines
			if was := lines[2]; was.Counts() || was.Voided.Why != "corrected" || was.Voided.By != lines[3].Entry.ID ||
				string(was.Doc) != string(old.Doc) || !lines[3].Entry.At.Equal(old.Entry.At) {
				t.Errorf("%s, %s: the old entry is %+v, the new one %+v", name, where, was, lines[3])
			}
			var counts []model.Event
			for _, line := range lines[:len(lines)-1] {
				if line.Counts() {
					counts = append(counts, line.Entry.What)
				}
			}
			for i, line := range intended.Story().Lines {
				same(t, name+", "+where, counts[i], line.Entry.What)
			}
		}
		checks("here", bench.Story())
		if c.told {
			right, now := advised(t, intended.Story(), verdict.Advice{}), advised(t, bench.Story(), before)
			same(t, name+": the weight", now.Weight, right.Weight)
			same(t, name+": the strips", now.Strips, right.Strips)
			same(t, name+": the findings", now.Findings, right.Findings)
			if reflect.DeepEqual(before.Strips, now.Strips) {
				t.Errorf("%s: the strips stayed as they were", name)
			}
			same(t, name+": the verdict", w.judge(t, bench), meant.judge(t, intended))
		}
		id := bench.Story().Bow().ID
		again := need(w.Story(id))(t)
		same(t, "the reopened story", again, bench.Story())
		rows := need(w.Rack())(t)
		same(t, name+": the row's pull", rows[0].Pull.Known(), true)
		other := newWorkshop(9)
		other.imported(t, w.written(t, id))
		there := need(other.Story(id))(t)
		checks("there", there)
		for _, into := range []*workshop{other, w} {
			if done := into.imported(t, w.written(t, id)); done[0].Entries != 0 || len(done[0].Differ) != 0 {
				t.Errorf("%s: imported again it brings %+v", name, done)
			}
		}
		undo(t, bench)
		same(t, name+": undone, the old entry counts", bench.Story().Lines[2].Counts(), true)
		same(t, name+": undone, the new entry counts", bench.Story().Lines[3].Counts(), false)
	}
}

// advised is what a story's readings say, going on from what was said before.
func advised(t *testing.T, story session.Story, before verdict.Advice) verdict.Advice {
	t.Helper()
	return need(before.Again(story, verdict.Usual(), nil))(t)
}

// Entries that came without times have keys without room between them; they are corrected in their place too.
func TestEntriesThatStandCloseAreCorrectedInTheirPlace(t *testing.T) {
	w := newWorkshop(1)
	w.imported(t, `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"a","name":"Elm",`+
		`"limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[{"kind":"pull","draw":20,"peak":30},`+
		`{"kind":"scrape","limb":"upper","from":4,"to":9},{"kind":"pull","draw":20,"peak":28}]}`)
	bench := need(w.Bench("a"))(t)
	for _, peak := range []measure.Force{31, 32} {
		for _, line := range bench.Story().Lines {
			if what, isPull := line.Entry.What.(model.Pull); isPull && line.Pass == 0 && line.Counts() {
				what.Peak = measure.Some(peak)
				must(t, bench.Correct(line.Entry.ID, what, ""))
			}
		}
		other := newWorkshop(2)
		other.imported(t, w.written(t, "a"))
		there := need(other.Story("a"))(t)
		for _, story := range []session.Story{bench.Story(), there} {
			same(t, "the peak of pass 0", story.Passes[0].Peak(20, story.Passes[0].PulledOn()).Or(0), peak)
			same(t, "its pulls", len(story.Passes[0].Pulls), 1)
			same(t, "the peak of pass 1", story.Passes[1].Peak(20, story.Passes[1].PulledOn()).Or(0), 28)
		}
	}
}
