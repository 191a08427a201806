package photo_test

import (
	"flag"
	"math"
	"testing"

	"bendbook/model/photo"
	"bendbook/model/treetest"
)

var (
	pictures = flag.Int("pictures", 4, "pictures that are rendered and read")
	first    = flag.Uint64("seed", 1, "seed of the first picture")
)

// A tally is what came of pictures.
type tally struct {
	off, tips                          []float64 // at all stations given, and at the outermost of each limb
	right, wrong, unseen, asked, drawn float64
	hooks                              float64 // where there is none
	refused, fair                      float64 // of those with five marks and most stickers to be seen
}

// add reads one picture.
func (a *tally) add(t *testing.T, seed uint64) {
	s, data := shoot(t, seed)
	p, err := photo.Open(data)
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	got, err := photo.Read(p, s.board, s.bow)
	hidden, all := 0, 0
	for _, row := range s.hidden {
		for _, h := range row {
			all++
			if h {
				hidden++
			}
		}
	}
	if fair := s.marks >= 5 && 5*hidden <= all; fair {
		a.fair++
		if err != nil {
			a.refused++
		}
	}
	if err != nil {
		t.Logf("seed %d: %v", seed, err)
		return
	}
	worst := 0.0
	for side, row := range got.At {
		last := 0.0
		for k, at := range row {
			v, known := at.Get()
			switch e := math.Abs(float64(v) - s.truth[side][k]); {
			case known && (s.hidden[side][k] || e > 0.25):
				a.wrong++
				t.Errorf("seed %d: limb %d, station %d: read %.3f, is %.3f, hidden %v", seed, side, k, float64(v),
					s.truth[side][k], s.hidden[side][k])
			case known:
				a.off = append(a.off, e)
				last, worst = e, max(worst, e)
				if e <= 0.05 {
					a.right++
				}
			case !s.hidden[side][k]:
				a.unseen++
			}
		}
		a.tips = append(a.tips, last)
	}
	// A round thing of the hook's colour just where a taut string reaches looks like a hook, where there is none.
	if draw, seen := got.Draw.Get(); seen && s.draw == 0 {
		a.hooks++
	} else if seen {
		a.drawn++
		if math.Abs(float64(draw)-s.draw) > 0.1 {
			t.Errorf("seed %d: the draw is %.3f, read %.3f", seed, s.draw, float64(draw))
		}
	}
	t.Logf("seed %d: %d by %d, lens %+.3f, worst %.3f", seed, p.Width, p.Height, s.lens, worst)
}

// Pictures as a camera in a shop takes them, of bows that a solver of its own bends, give what a rule would
// read, only finer. A station that can't be seen is never read off another sticker. Few pictures say nothing
// of shares, so below 100 the bars are wider.
func TestRenderedPictures(t *testing.T) {
	t.Parallel()
	var a tally
	for i := range *pictures {
		a.asked++
		a.add(t, *first+uint64(i))
	}
	given, q := float64(len(a.off)), treetest.Quantile
	t.Logf("%v pictures, %v stations given: within 0.05 in %.4f, median off %.4f, 9 in 10 below %.4f, at the tips "+
		"%.4f; wrong %v; visible but not given %v; draws %v, hooks that aren't %v; refused %v of %v",
		a.asked, given, a.right/given, q(a.off, 0.5),
		q(a.off, 0.9), q(a.tips, 0.5), a.wrong, a.unseen, a.drawn, a.hooks, a.refused, a.fair)
	least, most := 0.99, 0.05
	if a.asked < 100 {
		least, most = 0.95, 0.2
	}
	if a.right < least*given || q(a.off, 0.5) > 0.015 || a.refused > most*a.fair || a.unseen > 0.02*given ||
		a.hooks > max(0.01*a.asked, 1) {
		t.Error("the bars aren't met")
	}
}
