package verdict

import (
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
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

// Strip is a pass in one line: how both limbs bent against the aim after it, by all readings up to its end,
// and what the bow would weigh then. Later readings don't change it.
type Strip struct {
	Pass  int
	At    time.Time // of its last entry; zero where none says one
	Limbs [2]course // by Side
	// Weight is at the draw of the advice; it is unread before the first peak. Tiller is upper less lower,
	// braced, at the tiller's place; it is unread before the first reading on a string.
	Weight, Tiller measure.Optional[estimate.Figure]
	Strokes        [2]int // counted in the pass, by Side
	Off            string // what came off in words; "" for nothing
}

// course is how one limb bends against the aim, from its root outwards.
type course struct {
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

// tells says whether a deviation is known well enough to be shown: its range says stiff or weak for certain,
// or is so narrow that a finding of the least size would be told from an even limb nine times in ten.
func tells(d estimate.Figure) bool {
	return d.High < 0 || d.Low > 0 || d.High-d.Low <= 2*whollyOff
}

func courseOf(at []float64, b estimate.Bending, uneven estimate.Figure, outer float64) course {
	n := len(at)
	c := course{At: at, Deviation: make([]estimate.Figure, n), Known: make([]bool, n), Cells: make([]Cell, n/2)}
	for i, d := range b.Deviation {
		c.Deviation[i], c.Known[i] = d, b.Compared[i] && at[i] <= outer && tells(d)
		if c.Known[i] && i%2 == 1 {
			c.Cells[i/2] = cellOf(d.Estimate)
		}
	}
	if outer > 0 && uneven.Estimate > 0 {
		c.Uneven = measure.Some(uneven)
	}
	return c
}

// Text is the limb's cells in a line, from the root outwards for the upper limb and from the nock inwards for
// the lower one, so that both stand as in the picture.
func (s Strip) Text(side model.Side, ascii bool) string {
	var glyphs []rune
	for _, cell := range s.Limbs[side].Cells {
		glyphs = append(glyphs, cell.Glyph(ascii))
	}
	if side == model.Lower {
		slices.Reverse(glyphs)
	}
	return string(glyphs)
}

// Tells says whether the strip shows anything of how both limbs bend.
func (s Strip) Tells() bool {
	return slices.Contains(s.Limbs[0].Known, true) && slices.Contains(s.Limbs[1].Known, true)
}
