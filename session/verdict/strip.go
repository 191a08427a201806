package verdict

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Cell is how a short stretch of a limb bends against the aim.
type Cell int

// The cells, from what the readings can't tell.
const (
	Unknown Cell = iota
	Stiff
	SlightlyStiff
	Even
	SlightlyWeak
	Weak
)

// String names the cell as documents and legends do.
func (c Cell) String() string {
	return [...]string{"unknown", "stiff", "slightly stiff", "even", "slightly weak", "weak"}[c]
}

// Glyph is the cell's sign, one column wide.
func (c Cell) Glyph(ascii bool) rune {
	if ascii {
		return rune(" #+.wW"[c])
	}
	return []rune(" █▒·wW")[c]
}

// Strip is a pass in one line: how both limbs bent against the aim after it, by all readings up to its end, and
// what the bow would weigh then. Later readings don't change it.
type Strip struct {
	Pass  int
	At    time.Time // of its last entry; zero where none says one
	Limbs [2]Course // by Side
	// Weight is at the draw of the advice; it is unread before the first peak. Tiller is upper less lower,
	// braced, at the tiller's place; it is unread before the first reading on a string.
	Weight, Tiller measure.Optional[estimate.Figure]
	Strokes        [2]int // counted in the pass, by Side
	Off            string // what came off in words; "" for nothing
}

// Course is how one limb bends against the aim, from its root outwards.
type Course struct {
	// At are places an inch, or 2.5 cm, apart; Deviation is bend over aim less 1 at each, and Known says whether
	// the readings tell it.
	At        []float64
	Deviation []estimate.Figure
	Known     []bool
	Cells     []Cell // one for each 2 in, or 5 cm: that of the place in its middle
	Uneven    measure.Optional[estimate.Figure]
}

// From which deviation on a place is slightly off, and from which it is off: that of the least finding.
const (
	slightlyOff = 0.06
	whollyOff   = 0.12
)

// cellOf is the cell of a deviation.
func cellOf(deviation float64) Cell {
	switch {
	case deviation <= -whollyOff:
		return Stiff
	case deviation <= -slightlyOff:
		return SlightlyStiff
	case deviation >= whollyOff:
		return Weak
	case deviation >= slightlyOff:
		return SlightlyWeak
	}
	return Even
}

// tells says whether a deviation is known well enough to be shown: its range says stiff or weak for certain, or is
// so narrow that a finding of the least size would be told from an even limb nine times in ten.
func tells(d estimate.Figure) bool {
	return d.High < 0 || d.Low > 0 || d.High-d.Low <= 2*whollyOff
}

// StripStep is the way between two places of a strip (in); a cell takes two.
func StripStep(bow model.Bow) float64 { return either(bow, 1, 2.5) }

// strips are what the strips of passes follow from besides their readings, and the strips.
type strips struct {
	draw, tiller float64
	aim          estimate.Aim
	all          []Strip
}

// strip makes the strips of all passes; those of known ones that stayed as they were are taken over. states are the
// last ones, one for each pass from the first-th on.
func (a *Advice) strip(known folded, first int, states []estimate.State) {
	now := strips{draw: a.Draw, tiller: a.aimPlace(), aim: a.Aim}
	old := known.strips
	same := old.draw == now.draw && old.tiller == now.tiller && reflect.DeepEqual(old.aim, now.aim)
	if first > 0 && !same {
		// The states of the earlier passes are not kept.
		var again Advice
		if _, _, err := again.fold(folded{}, a.folded.bow, a.folded.passes); err != nil {
			return
		}
		first, states = 0, again.states
	}
	now.all = append(now.all, old.all[:min(first, len(old.all))]...)
	outer := [2]float64{}
	for n, pass := range a.folded.passes {
		outer = outermost(pass, outer)
		if n >= first {
			now.all = append(now.all, a.stripOf(states[n-first], outer))
		}
	}
	a.folded.strips = now
	for n, pass := range a.story.Passes {
		a.Strips = append(a.Strips, a.told(now.all[n], pass))
	}
}

// outermost is the outermost place of each limb that was read on a string so far.
func outermost(pass estimate.Pass, outer [2]float64) [2]float64 {
	note := func(readings []estimate.Reading, beyond float64) {
		for _, r := range readings {
			outer[r.Side] = max(outer[r.Side], r.At+beyond)
		}
	}
	for _, hang := range pass.Hangs {
		note(hang.Line, 0)
		note(hang.Gap, 0)
		for _, row := range hang.Blocks {
			note(row.Gaps, row.Block/2)
		}
		for _, pull := range hang.Pulls {
			note(pull.Line, 0)
			note(pull.Gap, 0)
		}
	}
	return outer
}

