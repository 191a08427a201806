package verdict_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/model/treetest"
	"bendbook/session"
	"bendbook/session/verdict"
)

// A tree is a computed stave with its record: what is read and scraped goes through entries, as from the bench.
type tree struct {
	t     testing.TB
	r     *rand.Rand
	stave treetest.Stave
	bow   model.Bow
	items []record.Item
	later time.Duration  // than a minute from entry to entry
	said  verdict.Advice // last
}

// newTree is a rough stave, half again too heavy for its order, of a seed. Its order leaves what settling and
// sanding take.
func newTree(t testing.TB, seed uint64) *tree {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 11))
	rough := treetest.Rough{Stiffness: 0.13, Width: 3, Rest: 0.0003, Follow: 0.0002, Heavy: 1.45, Unequal: 0.04}
	w := &tree{t: t, r: r, stave: treetest.New(r, rough)}
	w.bow = model.Bow{
		ID: "b", Name: "on the tree", Handle: measure.Length(w.stave.Bow.Handle), Section: model.SectionD,
		Rule: 1.0 / 32, Scale: 0.1, Cradle: "clamped", Units: measure.Imperial(),
		Order: model.Order{Draw: inches(w.stave.Draw)},
		Aim:   model.Aim{Tiller: inches(0.25), TillerAt: inches(8), StiffTips: inches(0)},
	}
	w.order(w.stave.Weight)
	for _, side := range model.Sides {
		limb := &w.bow.Limbs[side]
		limb.Length = measure.Length(w.stave.Limb(side).Length)
		for at := measure.Length(4); at < limb.Length-1; at += 4 {
			limb.Stations = append(limb.Stations, at)
		}
	}
	return w
}

func inches(l float64) measure.Optional[measure.Length] { return measure.Some(measure.Length(l)) }
func pounds(f float64) measure.Optional[measure.Force]  { return measure.Some(measure.Force(f)) }

// even is a stave that bends evenly at its order of 28 in, so much heavier than the 42 lb that are wanted on
// the tree.
func even(t testing.TB, heavy float64) *tree {
	t.Helper()
	w := newTree(t, 3)
	w.stave.Draw, w.stave.Weight = 28, 42
	var compass aim.Aim
	w.stave.Even(compass.Bend)
	w.stave.Change(func() {
		for _, side := range model.Sides {
			w.stave.Step(side, 0, 99, heavy)
		}
	})
	w.bow.Name, w.bow.Wood = "Ash for Wren", "ash"
	w.bow.Order = model.Order{Draw: inches(28), Weight: pounds(40)}
	w.bow.Aim.StiffTips, w.bow.Aim.Tiller = inches(8), inches(math.Round(16*w.stave.Tiller(8))/16)
	return w
}

func (w *tree) now() time.Time { return time.Unix(int64(1e9+60*len(w.items)), 0).UTC().Add(w.later) }

func (w *tree) add(events ...model.Event) {
	w.t.Helper()
	for _, e := range events {
		key := record.Key{}
		key[14], key[15] = byte(len(w.items)/256), byte(len(w.items)+1)
		item, err := record.NewItem(model.Entry{ID: key.String(), At: w.now(), What: e}, w.bow.Units)
		must(w.t, err)
		item.Key = key
		w.items = append(w.items, item)
	}
}

// edit describes the bow otherwise from now on.
func (w *tree) edit(change func(*model.Bow)) {
	w.t.Helper()
	desc := w.story().Desc
	bow := desc.Bow
	change(&bow)
	edit, _, err := desc.EditTo(bow)
	must(w.t, err)
	w.add(edit)
}

// plan reads the line at all stations at some draws.
func (w *tree) plan(draws ...float64) treetest.Plan {
	p := treetest.Plan{Draws: draws, LineDraws: draws, Rule: 1.0 / 32, Scale: 0.1, Gauge: 0.003}
	for _, at := range w.bow.Limbs[model.Upper].Stations {
		p.Stations = append(p.Stations, float64(at))
	}
	return p
}

// read reads the bow braced with a block each 2 in, and drawn to some draws with rule and scale.
func (w *tree) read(draws ...float64) *tree { return w.readEvery(2, draws...) }

// look is that with a block each 4 in.
func (w *tree) look(draws ...float64) *tree { return w.readEvery(4, draws...) }

// readEvery is that with the block at other steps; 0 is without.
func (w *tree) readEvery(inches float64, draws ...float64) *tree {
	w.t.Helper()
	p := w.plan(draws...)
	p.BraceHeight = true
	if inches > 0 {
		p.Block, p.BlockEvery = 6, inches
	}
	hang := w.stave.Read(w.r, p).Hangs[0]
	braced := model.Braced{Height: measure.Some(measure.Length(hang.Brace))}
	for _, row := range hang.Blocks {
		braced.Block = &model.Block{Length: measure.Length(row.Block)}
		for _, g := range row.Gaps {
			if g.Side == model.Upper {
				braced.Block.At = append(braced.Block.At, measure.Length(g.At))
			}
		}
		braced.Block.Gaps = rows(row.Gaps, braced.Block.At)
	}
	w.add(braced)
	w.pull(hang)
	return w
}

// pull adds the pulls of a hang.
func (w *tree) pull(hang estimate.Hang) {
	w.t.Helper()
	for _, pull := range hang.Pulls {
		w.add(model.Pull{Draw: measure.Length(pull.Draw), Peak: pounds(pull.Peak), From: model.FromLine,
			Readings: rows(pull.Line, w.bow.Limbs[model.Upper].Stations)})
	}
}

