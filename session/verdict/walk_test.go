package verdict_test

import (
	"fmt"
	"math"
	"os"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/virtualtest"
	"bendbook/session/verdict"
)

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
			v := judge(a)
			if len(seeds) == 1 {
				fmt.Printf("p%d %-12s %-10s %s | %s\n", story.Pass().Number, v.Rule, v.Word, v.Say, v.Why)
			}
			last = v.Rule
			switch v.Do {
			case verdict.Draw, verdict.DrawAgain:
				d := v.Draw.Or(0)
				w.read(math.Floor(d*8) / 8)
			case verdict.Scrape:
				if len(a.Removal) == 0 {
					w.lightly()
				}
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

// lightly takes a few strokes down both limbs.
func (w *tree) lightly() {
	for _, side := range model.Sides {
		to := w.stave.Limb(side).Length
		w.add(model.Scrape{Limb: side, From: 0, To: measure.Length(to), Tool: "scraper", DepthShare: measure.Some(0.003)})
		w.stave.Work(w.r, []virtualtest.Scraping{{Side: side, From: 0, To: to, Loss: 0.0086}}, 0.2)
	}
}