// stripOf is the strip of a state, where limbs were read out to a place each.
func (a *Advice) stripOf(state estimate.State, outer [2]float64) (s Strip) {
	step := StripStep(a.Bow)
	var at [2][]float64
	for side, limb := range a.Bow.Limbs {
		for n := 0.0; n*step <= float64(limb.Length); n++ {
			at[side] = append(at[side], n*step)
		}
	}
	tiller := min(a.aimPlace(), float64(shorter(a.Bow)))
	e, err := state.Evenness(a.Draw, a.Aim, at, tiller)
	for side := range s.Limbs {
		c := &s.Limbs[side]
		c.At, c.Deviation, c.Known = at[side], make([]estimate.Figure, len(at[side])), make([]bool, len(at[side]))
		if err == nil {
			c.fill(e.Limbs[side], e.Uneven[side], outer[side])
		}
		for i := 1; i < len(c.At); i += 2 {
			cell := Unknown
			if c.Known[i] {
				cell = cellOf(c.Deviation[i].Estimate)
			}
			c.Cells = append(c.Cells, cell)
		}
	}
	if err == nil && state.Weighed() {
		s.Weight = measure.Some(e.Weight.Force)
	}
	if err == nil && max(outer[0], outer[1]) > 0 {
		s.Tiller = measure.Some(e.Tiller)
	}
	return s
}

func (c *Course) fill(b estimate.Bending, uneven estimate.Figure, outer float64) {
	c.Deviation = b.Deviation
	for i, d := range b.Deviation {
		c.Known[i] = b.Compared[i] && c.At[i] <= outer && tells(d)
	}
	if outer > 0 && uneven.Estimate > 0 {
		c.Uneven = measure.Some(uneven)
	}
}

// told is a strip with what the pass's entries say themselves.
func (a *Advice) told(s Strip, pass session.Pass) Strip {
	s.Pass = pass.Number
	for _, line := range a.story.LinesOf(pass) {
		if at := line.Entry.At; line.Counts() && !at.IsZero() {
			s.At = at
		}
	}
	for _, scrape := range pass.Scrapes {
		s.Strokes[scrape.Limb] += scrape.Strokes.Or(0)
	}
	s.Off = a.sayOff(pass.Scrapes)
	return s
}

// sayOff tells scrapings, those that adjoin on one limb as one: upper 18–28 ×21, lower 4–10.
func (a *Advice) sayOff(scrapes []model.Scrape) string {
	var parts []string
	for i := 0; i < len(scrapes); {
		all := scrapes[i]
		strokes := all.Strokes.Or(0)
		for i++; i < len(scrapes) && scrapes[i].Limb == all.Limb && adjoin(scrapes[i], all); i++ {
			all.From, all.To = min(all.From, scrapes[i].From), max(all.To, scrapes[i].To)
			strokes += scrapes[i].Strokes.Or(0)
		}
		at := a.places(float64(all.From), float64(all.To))
		said := all.Limb.String() + " " + strings.TrimSuffix(at, " "+string(a.Bow.Units.Length))
		if strokes > 0 {
			said += fmt.Sprintf(" ×%d", strokes)
		}
		parts = append(parts, said)
	}
	return strings.Join(parts, ", ")
}

func adjoin(a, b model.Scrape) bool {
	return a.From <= b.To+slack && b.From <= a.To+slack
}

// slack is how far apart two scrapings may be and still adjoin (in).
const slack = 1.0 / 16

// Text is the limb's cells in a line, from the root outwards for the upper limb and from the nock inwards for the
// lower one, so that both stand as in the picture.
func (s Strip) Text(side model.Side, ascii bool) string {
	cells := s.Limbs[side].Cells
	glyphs := make([]rune, len(cells))
	for i, cell := range cells {
		if side == model.Lower {
			i = len(cells) - 1 - i
		}
		glyphs[i] = cell.Glyph(ascii)
	}
	return string(glyphs)
}

// Tells says whether the strip shows anything of how both limbs bend.
func (s Strip) Tells() bool {
	for _, c := range s.Limbs {
		known := false
		for _, k := range c.Known {
			known = known || k
		}
		if !known {
			return false
		}
	}
	return true
}

// leastScale is how far the scale of pictures and strips reaches either way, unless a place is farther off.
const leastScale = 0.3

// Scale is how far off the aim any known place of any pass is, 30% at least, in steps of ten: one scale for all
// pictures of a bow.
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
