package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/plain"
	"bendbook/session"
)

// A Spell is a place of a limb that was flat, or weak, over some passes.
type Spell struct {
	Stretch
	Hinge       bool
	First, Last int     // the passes from which and up to which it was off
	EvenSince   int     // the pass from which on it is even; -1 while it isn't
	Strokes     int     // counted there
	surely      float64 // how far off it was at least, when that was surest
}

// surelyOff is how far off a place must be for certain in some pass to be told of: a third of the least
// finding.
const surelyOff = whollyOff / 3

// Spells are the worst flat and the worst weak place of each limb over all passes, and what is found now,
// flats first, the worst first.
func (a Advice) Spells() []Spell {
	var all []Spell
	for _, side := range model.Sides {
		for _, sign := range []float64{-1, 1} {
			if peak, surely := a.peak(side, sign); peak >= 0 {
				all = append(all, a.spellAt(a.about(side, sign, peak), sign > 0, surely))
			}
		}
	}
	for _, f := range a.Findings {
		at := Stretch{Side: f.Side, From: f.From, To: f.To}
		now := a.spellAt(at, f.Hinge, min(math.Abs(f.Deviation.Low), math.Abs(f.Deviation.High)))
		i := slices.IndexFunc(all, func(s Spell) bool {
			return s.Side == f.Side && s.Hinge == f.Hinge && overlap(s.Stretch, f.From, f.To) > 0
		})
		switch {
		case i < 0:
			all = append(all, now)
		case all[i].EvenSince < 0:
			now.surely = max(now.surely, all[i].surely)
			all[i] = now // in the verdict's own words
		}
	}
	slices.SortStableFunc(all, func(s, t Spell) int {
		return cmp.Or(truth(s.Hinge)-truth(t.Hinge), cmp.Compare(t.surely, s.surely))
	})
	return all
}

// spellAt tells in which passes a stretch was off.
func (a Advice) spellAt(at Stretch, hinge bool, surely float64) Spell {
	s := Spell{Stretch: at, Hinge: hinge, First: -1, EvenSince: -1, surely: surely, Strokes: a.strokesAt(at)}
	sign := -1.0
	if hinge {
		sign = 1
	}
	for _, strip := range a.Strips {
		off, known := strip.Limbs[at.Side].mean(at.From, at.To)
		switch {
		case !known:
		case sign*off >= slightlyOff:
			if s.First < 0 {
				s.First = strip.Pass
			}
			s.Last, s.EvenSince = strip.Pass, -1
		case s.First >= 0 && s.EvenSince < 0:
			s.EvenSince = strip.Pass
		}
	}
	if s.First < 0 {
		s.First, s.Last = a.Pass, a.Pass
	}
	return s
}

// peak is the index of the place that was off farthest and longest, of those that once were off for certain,
// and how far it then was at least; −1 is none. It is flat where sign is −1, weak where it is 1.
func (a Advice) peak(side model.Side, sign float64) (peak int, surely float64) {
	peak = -1
	most := 0.0
	for i := range a.Strips[0].Limbs[side].At {
		sum, least := 0.0, 0.0
		for _, strip := range a.Strips {
			c := strip.Limbs[side]
			d := c.Deviation[i]
			if off := sign * d.Estimate; c.Known[i] && off >= slightlyOff {
				sum += off
				least = max(least, min(sign*d.Low, sign*d.High))
			}
		}
		if least >= surelyOff && sum > most {
			peak, most, surely = i, sum, least
		}
	}
	return peak, surely
}

// about is the stretch around a peak where the limb was at least half as far off, in the mean of the passes
// in which the peak was.
func (a Advice) about(side model.Side, sign float64, peak int) Stretch {
	at := a.Strips[0].Limbs[side].At
	mean := make([]float64, len(at))
	for _, strip := range a.Strips {
		c := strip.Limbs[side]
		if !c.Known[peak] || sign*c.Deviation[peak].Estimate < slightlyOff {
			continue
		}
		for i, d := range c.Deviation {
			if c.Known[i] {
				mean[i] += sign * d.Estimate
			}
		}
	}
	// edge is where the mean falls to half between two places, the first of them within.
	edge := func(by int) float64 {
		i := peak
		for i+by >= 0 && i+by < len(at) && mean[i+by] >= mean[peak]/2 {
			i += by
		}
		if i+by < 0 || i+by == len(at) {
			return at[i]
		}
		share := (mean[i] - mean[peak]/2) / (mean[i] - mean[i+by])
		return at[i] + share*(at[i+by]-at[i])
	}
	return Stretch{Side: side, From: edge(-1), To: edge(1)}
}