// weigh reads the scale alone, so much off.
func (w *tree) weigh(draw, off float64) *tree {
	peak := math.Round(10*(w.stave.Force(draw)+off)) / 10
	w.add(model.Pull{Draw: measure.Length(draw), Peak: pounds(peak), From: model.FromLine})
	return w
}

// drawOn draws as far as the verdict says, and reads it there.
func (w *tree) drawOn() *tree {
	for range 20 {
		v := judge(w.says(verdict.Usual()))
		if v.Do != verdict.Draw && v.Do != verdict.DrawAgain {
			break
		}
		w.look(v.Draw.Or(0))
	}
	return w
}

// follows gives both limbs some set at the nock (in), and reads them unstrung.
func (w *tree) follows(set float64) *tree {
	w.stave.Change(func() {
		for _, side := range model.Sides {
			limb := w.stave.Limb(side)
			for i := range limb.RestBend {
				limb.RestBend[i] += 2 * set / (limb.Length * limb.Length)
			}
		}
	})
	p := w.plan()
	p.Relaxed = true
	w.add(model.Relaxed{Readings: rows(w.stave.Read(w.r, p).Relaxed, w.bow.Limbs[model.Upper].Stations)})
	return w
}

// step makes a limb stiffer by a factor between two places.
func (w *tree) step(side model.Side, from, to, factor float64) *tree {
	w.stave.Change(func() { w.stave.Step(side, from, to, factor) })
	return w
}

// order orders a weight that leaves the bow to weigh so much on the tree.
func (w *tree) order(weight float64) {
	w.bow.Order.Weight = measure.Some(verdict.Usual().Takes.Marked(measure.Force(weight)))
}

// rows are readings in the order of their places.
func rows(all []estimate.Reading, at []measure.Length) (out model.Readings) {
	for _, side := range model.Sides {
		for _, place := range at {
			var read measure.Optional[measure.Length]
			for _, r := range all {
				if r.Side == side && math.Abs(r.At-float64(place)) < 1e-6 {
					read = measure.Some(measure.Length(r.Value))
				}
			}
			out[side] = append(out[side], read)
		}
	}
	return out
}

func (w *tree) record() record.Record {
	w.t.Helper()
	desc, err := record.Describe(w.bow)
	must(w.t, err)
	return record.Record{Description: desc, Items: w.items}
}

func (w *tree) story() session.Story { return storyOf(w.record()) }

func (w *tree) says(settings verdict.Settings) verdict.Advice {
	w.t.Helper()
	var err error
	w.said, err = w.said.Again(w.story(), settings, nil)
	must(w.t, err)
	return w.said
}

// finishing is how far the bow of an advice is by the usual settings.
func finishing(a verdict.Advice, now time.Time) verdict.Finishing {
	return verdict.FinishingOf(a.Story(), finish.Usual(), verdict.Usual().Takes, now, date.ISO)
}

// judge is the verdict on it at the time of its last entry.
func judge(a verdict.Advice) verdict.Verdict { return a.Judge(finishing(a, a.Story().LastAt().UTC())) }

// scrape takes off what the advice says.
func (w *tree) scrape(removal []verdict.Removal) { w.stave.Work(w.r, w.log(removal), 0.2) }

// log logs what the advice says as shares of the depth, and returns the cuts.
func (w *tree) log(removal []verdict.Removal) (work []treetest.Scraping) {
	w.t.Helper()
	for _, r := range removal {
		work = append(work, treetest.Scraping{Side: r.Side, From: r.From, To: r.To, Loss: r.Loss})
		w.add(model.Scrape{Limb: r.Side, From: measure.Length(r.From), To: measure.Length(r.To), Tool: "scraper",
			DepthShare: measure.Some(r.DepthShare)})
	}
	return work
}

// along are draws up to the stop line that the advice allows, the longest last.
func (w *tree) along() []float64 {
	next, ok := w.says(verdict.Usual()).Next.Get()
	if !ok {
		w.t.Fatal("there is no stop line")
	}
	var draws []float64
	for _, short := range []float64{9, 6, 3, 0} {
		if d := math.Floor(4*(next.Draw-short)) / 4; d > w.stave.Brace+1 {
			draws = append(draws, d)
		}
	}
	return draws
}

func must(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// forty is a bow that was scraped forty times, and read after each.
func forty(b testing.TB) *tree { return passes(b, 40) }

// passes is one that was scraped so many times.
func passes(b testing.TB, n int) *tree {
	w := newTree(b, uint64(n))
	for i := range n {
		if i > 0 {
			from := float64(4 + i%5*5)
			side := model.Sides[i%2]
			w.stave.Scrape(side, from, from+6, 0.02)
			w.add(model.Scrape{Limb: side, From: measure.Length(from), To: measure.Length(from + 6),
				Tool: "scraper", Strokes: measure.Some(8)})
		}
		w.read(8, 10, 12)
	}
	return w
}

// BenchmarkFortyPasses is the advice on a bow that was scraped forty times: made from nothing, and after one
// more pull.
func BenchmarkFortyPasses(b *testing.B) {
	w := forty(b)
	b.Run("nothing", func(b *testing.B) {
		for b.Loop() {
			w.says(verdict.Usual())
		}
	})
	known := w.says(verdict.Usual())
	w.add(model.Pull{Draw: 13, Peak: pounds(w.stave.Force(13)), From: model.FromLine})
	more := w.story()
	b.Run("one more pull", func(b *testing.B) {
		for b.Loop() {
			if _, err := known.Again(more, verdict.Usual(), nil); err != nil {
				b.Fatal(err)
			}
		}
	})
}
