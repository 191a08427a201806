package verdict_test

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/virtualtest"
	"bendbook/session/verdict"
)

// follow does what the verdict asks for and nothing else, from a first short pull on, until it asks for no more work
// at the tree. It returns the last verdict.
func (w *tree) follow() verdict.Verdict {
	w.t.Helper()
	w.read(8)
	var a verdict.Advice
	var v verdict.Verdict
	for range 120 {
		var err error
		a, err = a.Again(w.story(), verdict.Usual(), nil)
		must(w.t, err)
		v = judge(a)
		if !w.does(a, v) {
			break
		}
	}
	return v
}

// does what a verdict asks for; done is false where that is no work at the tree.
func (w *tree) does(a verdict.Advice, v verdict.Verdict) (done bool) {
	w.t.Helper()
	longest := float64(w.story().LongestDraw())
	switch {
	case v.Do == verdict.Draw || v.Do == verdict.DrawAgain:
		to := v.Draw.Or(0)
		if next, ok := a.Next.Get(); !ok || to > v.Most || to > w.stave.Draw || to > max(next.Draw, longest) {
			w.t.Errorf("%+v, with the order at %v and the stop line at %v", v, w.stave.Draw, next.Draw)
		}
		w.read(math.Floor(to*8) / 8)
	case v.Do == verdict.Scrape && len(a.Removal) == 0:
		w.lightly()
	case v.Do == verdict.Scrape || v.Rule == "over weight":
		w.scrape(a.Removal)
		return len(a.Removal) > 0
	case v.Do == verdict.Exercise:
		w.add(model.Exercise{Pulls: 20})
	case v.Do == verdict.Measure || v.Do == verdict.Check:
		w.read(math.Floor(longest*8) / 8)
	default:
		return false
	}
	return true
}

// lightly takes a few strokes down both limbs.
func (w *tree) lightly() {
	for _, side := range model.Sides {
		to := w.stave.Limb(side).Length
		w.add(model.Scrape{Limb: side, From: 0, To: measure.Length(to), Tool: "scraper", DepthShare: measure.Some(0.003)})
		w.stave.Work(w.r, []virtualtest.Scraping{{Side: side, From: 0, To: to, Loss: 0.0086}}, 0.2)
	}
}

// A bowyer who does what the verdict says, and nothing else, ends with a bow of the right weight that was never
// drawn past its order or its weight.
func TestFollowingTheVerdictMakesTheBow(t *testing.T) {
	const bows = 12
	var mutex sync.Mutex
	good := 0
	t.Run("bows", func(t *testing.T) {
		for seed := uint64(1); seed <= bows; seed++ {
			t.Run("", func(t *testing.T) {
				t.Parallel()
				w := newTree(t, seed)
				v := w.follow()
				off := w.stave.Force(w.stave.Draw) - w.stave.Weight
				story := w.story()
				t.Logf("seed %d: %q after %d passes and %d entries, %+.2f lb off, uneven by %.3f and %.3f", seed, v.Rule,
					story.Pass().Number, len(w.items), off, w.stave.Uneven(model.Upper), w.stave.Uneven(model.Lower))
				if longest := float64(story.LongestDraw()); longest > w.stave.Draw+1e-9 {
					t.Errorf("seed %d: drawn to %v, ordered %v", seed, longest, w.stave.Draw)
				}
				if most := w.heaviest(); most > w.stave.Weight+1.5 {
					t.Errorf("seed %d: a pull of %.1f lb, wanted %v", seed, most, w.stave.Weight)
				}
				if v.Rule == "done" && off >= -0.5 && off <= 1 {
					mutex.Lock()
					good++
					mutex.Unlock()
				}
			})
		}
	})
	if good < bows*85/100 {
		t.Errorf("%d of %d bows are done and of the right weight", good, bows)
	}
}

// heaviest is the largest peak of all pulls.
func (w *tree) heaviest() (most float64) {
	for _, line := range w.story().Lines {
		if pull, ok := line.Entry.What.(model.Pull); ok {
			most = max(most, float64(pull.Peak.Or(0)))
		}
	}
	return most
}

// From the last pull to the hand-over the verdict is about the next stage, or what it waits for, and nothing else.
func TestFinishingIsToldStageByStage(t *testing.T) {
	w := tillered(t)
	w.bow.Number = "7"
	finishing := func() (verdict.Advice, verdict.Finishing, verdict.Verdict) {
		a := w.says(verdict.Usual())
		f := verdict.FinishingOf(a.Story(), finish.Usual(), verdict.Usual().Takes, w.now(), date.ISO)
		return a, f, a.Judge(f)
	}
	var told []string
	for range 40 {
		a, f, v := finishing()
		told = append(told, v.Word)
		if v.Rule == "handed over" {
			break
		}
		if len(told) > 1 {
			w.checkFinishing(a, v)
		}
		if v.Do != verdict.Finish {
			t.Fatalf("after %q the verdict is %+v", told, v)
		}
		stage := f.Progress.Stages[f.Progress.At]
		switch {
		case v.Word == "DRYING":
			w.later += 24 * time.Hour
		case stage.Seen == finish.SignWeighed:
			w.add(model.Pull{Draw: measure.Length(w.stave.Draw), Peak: measure.Some(measure.Force(w.stave.Weight - 1)), From: model.FromLine})
		default:
			step := f.StepOf(f.Progress.At)
			if doubt := f.Doubt(stage); doubt != "" {
				t.Errorf("asked to %q, it doubts: %s", v.Say, doubt)
			}
			w.add(step)
		}
	}
	want := []string{"SHOOT IN", "SMOOTH", "SAND 80", "SAND 120", "SAND 240", "WEIGH", "MARK", "HANDLE", "VARNISH 1", "DRYING",
		"VARNISH 2", "DRYING", "POLISH", "STRING", "HAND OVER", "HANDED OVER"}
	if !slices.Equal(told, want) {
		t.Errorf("told in turn\n%q\nwant\n%q", told, want)
	}
	// A bow that is away has no other verdict, whatever is logged of it.
	w.add(model.Scrape{Limb: model.Upper, From: 4, To: 8}, model.Pull{Draw: 12, From: model.FromLine})
	if _, _, v := finishing(); v.Do != verdict.None || v.Rule != "handed over" {
		t.Errorf("handed over, the verdict is %+v", v)
	}
}

// checkFinishing takes a verdict in finishing: nothing of tillering may stand in it or in its document.
func (w *tree) checkFinishing(a verdict.Advice, v verdict.Verdict) {
	w.t.Helper()
	if v.Rule != "finishing" || v.Draw.Known() || v.Stretch.Known() {
		w.t.Errorf("in finishing the verdict is %+v", v)
	}
	for _, word := range []string{" lb", "limb", "xercise", "draw", "stiff", "weak", "even", "stop"} {
		if strings.Contains(v.Say+v.Why, word) && v.Word != "WEIGH" {
			w.t.Errorf("%q stands in %q, %q", word, v.Say, v.Why)
		}
	}
	var b bytes.Buffer
	must(w.t, a.Write(&b, v))
	var doc struct {
		Next_pull any
		Removal   []any
		Done      bool
	}
	must(w.t, json.Unmarshal(b.Bytes(), &doc))
	if doc.Next_pull != nil || len(doc.Removal) > 0 || !doc.Done {
		w.t.Errorf("in finishing the document has %+v", doc)
	}
}