// mean is the mean deviation from one place to another, as far as it is known: of half of them at least.
func (c course) mean(from, to float64) (mean float64, known bool) {
	n, all := 0, 0
	for i, at := range c.At {
		if at < from || at > to {
			continue
		}
		all++
		if c.Known[i] {
			mean += c.Deviation[i].Estimate
			n++
		}
	}
	return mean / float64(max(n, 1)), n > 0 && 2*n >= all
}

// strokesAt are the strokes that were counted mostly at a stretch: on no more than twice its length.
func (a Advice) strokesAt(at Stretch) (n int) {
	for _, pass := range a.story.Passes {
		for _, s := range pass.Scrapes {
			from, to := float64(s.From), float64(s.To)
			least, most := (at.To-at.From)/2, 2*(at.To-at.From)
			there := overlap(at, from, to)
			if s.Limb == at.Side && to-from <= most && there > min(least, (to-from)/2) {
				n += s.Strokes.Or(0)
			}
		}
	}
	return n
}

// SayHistory describes the flats and weak places of all passes, in a sentence or two each. Days are in an
// order.
func (a Advice) SayHistory(dates date.Order) []string {
	if !slices.ContainsFunc(a.Strips, Strip.Tells) {
		return []string{"You can't see yet how the limbs bend."}
	}
	var says []string
	for _, s := range a.Spells() {
		says = append(says, a.saySpell(s, dates))
	}
	if len(says) == 0 {
		return []string{"No pass showed a sure stiff or weak place."}
	}
	return says
}

// SayUntold says that the bend can't be told yet, and what reading would tell it.
func (a Advice) SayUntold() string {
	const says = "You can't see yet how evenly it bends"
	if len(a.Unsure) == 0 {
		return says + "."
	}
	u, places := a.Unsure[0], a.blockPlaces(a.Unsure[0])
	if places == "" {
		return fmt.Sprintf("%s: read one to three more stations on the %s limb, %s.", says, u.Side,
			a.fromTo(u.From, u.To))
	}
	return fmt.Sprintf("%s. Read gaps under a %s block on the braced %s limb, at %s.", says,
		a.short(either(a.Bow, 6, 15)), u.Side, places)
}

// saySpell: Flat at 16–22 in on the upper limb from pass 0 to pass 21; even since pass 24 (12 Mar). 41
// strokes there.
func (a Advice) saySpell(s Spell, dates date.Order) string {
	what := "flat"
	if s.Hinge {
		what = "weak"
	}
	places := a.placesBy(1, s.From, s.To)
	where := fmt.Sprintf("%s at %s %s on the %s limb", what, places, a.Bow.Units.Length, s.Side)
	said := session.Capital(where)
	switch {
	case s.Last == a.Pass:
		said = fmt.Sprintf("Still %s since pass %d", where, s.First)
	case s.First == s.Last:
		said += fmt.Sprintf(" in pass %d", s.First)
	default:
		said += fmt.Sprintf(" from pass %d to pass %d", s.First, s.Last)
	}
	switch {
	case s.EvenSince < 0 && s.Last < a.Pass:
		said += "; can't be told since"
	case s.EvenSince >= 0:
		said += fmt.Sprintf("; even since pass %d", s.EvenSince)
		if at := a.Strips[s.EvenSince].At; !at.IsZero() {
			said += fmt.Sprintf(" (%s)", dates.Day(at))
		}
	}
	said += "."
	if !s.Hinge && s.Strokes > 0 {
		said += " " + plain.Plural(s.Strokes, "%d stroke there.", "%d strokes there.", s.Strokes)
	}
	return strings.TrimSpace(said)
}

// leastScale is how far the scale of pictures and strips reaches either way, unless a place is farther off.
const leastScale = 0.3

// Scale is how far off the aim any known place of any pass is, 30% at least, in steps of ten: one scale for
// all pictures of a bow.
func (a Advice) Scale() float64 {
	most := leastScale
	for _, s := range a.Strips {
		for _, c := range s.Limbs {
			for i, d := range c.Deviation {
				if c.Known[i] {
					most = max(most, math.Abs(d.Estimate))
				}
			}
		}
	}
	return math.Ceil(10*most-1e-9) / 10
}
