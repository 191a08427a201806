package verdict_test

import (
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// finishing is how far the walker's bow is, by the usual stages.
func (w *tree) finishing() verdict.Finishing {
	story := w.story()
	settings := finish.Usual()
	now := story.LastAt()
	if now.IsZero() {
		now = time.Unix(1e9, 0).UTC()
	}
	log := finish.Log(story.Facts())
	return verdict.Finishing{Progress: settings.Progress(log, measure.Some(measure.Force(w.stave.Weight+1)), now), Now: now}
}

func TestWalk(t *testing.T) {
	seeds := []uint64{1}
	if s := os.Getenv("SEEDS"); s != "" {
		var n uint64
		fmt.Sscan(s, &n)
		seeds = nil
		for i := range n {
			seeds = append(seeds, i+1)
		}
	}
	if s := os.Getenv("SEED"); s != "" {
		var n uint64
		fmt.Sscan(s, &n)
		seeds = []uint64{n}
	}
	for _, seed := range seeds {
		w := newTree(t, seed)
		w.read(8)
		var a verdict.Advice
		passes := 0
		last := ""
		for step := range 80 {
			_ = step
			story := w.story()
			var err error
			a, err = a.Again(story, verdict.Usual(), nil)
			must(t, err)
			v := a.Judge(w.finishing())
			if len(seeds) == 1 {
				fmt.Printf("p%d %-12s %-10s %s | %s\n", story.Pass().Number, v.Rule, v.Word, v.Say, v.Why)
			}
			last = v.Rule
			switch v.Do {
			case verdict.Draw, verdict.DrawAgain:
				d := v.Draw.Or(0)
				w.read(math.Floor(d*8) / 8)
			case verdict.Scrape:
				w.scrape(a.Removal)
				passes++
			case verdict.Exercise:
				w.add(model.Exercise{Pulls: 20})
			case verdict.Measure, verdict.Check:
				w.read(math.Floor(float64(story.LongestDraw())*8) / 8)
			case verdict.Stop:
				if v.Rule == "over weight" && len(a.Removal) > 0 {
					w.scrape(a.Removal)
					passes++
					continue
				}
				goto out
			default:
				goto out
			}
		}
	out:
		f := w.stave.Force(w.stave.Draw)
		fmt.Printf("seed %d: ended %q after %d passes, %d entries; weight %.2f wanted %.2f\n", seed, last, passes, len(w.items), f, w.stave.Weight)
	}
}

func TestStuck(t *testing.T) {
	w := newTree(t, 20)
	w.read(8)
	for range 40 {
		a := w.says(verdict.Usual())
		v := a.Judge(w.finishing())
		p, _ := a.Plan.Get()
		fmt.Println(v.Rule, v.Say, v.Why)
		if v.Rule == "weak" && v.Do == verdict.Stop {
			fmt.Printf("now %+v wear %+v verdict %v way %v under %v\n", p.Now.Weight, p.Wear, p.Verdict, p.Way, p.Now.ChanceUnder)
			for _, s := range p.Stretches {
				fmt.Print(s, " ")
			}
			break
		}
		switch v.Do {
		case verdict.Draw, verdict.DrawAgain:
			w.read(math.Floor(v.Draw.Or(0)*8) / 8)
		case verdict.Scrape:
			w.scrape(a.Removal)
		case verdict.Exercise:
			w.add(model.Exercise{Pulls: 20})
		}
	}
}
