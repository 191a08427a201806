package plan

import (
	"math"
	"slices"

	"bendbook/model/estimate"
)

// A part is a stretch that is long enough to be scraped, with all that is left to take there.
type part struct {
	Cut
	unsure float64 // of its bend (1 sd), of the logarithm
	spared bool    // nothing is taken: it lies on a hinge, or is short with no neighbour to join
	tip    bool    // it is the last of its limb, beside what is not compared
}

// parts joins stretches that are too short with the neighbour that needs most nearly the same.
func parts(way []Cut, found []estimate.Finding, t *estimate.Trial, fine bool) []part {
	var all []part
	for _, c := range way {
		all = append(all, part{Cut: c, spared: onHinge(c.Stretch, found)})
	}
	for j := nextToJoin(all, fine); j >= 0; j = nextToJoin(all, fine) {
		a, b := &all[j], all[j+1]
		a.Loss = (a.Loss*a.long() + b.Loss*b.long()) / (b.To - a.From)
		a.To = b.To
		all = slices.Delete(all, j+1, j+2)
	}
	for j := range all {
		s := &all[j]
		s.unsure = t.Unsure(s.Stretch)
		s.tip = tip(all, j)
		s.spared = s.spared || scraped(all, j, fine) < leastStretch
	}
	return all
}

// tip says whether a part is the last of its limb.
func tip(all []part, j int) bool { return j+1 == len(all) || all[j+1].Side != all[j].Side }

// scraped is how long a cut at one part is; a fine one counts with the neighbours into which it fades.
func scraped(all []part, j int, fine bool) float64 {
	long := all[j].long()
	if !fine {
		return long
	}
	fades := func(i int) bool { return !all[i].spared && touch(all[i].Stretch, all[j].Stretch) }
	if j > 0 && fades(j-1) {
		long += all[j-1].long()
	}
	if !tip(all, j) && !tip(all, j+1) && fades(j+1) {
		long += all[j+1].long()
	}
	return long
}

// onHinge says whether any of a stretch lies on a hinge.
func onHinge(s estimate.Stretch, found []estimate.Finding) bool {
	return slices.ContainsFunc(found, func(f estimate.Finding) bool {
		return f.Hinge && f.Side == s.Side && s.From < f.To && f.From < s.To
	})
}

// nextToJoin is the part to join with the next one, -1 where all are long enough or stand alone.
func nextToJoin(all []part, fine bool) int {
	best, unlike := -1, math.Inf(1)
	for j := range len(all) - 1 {
		a, b := all[j], all[j+1]
		short := min(scraped(all, j, fine), scraped(all, j+1, fine)) < leastStretch
		joins := short && a.spared == b.spared && touch(a.Stretch, b.Stretch)
		if d := math.Abs(a.Loss - b.Loss); joins && d < unlike {
			best, unlike = j, d
		}
	}
	return best
}

// inCommon is what all parts need but for a quarter of them, of those that aren't spared.
func inCommon(parts []part) float64 {
	var open []float64
	for _, s := range parts {
		if !s.spared {
			open = append(open, s.Loss)
		}
	}
	if len(open) == 0 {
		return 0
	}
	slices.Sort(open)
	return open[len(open)/4]
}

func (s part) long() float64 { return s.To - s.From }
