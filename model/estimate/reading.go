package estimate

import (
	"slices"

	"bendbook/model"
)

// A Pass is the wood taken off in one go and all that was read after it.
type Pass struct {
	Shorten [2]float64 // what came off each limb at its nock (in)
	Scrapes []Scrape
	Heats   []Heat
	Relaxed []Reading // of the unstrung bow from the line
	Hangs   []Hang    // in the order of time
}

// pulls are those on all strings, in the order of time.
func (p Pass) pulls() (all []Pull) {
	for _, h := range p.Hangs {
		all = append(all, h.Pulls...)
	}
	return all
}

// longest is the longest draw by the end of the pass, given that before it (in).
func (p Pass) longest(before float64) float64 {
	for _, pull := range p.pulls() {
		before = max(before, pull.Draw)
	}
	return before
}

// onlyPeaks is the pass without what was read at stations.
func (p Pass) onlyPeaks() Pass {
	p.Relaxed, p.Hangs = nil, slices.Clone(p.Hangs)
	for i := range p.Hangs {
		h := &p.Hangs[i]
		h.Line, h.Gap, h.Blocks, h.Pulls = nil, nil, nil, slices.Clone(h.Pulls)
		for j := range h.Pulls {
			h.Pulls[j].Line, h.Pulls[j].Gap = nil, nil
		}
	}
	return p
}

// A Reading is one distance at one place of a limb (in).
type Reading struct {
	Side  model.Side
	At    float64 // distance from the root along the limb
	Value float64
	Photo bool // it was read off a photograph
}

// A Hang is the bow on one string: what was read braced, and its pulls.
type Hang struct {
	// Long says that the string does not brace the bow.
	Long bool
	// Length is the string's length between nocks, and Brace the height of the braced string over the belly
	// line at the middle of the handle (in); 0 where not measured. A long string has no brace.
	Length, Brace float64
	// Line and Gap are of the braced bow, from the line and to the string.
	Line, Gap []Reading
	Blocks    []BlockRow
	Pulls     []Pull
}

// A BlockRow is a row of gaps at the middle of a straight block laid along the belly of the braced bow.
type BlockRow struct {
	Block float64 // its length (in)
	Gaps  []Reading
}

// A Pull is the bow drawn once.
type Pull struct {
	Draw float64 // of the hook from the belly line (in)
	Peak float64 // on the scale (lbf); 0 where not read
	// Line and Gap are of the drawn bow, from the line and to the string.
	Line, Gap []Reading
}

// A Scrape is wood taken off the belly of one limb between two places.
type Scrape struct {
	Side     model.Side
	From, To float64 // from the root (in)
	// Share is the fraction of the depth that came off, Depth the same in inches, Strokes the number of
	// strokes; 0 where unknown.
	Share, Depth float64
	Strokes      int
	// Stroke is what a stroke of the tool takes, the usual one if zero.
	Stroke Stroke
}

// A Stroke is what a tool takes at a stroke: the depth (in), and the error of one scraping as a share (1 sd).
type Stroke struct{ Depth, Error float64 }

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
	Draw float64 // 0 when braced
	// Side and At are the limb and the distance from its root, of readings at stations.
	Side  model.Side
	At    float64
	Block float64 // the block's length, of gaps under a block
}
