package estimate

import "bendbook/model"

// A Pass is the wood taken off in one go and all that was read after it.
type Pass struct {
	Scrapes []Scrape
	// Relaxed are distances of the unstrung bow from the line.
	Relaxed []Reading
	// Hangs are the bow on one string after another, in the order of time.
	Hangs []Hang
}

// pulls is the number of pulls.
func (p Pass) pulls() (n int) {
	for _, h := range p.Hangs {
		n += len(h.Pulls)
	}
	return n
}

// longest is the longest draw by the end of the pass, given that before it (in).
func (p Pass) longest(before float64) float64 {
	for _, h := range p.Hangs {
		for _, pull := range h.Pulls {
			before = max(before, pull.Draw)
		}
	}
	return before
}

// onlyPeaks is the pass without what was read at stations.
func (p Pass) onlyPeaks() Pass {
	bare := Pass{Scrapes: p.Scrapes}
	for _, h := range p.Hangs {
		only := Hang{Long: h.Long, Length: h.Length, Brace: h.Brace}
		for _, pull := range h.Pulls {
			only.Pulls = append(only.Pulls, Pull{Draw: pull.Draw, Peak: pull.Peak})
		}
		bare.Hangs = append(bare.Hangs, only)
	}
	return bare
}

// A Reading is one distance at one place of a limb (in).
type Reading struct {
	Side  model.Side
	At    float64 // distance from the root along the limb
	Value float64
}

// A Hang is the bow with one string: what was read braced, and its pulls.
type Hang struct {
	// Long says that the string does not brace the bow. Its Length must then be known.
	Long bool
	// Length is the string's length between nocks (in); 0 where it was not measured.
	Length float64
	// Brace is the height of the braced string over the belly line at the middle of the handle (in); 0 where
	// it was not measured. A long string has none.
	Brace float64
	// Line and Gap are of the braced bow, from the line and to the string; Blocks of gaps under a block.
	Line, Gap []Reading
	Blocks    []BlockRow
	Pulls     []Pull
}

// A BlockRow is a row of gaps at the middle of a straight block laid along the belly of the braced bow.
type BlockRow struct {
	// Block is the block's length (in).
	Block float64
	Gaps  []Reading
}

// A Pull is the bow drawn once.
type Pull struct {
	// Draw is of the hook from the belly line (in).
	Draw float64
	// Peak is the scale's (lbf); 0 where it was not read.
	Peak float64
	// Line and Gap are readings of the drawn bow from the line and to the string.
	Line, Gap []Reading
}

// A Scrape is wood taken off the belly of one limb between two places.
type Scrape struct {
	Side     model.Side
	From, To float64 // from the root (in)
	// Share is the fraction of the depth that came off, if it was measured; Depth the same in inches; Strokes
	// the number of strokes. 0 is not known.
	Share, Depth float64
	Strokes      int
	// Stroke is what a stroke of the tool takes; the zero is the usual one.
	Stroke Stroke
}

// A Stroke is what a tool takes at a stroke: the depth (in), and the error of one scraping as a share (1 sd).
type Stroke struct{ Depth, Error float64 }

// UsualStroke is that of a scraper by common practice: 0.002 in, 0.001 to 0.003. Its error is this project's
// own.
func UsualStroke() Stroke { return Stroke{Depth: 0.002, Error: 0.6} }

// Kind says what sort of figure was read.
type Kind uint8

// The kinds of reading.
const (
	Line    Kind = iota // distance from the belly line
	Gap                 // distance to the string
	Block               // gap under a block
	Relaxed             // distance of the unstrung bow from the line
	Peak                // scale's peak
	Brace               // brace height
	String              // length of the string
)

// Where says which reading is meant.
type Where struct {
	Kind Kind
	// Hang is the number of its hang in the pass, and Draw the draw of its pull, 0 when braced.
	Hang int
	Draw float64
	// Side and At are the limb and the distance from its root, for readings at stations; Block is the block's
	// length, for gaps under a block.
	Side  model.Side
	At    float64
	Block float64
}
